//! Legs of walls and footings: straight lengths that meet at square corners.
//!
//! Invariant: a leg is longer than what its corners take of it.

use crate::job::choice::LegsAlong;
use crate::job::fill::{Fill, Place};
use crate::quantity::Length;

/// Most legs of one wall.
const LEGS_AT_MOST: usize = 100;

pub(super) fn expand_legs(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<Length>>,
    ((along, closed), width): ((LegsAlong, bool), Length),
) -> Vec<Length> {
    let legs = sent.unwrap_or_default();
    // Square corners close with three legs at the least only by turning four times.
    let least = if closed { 4 } else { 1 };
    if legs.len() < least || legs.len() > LEGS_AT_MOST {
        let accepted = format!("{least} to {LEGS_AT_MOST} lengths");
        let found = format!("{} legs", legs.len());
        fill.fault(place, &found, &accepted, "[\"12 ft\", \"6 ft 6 in\"]");
        return Vec::new();
    }
    let last = legs.len() - 1;
    for (index, leg) in legs.iter().enumerate() {
        let at = place.index(index);
        fill.optional(&at, Some(*leg));
        let corners = [closed || index > 0, closed || index < last];
        let corners = corners.into_iter().filter(|corner| *corner).count() as f64;
        let taken = match along {
            LegsAlong::Inside => Length::ZERO,
            LegsAlong::CentreLine => width * (corners / 2.0),
            LegsAlong::Outside => width * corners,
        };
        if corners > 0.0 && leg.at_most(taken) {
            let accepted = format!("more than its corners take, {}", taken.print());
            fill.fault(&at, &leg.print(), &accepted, "12 ft");
        }
    }
    legs
}
