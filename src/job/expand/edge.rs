//! Edges and curbs of one piece, and the slab width that a stated width comes to.
//!
//! Invariant: an edge where the next piece joins carries nothing.

use super::path::{Around, Spot};
use crate::job::choice::{EdgeKind, EdgeName, WidthIs};
use crate::job::fill::{Fill, Place};
use crate::job::full::Edges;
use crate::job::sent::EdgesRequest;
use crate::quantity::Length;

pub(super) fn expand_edges(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<EdgesRequest>,
    (spot, side): (&Spot, EdgeKind),
) -> Edges {
    let sent = sent.unwrap_or_default();
    let mut defaulted = Vec::new();
    let mut edge = |name: EdgeName, sent: Option<EdgeKind>, default: EdgeKind| {
        if spot.joins.at(name) {
            if sent.is_some() {
                let place = place.field(name.as_str());
                fill.fault(
                    &place,
                    "an edge",
                    "nothing: the next piece joins here",
                    "left out",
                );
            }
            return None;
        }
        if sent.is_none() && !fill.quiet {
            defaulted.push(format!("{name} {default}"));
        }
        Some(sent.unwrap_or(default))
    };
    let foot = if spot.foot {
        EdgeKind::AgainstWalk
    } else {
        side
    };
    let head = if spot.head {
        EdgeKind::AgainstWall
    } else {
        side
    };
    let edges = Edges {
        start: edge(EdgeName::Start, sent.start, foot),
        end: edge(EdgeName::End, sent.end, head),
        left: edge(EdgeName::Left, sent.left, side),
        right: edge(EdgeName::Right, sent.right, side),
    };
    if !defaulted.is_empty() {
        fill.assume(place, defaulted.join(", "));
    }
    edges
}

pub(super) fn expand_curbs(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<EdgeName>>,
    (edges, around, bare): (&Edges, &Around, bool),
) -> Vec<EdgeName> {
    let Some(sent) = sent else {
        if around.curb_width.is_none() || bare {
            return Vec::new();
        }
        let formed = |edge: &EdgeName| edges.at(*edge).is_some_and(EdgeKind::is_formed);
        let curbs: Vec<EdgeName> = EdgeName::ALL.iter().copied().filter(formed).collect();
        if !fill.quiet {
            assume_curbs(fill, place, &curbs);
        }
        return curbs;
    };
    for (index, edge) in sent.iter().enumerate() {
        if edges.at(*edge).is_none() {
            fill.fault(
                &place.index(index),
                edge.as_str(),
                "an edge where no piece joins",
                "left",
            );
        } else if around.curb_width.is_none() {
            let accepted = "no curbs, since the ramp's curb is none";
            fill.fault(&place.index(index), edge.as_str(), accepted, "[]");
        }
    }
    let mut curbs = sent;
    curbs.sort_unstable();
    curbs.dedup();
    curbs
}

fn assume_curbs(fill: &mut Fill, place: &Place<'_>, curbs: &[EdgeName]) {
    let names: Vec<&str> = curbs.iter().map(|edge| edge.as_str()).collect();
    let told = match names.as_slice() {
        [] => "none".to_owned(),
        names => names.join(", "),
    };
    fill.assume(place, told);
}

/// Slab edge to slab edge, from a width that may be clear or between walls.
pub(super) fn slab_width(
    around: &Around,
    edges: &Edges,
    curbs: &[EdgeName],
    width: Length,
) -> Length {
    let sides = [EdgeName::Left, EdgeName::Right];
    let add = |what: Length, holds: &dyn Fn(EdgeName) -> bool| {
        what * sides.iter().filter(|side| holds(**side)).count() as f64
    };
    match around.width_is {
        WidthIs::Slab => width,
        WidthIs::Clear => {
            let curb = around.curb_width.unwrap_or(Length::ZERO);
            width + add(curb, &|side| curbs.contains(&side))
        }
        WidthIs::BetweenWalls => {
            width
                - add(around.filler, &|side| {
                    edges.at(side) == Some(EdgeKind::AgainstWall)
                })
        }
    }
}
