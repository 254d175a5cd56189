//! Landings where the way turns: as wide as the turn needs, once both runs are known.
//!
//! Invariant: a size that was sent is never changed, but refused where the runs do not fit.

use super::path::{Around, Stated};
use crate::job::choice::{EdgeName, Turn};
use crate::job::fill::{Fill, Place};
use crate::job::full::{Landing, Piece};
use crate::quantity::Length;

/// Gives each turning landing the size its turn needs, and refuses one that the next run does not fit.
pub(super) fn widen_turning_landings(
    fill: &mut Fill,
    place: &Place<'_>,
    path: &mut [Piece],
    (around, stated): (&Around, &[Stated]),
) {
    let widths: Vec<Length> = path.iter().map(Piece::width).collect();
    for (index, piece) in path.iter_mut().enumerate() {
        let Piece::Landing(landing) = piece else {
            continue;
        };
        let place = place.index(index);
        let width_of = |index: Option<usize>| index.and_then(|index| widths.get(index)).copied();
        let turning = Turning {
            before: width_of(index.checked_sub(1)),
            after: width_of(Some(index + 1)),
            gap: around.gap,
        };
        if stated[index].width {
            check_stated(fill, &place, landing, &turning);
        } else {
            let clear = turn_width(fill, landing, around);
            landing.width = landing.width.max(turning.needed(landing.turn, clear));
            if !fill.quiet {
                fill.assume(&place.field("width"), landing.width.print());
            }
        }
        fit_length(fill, &place, landing, (&turning, stated[index]));
    }
}

/// The pieces that meet at a landing, by their widths.
struct Turning {
    before: Option<Length>,
    after: Option<Length>,
    gap: Length,
}

impl Turning {
    /// The width that a landing takes when none is stated.
    fn needed(&self, turn: Turn, clear: Length) -> Length {
        let before = self.before.unwrap_or(Length::ZERO);
        let Some(after) = self.after.filter(|_| self.before.is_some()) else {
            return before.max(self.after.unwrap_or(Length::ZERO));
        };
        match turn {
            Turn::Straight => before.max(after),
            Turn::Left | Turn::Right => before.max(clear),
            Turn::BackLeft | Turn::BackRight => before + self.gap + after,
        }
    }
}

/// Two runs side by side must fit; a landing that is only narrower than a rule asks is a finding.
fn check_stated(fill: &mut Fill, place: &Place<'_>, landing: &Landing, turning: &Turning) {
    let back = matches!(landing.turn, Turn::BackLeft | Turn::BackRight);
    let needed = turning.needed(landing.turn, Length::ZERO);
    if back && !landing.width.at_least(needed) {
        fill.fault(
            &place.field("width"),
            &landing.width.print(),
            "at least both runs and the gap between them",
            &needed.print(),
        );
    }
}

/// A run that leaves sideways must fit into the landing's length.
fn fit_length(
    fill: &mut Fill,
    place: &Place<'_>,
    landing: &mut Landing,
    (turning, stated): (&Turning, Stated),
) {
    let sideways = matches!(landing.turn, Turn::Left | Turn::Right);
    let Some(after) = turning.after.filter(|_| sideways) else {
        return;
    };
    if landing.length.at_least(after) {
        return;
    }
    let place = place.field("length");
    if stated.length {
        fill.fault(
            &place,
            &landing.length.print(),
            "at least as long as the next run is wide",
            &after.print(),
        );
    } else {
        landing.length = after;
        fill.assume_instead(&place, after.print());
    }
}

fn turn_width(fill: &Fill, landing: &Landing, around: &Around) -> Length {
    let clear = fill
        .fields
        .row("/ramp/path/*/turn_width")
        .and_then(|row| row.default(fill.system));
    let sides = [EdgeName::Left, EdgeName::Right];
    let in_the_way = sides
        .iter()
        .filter(|side| landing.curbs.contains(side))
        .count() as f64;
    clear.unwrap_or(Length::ZERO) + around.curb_width.unwrap_or(Length::ZERO) * in_the_way
}
