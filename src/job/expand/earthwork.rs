//! Breaking out and digging.
//!
//! Invariant: where the job says nothing of it, none of it is ours.

use crate::job::choice::{By, Soil};
use crate::job::fill::{Fill, Place};
use crate::job::full::{BreakOut, Earthwork};
use crate::job::sent::EarthworkRequest;
use crate::quantity::Length;

/// Most places that are broken out.
const PLACES_AT_MOST: usize = 100;

pub(super) fn expand_earthwork(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<EarthworkRequest>,
) -> Option<Earthwork> {
    let sent = sent?;
    let at = place.field("break_out");
    let broken = sent.break_out.unwrap_or_default();
    if broken.len() > PLACES_AT_MOST {
        let found = format!("{} places", broken.len());
        fill.fault(&at, &found, "at most 100 places", "[]");
    }
    let break_out = broken.into_iter().enumerate().map(|(index, sent)| {
        let at = at.index(index);
        BreakOut {
            area: fill.quantity(&at.field("area"), Some(sent.area)),
            thickness: fill.quantity(&at.field("thickness"), Some(sent.thickness)),
            sawn: fill.quantity(&at.field("sawn"), sent.sawn),
            what: super::words_of(fill, &at.field("what"), sent.what).unwrap_or_default(),
        }
    });
    let break_out = break_out.take(PLACES_AT_MOST).collect();
    let depth = sent.depth;
    Some(Earthwork {
        by: fill.choice(&place.field("by"), sent.by, By::Us),
        soil: fill.choice(&place.field("soil"), sent.soil, Soil::Earth),
        break_out,
        depth: fill.quantity_else(&place.field("depth"), depth, Length::ZERO),
        working_room: fill.quantity(&place.field("working_room"), sent.working_room),
    })
}
