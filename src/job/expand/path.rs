//! The path of landings and runs: edges, curbs, widths, and what each piece was taped as.
//!
//! Invariants: the path begins with a landing and has a run; an edge where the next piece joins
//! carries nothing; every run ends up with a rise and a length.

use super::landing::expand_landing;
use super::run::expand_run;
use super::turn::widen_turning_landings;
use crate::job::choice::{EdgeKind, EdgeName, Turn, WidthIs};
use crate::job::fill::{Fill, Place};
use crate::job::full::Piece;
use crate::job::sent::PathRequest;
use crate::quantity::{Length, Slope};

/// What the ramp says for all its pieces.
pub(super) struct Around {
    pub(super) width: Length,
    pub(super) width_is: WidthIs,
    pub(super) gap: Length,
    pub(super) cross_slope: Slope,
    pub(super) curb_width: Option<Length>,
    /// What stands at a side that the job does not name.
    pub(super) side: EdgeKind,
    pub(super) filler: Length,
}

/// Most pieces of one path.
const PIECES_AT_MOST: usize = 200;

pub(super) fn expand_path(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Vec<PathRequest>,
    around: &Around,
) -> Vec<Piece> {
    if !check_order(fill, place, &sent) {
        return Vec::new();
    }
    let stated: Vec<Stated> = sent.iter().map(Stated::of).collect();
    let joins: Vec<Joins> = (0..sent.len())
        .map(|index| Joins::of(&sent, index))
        .collect();
    let mut path: Vec<Piece> = Vec::with_capacity(sent.len());
    let last = sent.len() - 1;
    for (index, sent) in sent.into_iter().enumerate() {
        let place = place.index(index);
        let spot = Spot {
            joins: &joins[index],
            foot: index == 0,
            head: index == last,
        };
        path.extend(match sent {
            PathRequest::Landing { .. } => expand_landing(fill, &place, sent, (&spot, around)),
            PathRequest::Run { .. } => expand_run(fill, &place, sent, (&spot, around)),
        });
    }
    widen_turning_landings(fill, place, &mut path, (around, &stated));
    path
}

/// What a landing says of its size by itself.
#[derive(Clone, Copy)]
pub(super) struct Stated {
    pub(super) width: bool,
    pub(super) length: bool,
}

impl Stated {
    const fn of(sent: &PathRequest) -> Self {
        match sent {
            PathRequest::Landing { width, length, .. } => Self {
                width: width.is_some(),
                length: length.is_some(),
            },
            PathRequest::Run { .. } => Self {
                width: true,
                length: true,
            },
        }
    }
}

fn check_order(fill: &mut Fill, place: &Place<'_>, sent: &[PathRequest]) -> bool {
    let example = "[{\"kind\": \"landing\"}, {\"kind\": \"run\", \"rise\": \"28 in\", \"length\": \"28 ft\"}, {\"kind\": \"landing\"}]";
    let runs = sent
        .iter()
        .filter(|piece| matches!(piece, PathRequest::Run { .. }))
        .count();
    if sent.len() > PIECES_AT_MOST {
        let found = format!("{} pieces", sent.len());
        fill.fault(place, &found, "at most 200 landings and runs", example);
        return false;
    }
    if runs == 0 {
        fill.fault(
            place,
            "no run",
            "at least one run between landings",
            example,
        );
        return false;
    }
    if matches!(sent[0], PathRequest::Run { .. }) {
        let accepted =
            "a landing before the first run; write work existing for ground that is there";
        fill.fault(
            &place.index(0),
            "a run",
            accepted,
            "{\"kind\": \"landing\", \"work\": \"existing\"}",
        );
        return false;
    }
    true
}

/// Which edges of a piece another piece joins.
pub(super) struct Joins {
    start: bool,
    end: bool,
    left: bool,
    right: bool,
}

impl Joins {
    fn of(sent: &[PathRequest], index: usize) -> Self {
        let follows = index + 1 < sent.len();
        let turn = match &sent[index] {
            PathRequest::Landing { turn, .. } => turn.unwrap_or(Turn::Straight),
            PathRequest::Run { .. } => Turn::Straight,
        };
        Self {
            start: index > 0,
            end: follows && turn == Turn::Straight,
            left: follows && turn == Turn::Left,
            right: follows && turn == Turn::Right,
        }
    }

    pub(super) const fn at(&self, edge: EdgeName) -> bool {
        match edge {
            EdgeName::Start => self.start,
            EdgeName::End => self.end,
            EdgeName::Left => self.left,
            EdgeName::Right => self.right,
        }
    }
}

/// Where a piece stands in the path.
pub(super) struct Spot<'a> {
    pub(super) joins: &'a Joins,
    pub(super) foot: bool,
    pub(super) head: bool,
}
