//! A run: any two of rise, length and slope give the third.
//!
//! Invariant: a run ends up with a rise and a length that can be built.

use super::edge::{expand_curbs, expand_edges, slab_width};
use super::path::{Around, Spot};
use crate::job::choice::{By, Measured, Work};
use crate::job::fill::{Fill, Place};
use crate::job::full::{Piece, Run};
use crate::job::sent::PathRequest;
use crate::quantity::{Length, Slope};

pub(super) fn expand_run(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: PathRequest,
    (spot, around): (&Spot, &Around),
) -> Option<Piece> {
    let PathRequest::Run {
        work,
        by,
        rise,
        length,
        slope,
        measured,
        width,
        cross_slope,
        edges,
        curbs,
        flare,
    } = sent
    else {
        return None;
    };
    let work = fill.choice(&place.field("work"), work, Work::New);
    let edges = expand_edges(fill, &place.field("edges"), edges, (spot, around.side));
    let bare = work == Work::Existing;
    let curbs = expand_curbs(fill, &place.field("curbs"), curbs, (&edges, around, bare));
    let taped = Taped::of(rise, length, slope, measured);
    let (rise, length, measured) = expand_taped(fill, place, &taped);
    let own = slab_width(around, &edges, &curbs, around.width);
    let width = fill.quantity_else(&place.field("width"), width, own);
    Some(Piece::Run(Run {
        work,
        by: fill.choice(&place.field("by"), by, By::Us),
        rise,
        length,
        measured,
        width,
        cross_slope: fill.quantity_else(
            &place.field("cross_slope"),
            cross_slope,
            around.cross_slope,
        ),
        edges,
        curbs,
        flare: fill.optional(&place.field("flare"), flare),
    }))
}

/// What was taped of a run.
struct Taped {
    rise: Option<Length>,
    length: Option<Length>,
    slope: Option<Slope>,
    measured: Option<Measured>,
}

impl Taped {
    const fn of(
        rise: Option<Length>,
        length: Option<Length>,
        slope: Option<Slope>,
        measured: Option<Measured>,
    ) -> Self {
        Self {
            rise,
            length,
            slope,
            measured,
        }
    }
}

/// Any two of rise, length and slope give the third.
fn expand_taped(fill: &mut Fill, place: &Place<'_>, taped: &Taped) -> (Length, Length, Measured) {
    let rise = fill.optional(&place.field("rise"), taped.rise);
    let length = fill.optional(&place.field("length"), taped.length);
    let slope = fill.optional(&place.field("slope"), taped.slope);
    let measured = taped.measured.unwrap_or(Measured::Plan);
    if taped.measured.is_none() && length.is_some() {
        fill.assume(&place.field("measured"), Measured::Plan.to_string());
    }
    let positive = slope.filter(|slope| slope.ratio() > 0.0);
    let (rise, length, measured) = match (rise, length, slope) {
        (Some(rise), Some(length), None) => (rise, length, measured),
        (Some(rise), None, Some(_)) => match positive {
            Some(slope) => (rise, rise / slope.ratio(), Measured::Plan),
            // The bounds of the slope have been refused already.
            None => return STAND_IN,
        },
        (None, Some(length), Some(slope)) => {
            let plan = match measured {
                Measured::Plan => length,
                Measured::Surface => length / slope.surface_factor(),
            };
            (slope * plan, length, measured)
        }
        _ => return refuse_taped(fill, place, taped),
    };
    if measured == Measured::Surface && rise.at_least(length) {
        let accepted = "a surface length longer than the rise";
        fill.fault(&place.field("length"), &length.print(), accepted, "28 ft");
        return STAND_IN;
    }
    (rise, length, measured)
}

/// Stands in for a run that was refused, so that the rest of the job can still be looked at.
const STAND_IN: (Length, Length, Measured) = (
    Length::from_inches(1.0),
    Length::from_inches(12.0),
    Measured::Plan,
);

fn refuse_taped(fill: &mut Fill, place: &Place<'_>, taped: &Taped) -> (Length, Length, Measured) {
    let given = [
        taped.rise.map(|_| "rise"),
        taped.length.map(|_| "length"),
        taped.slope.map(|_| "slope"),
    ];
    let named: Vec<&str> = given.into_iter().flatten().collect();
    let found = if named.is_empty() {
        "none of them".to_owned()
    } else {
        named.join(", ")
    };
    let example = "{\"kind\": \"run\", \"rise\": \"28 in\", \"length\": \"28 ft\"}";
    fill.fault(
        place,
        &found,
        "exactly two of rise, length and slope",
        example,
    );
    STAND_IN
}
