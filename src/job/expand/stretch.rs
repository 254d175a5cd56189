//! Stretches of a walk and the bends between them.
//!
//! Invariants: a walk has a stretch; its last has no bend; the inner side of a bend is longer than nothing.

use crate::job::fill::{Fill, Place};
use crate::job::full::{Bend, Stretch};
use crate::job::sent::{BendRequest, StretchRequest};
use crate::quantity::Length;

/// Most stretches of one walk.
const STRETCHES_AT_MOST: usize = 100;
/// The sharpest bend, in degrees.
const SHARPEST: u32 = 170;

pub(super) fn expand_stretches(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<StretchRequest>>,
    width: Length,
) -> Vec<Stretch> {
    let sent = sent.unwrap_or_default();
    if sent.is_empty() || sent.len() > STRETCHES_AT_MOST {
        let found = format!("{} stretches", sent.len());
        fill.fault(
            place,
            &found,
            "1 to 100 stretches",
            "[{\"length\": \"24 ft\"}]",
        );
        return Vec::new();
    }
    let last = sent.len() - 1;
    let mut stretches: Vec<Stretch> = Vec::with_capacity(sent.len());
    let mut from = width;
    for (index, sent) in sent.into_iter().enumerate() {
        let at = place.index(index);
        let width_end = fill.quantity_else(&at.field("width_end"), sent.width_end, from);
        let bend = sent.bend;
        let bend = bend.map(|bend| expand_bend(fill, &at.field("bend"), bend, width_end));
        if index == last && bend.is_some() {
            let accepted = "a further stretch after it, or no bend";
            fill.fault(&at.field("bend"), "a bend at the end", accepted, "null");
        }
        stretches.push(Stretch {
            length: fill.quantity(&at.field("length"), Some(sent.length)),
            rise: fill.quantity(&at.field("rise"), sent.rise),
            width_end,
            bend,
        });
        from = width_end;
    }
    check_inner_sides(fill, place, &stretches);
    stretches
}

fn expand_bend(fill: &mut Fill, place: &Place<'_>, sent: BendRequest, width: Length) -> Bend {
    let degrees = fill.choice(&place.field("degrees"), sent.degrees, 90);
    if degrees == 0 || degrees > SHARPEST {
        let found = degrees.to_string();
        fill.fault(&place.field("degrees"), &found, "1 to 170 degrees", "45");
    }
    let at = place.field("radius");
    let radius = fill.optional(&at, sent.radius);
    if let Some(radius) = radius.filter(|radius| !radius.at_least(width / 2.0)) {
        let accepted = format!("half the width or more, {}", (width / 2.0).print());
        fill.fault(&at, &radius.print(), &accepted, "6 ft");
    }
    Bend {
        to: sent.to,
        degrees: degrees.clamp(1, SHARPEST),
        radius,
    }
}

/// What a mitred bend takes of the inner side of each of its two stretches.
pub(super) fn mitre(bend: Option<&Bend>, width: Length) -> Length {
    bend.filter(|bend| bend.radius.is_none())
        .map_or(Length::ZERO, |bend| {
            let half = f64::from(bend.degrees).to_radians() / 2.0;
            width / 2.0 * libm::tan(half)
        })
}

fn check_inner_sides(fill: &mut Fill, place: &Place<'_>, stretches: &[Stretch]) {
    let mut before = Length::ZERO;
    for (index, stretch) in stretches.iter().enumerate() {
        let after = mitre(stretch.bend.as_ref(), stretch.width_end);
        if !(before + after).at_most(stretch.length) {
            let accepted = format!(
                "at least {}, what its mitred bends take of its inner side",
                (before + after).print()
            );
            let at = place.index(index).field("length").pointer();
            fill.faults.push(crate::quantity::Fault::new(
                at,
                stretch.length.print(),
                accepted,
                Some("12 ft"),
            ));
        }
        before = after;
    }
}
