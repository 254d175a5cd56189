//! Curbs: how long they are in all, corners once, and their inner faces.
//!
//! Invariants: a curb stands on the slab inside its edge; at a corner where two meet, the square
//! belongs to one of them. Absent here: concrete, boards.

use super::part::Part;
use super::plan::{Rect, Side, covered_area};
use crate::geometry::EdgeLine;
use crate::job::{Curb, EdgeName};
use crate::quantity::{Area, Length, Volume};

/// The curbs of a part.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Curbs {
    /// In all, corners once.
    pub(super) length: Length,
    /// Their inner faces, one a stretch, shorter by the curb's width at each corner.
    pub(super) faces: Vec<Length>,
    /// Across the top.
    pub(super) width: Length,
    /// Above the slab.
    pub(super) height: Length,
}

impl Curbs {
    /// Inner faces in all.
    pub(super) fn face_length(&self) -> Length {
        self.faces.iter().sum()
    }

    /// Area of the inner faces.
    pub(super) fn face_area(&self) -> Area {
        self.face_length() * self.height
    }

    /// Concrete above the slab.
    pub(super) fn volume(&self) -> Volume {
        self.length * self.width * self.height
    }
}

pub(super) fn measure_curbs(part: &Part) -> Curbs {
    let Some(curb) = part.job.ramp.curb.as_option() else {
        return Curbs::default();
    };
    let curbed: Vec<(usize, &EdgeLine)> = part.edges().filter(|(_, edge)| edge.curb).collect();
    let strips: Vec<Rect> = curbed
        .iter()
        .map(|(index, edge)| part.plan.strip(*index, edge, (Side::Inward, curb.width)))
        .collect();
    let length = covered_area(&strips) / curb.width;
    let faces = curbed
        .iter()
        .filter_map(|(index, edge)| measure_face(part, *index, (edge, curb)))
        .collect();
    Curbs {
        length,
        faces,
        width: curb.width,
        height: curb.height,
    }
}

/// The inner face along an edge; none where the curbs at its corners take all of it.
fn measure_face(part: &Part, index: usize, (edge, curb): (&EdgeLine, &Curb)) -> Option<Length> {
    let others = match edge.name {
        EdgeName::Left | EdgeName::Right => [EdgeName::Start, EdgeName::End],
        EdgeName::Start | EdgeName::End => [EdgeName::Left, EdgeName::Right],
    };
    let corners = others.iter().filter(|other| {
        let meets = |candidate: usize| {
            let line = &part.geometry.edges[candidate];
            line.curb && line.name == **other && part.plan.reaches(candidate, line, edge.name)
        };
        part.plan.reaches(index, edge, **other) && part.plan.edges_of(edge.piece).any(meets)
    });
    let taken = curb.width * corners.count() as f64;
    (!edge.length.at_most(taken)).then(|| edge.length - taken)
}
