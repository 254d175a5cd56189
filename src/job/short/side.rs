//! What stands along the two sides of the whole ramp, laid onto the edges of each piece.
//!
//! Invariants: left and right are those of a person walking up; an edge where the next piece leaves
//! carries nothing; the outer edges of a turning landing carry on the side that they belong to.

use super::assume;
use super::line::Line;
use crate::job::choice::{EdgeKind, Turn};
use crate::job::fill::Assumption;
use crate::job::sent::EdgesRequest;

/// What stands along both sides; nothing where the full form's default is meant.
#[derive(Clone, Copy)]
pub(super) struct Sides {
    left: Option<EdgeKind>,
    right: Option<EdgeKind>,
}

impl Sides {
    pub(super) fn of(line: &mut Line<'_>) -> Self {
        let kind = |word| match word {
            "wall" => EdgeKind::AgainstWall,
            "form_on_wall" => EdgeKind::FormOnWall,
            _ => EdgeKind::Formed,
        };
        Self {
            left: line.choice("left").map(kind),
            right: line.choice("right").map(kind),
        }
    }

    /// The edges of a piece that the next one leaves in this direction.
    pub(super) fn edges(self, turn: Turn) -> Option<EdgesRequest> {
        let outer = self.outer(turn);
        let edges = match turn {
            Turn::Straight => (self.left, self.right),
            Turn::Left => (None, self.right),
            Turn::Right => (self.left, None),
            Turn::BackLeft | Turn::BackRight => (outer, outer),
        };
        let edges = EdgesRequest {
            start: None,
            end: outer,
            left: edges.0,
            right: edges.1,
        };
        (edges != EdgesRequest::default()).then_some(edges)
    }

    /// What stands around the outside of a turn: the side away from it, carried on.
    fn outer(self, turn: Turn) -> Option<EdgeKind> {
        match turn {
            Turn::Straight => None,
            Turn::Left | Turn::BackLeft => self.right,
            Turn::Right | Turn::BackRight => self.left,
        }
    }

    /// Lists the outer edges of a turning landing where something else than a form stands there.
    pub(super) fn assume_outer(
        self,
        turn: Turn,
        place: usize,
        (why, assumed): (&str, &mut Vec<Assumption>),
    ) {
        let Some(kind) = self.outer(turn).filter(|kind| *kind != EdgeKind::Formed) else {
            return;
        };
        let value = match turn {
            Turn::BackLeft | Turn::BackRight => format!("end {kind}, left {kind}, right {kind}"),
            _ => format!("end {kind}"),
        };
        let pointer = format!("/ramp/path/{place}/edges");
        assume(assumed, pointer, (value, why.to_owned()));
    }
}
