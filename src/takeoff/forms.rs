//! Forms: which faces are formed, how high, with which boards, and what holds them.
//!
//! Invariants: a formed edge is as high as the slab and the curb on it, and in a solid ramp reaches
//! down to the foot's level; no form stands against a wall, a walk or another piece. Absent here:
//! cutting boards from stock.

use super::curb::Curbs;
use super::part::Part;
use crate::catalog::{FormBoardRow, FormRows};
use crate::geometry::{EdgeLine, FormHeld, SolidFace, Stands};
use crate::job::{EdgeKind, EdgeName, Support};
use crate::quantity::{Area, Length, ceil, floor};

/// A formed face.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Face {
    /// What the crew calls it; empty where nothing is told.
    pub(super) name: String,
    /// Along the surface.
    pub(super) length: Length,
    /// Height at its lower and at its upper end.
    pub(super) heights: (Length, Length),
    /// What holds it.
    pub(super) held: Held,
    /// True where the surface is steeper than what counts as a slope.
    pub(super) slope: bool,
    /// True when it stays in sight: not where the slab lies level with the ground at the foot.
    pub(super) in_sight: bool,
}

/// What holds a form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Held {
    /// Stakes.
    Stakes,
    /// Concrete screws in an existing wall.
    Screws,
    /// Cleats across the curb, over the slab.
    Cleats,
    /// The forms beside it: risers and what hangs between.
    Hung,
    /// Braces, as a wall's.
    Braced,
}

impl Face {
    pub(super) fn mean_height(&self) -> Length {
        (self.heights.0 + self.heights.1) / 2.0
    }

    pub(super) fn highest(&self) -> Length {
        self.heights.0.max(self.heights.1)
    }

    pub(super) fn area(&self) -> Area {
        self.length * self.mean_height()
    }

    /// True where one end is higher than the other.
    pub(super) fn tapers(&self) -> bool {
        let (low, high) = self.heights;
        !(low.at_most(high) && high.at_most(low))
    }
}

pub(super) fn measure_faces(part: &Part, curbs: &Curbs) -> Vec<Face> {
    let mut faces: Vec<Face> = part
        .edges()
        .filter_map(|(_, edge)| edge_face(part, edge))
        .collect();
    faces.extend(curbs.faces.iter().map(|length| Face {
        name: part.name(|| "curb".to_owned()),
        length: *length,
        heights: (curbs.height, curbs.height),
        held: Held::Cleats,
        slope: false,
        in_sight: true,
    }));
    for solid in part.solids() {
        let named = || part.name(|| solid.name.clone());
        faces.extend(solid.faces.iter().map(|face| around(face, named())));
    }
    faces
}

/// A face of what is poured around the ramp.
fn around(face: &SolidFace, name: String) -> Face {
    Face {
        name,
        length: face.length,
        heights: face.heights,
        held: match face.held {
            FormHeld::Staked => Held::Stakes,
            FormHeld::Braced => Held::Braced,
            FormHeld::OnWall => Held::Screws,
            FormHeld::Hung => Held::Hung,
        },
        slope: false,
        in_sight: face.in_sight,
    }
}

fn edge_face(part: &Part, edge: &EdgeLine) -> Option<Face> {
    let held = match edge.stands {
        Stands::Edge(EdgeKind::Formed) => Held::Stakes,
        Stands::Edge(EdgeKind::FormOnWall) => Held::Screws,
        _ => return None,
    };
    let curb = if edge.curb {
        part.job.ramp.curb.as_option()
    } else {
        None
    };
    let top = part.job.slab.thickness + curb.map_or(Length::ZERO, |curb| curb.height);
    let solid = part.job.ramp.support == Support::Solid;
    let body = |elevation: Length| {
        if solid {
            elevation.max(Length::ZERO)
        } else {
            Length::ZERO
        }
    };
    let surface = &part.geometry.surfaces[edge.piece];
    let beside = matches!(edge.name, EdgeName::Left | EdgeName::Right);
    let raised = edge.elevation_low.max(edge.elevation_high) > Length::ZERO;
    Some(Face {
        name: part.name(|| format!("{} {}", part.piece_name(edge.piece), edge.name)),
        length: edge.length,
        heights: (
            top + body(edge.elevation_low),
            top + body(edge.elevation_high),
        ),
        held,
        slope: beside && !surface.slope.at_most(part.catalog.forms.slope.from),
        in_sight: raised || curb.is_some(),
    })
}

/// A length of one board size.
#[derive(Clone, Copy, Debug)]
pub(super) struct BoardRun<'a> {
    pub(super) name: &'a str,
    pub(super) board: &'a FormBoardRow,
    pub(super) length: Length,
    /// Boards stand in courses and are not cut to a list.
    pub(super) in_courses: bool,
    /// The face is higher at one end, so that its board is ripped along, or its courses step.
    pub(super) tapers: bool,
}

/// The board or boards of a face: the smallest size that covers it, or courses of the largest.
pub(super) fn choose_board<'a>(face: &'a Face, rows: &'a FormRows) -> Option<BoardRun<'a>> {
    // The board at a curb's inner face, or at a riser, hangs a little above what is below it.
    let gap = if matches!(face.held, Held::Cleats | Held::Hung) {
        rows.curb_face.gap
    } else {
        Length::ZERO
    };
    let tapers = face.tapers();
    let covers = |row: &&FormBoardRow| (row.depth + gap).at_least(face.highest());
    if let Some(board) = rows.board.iter().find(covers) {
        return Some(BoardRun {
            name: &face.name,
            board,
            length: face.length,
            in_courses: false,
            tapers,
        });
    }
    let board = rows.board.last()?;
    Some(BoardRun {
        name: &face.name,
        board,
        length: face.area() / board.depth,
        in_courses: true,
        tapers,
    })
}

/// Stakes or screws of one piece of board: one at each end, and between at most the spacing.
pub fn count_holders(length: Length, spacing: Length) -> u32 {
    // The cast saturates; bounds rows keep counts to a few hundred.
    ceil(length / spacing) as u32 + 1
}

/// Stakes or screws of a face, whose board is spliced where it is longer than the longest stock.
pub(super) fn hold_face(face: &Face, (spacing, longest): (Length, Length)) -> u32 {
    let whole = floor(face.length / longest);
    let rest = face.length - longest * whole;
    // A face that is whole boards long leaves nothing but rounding.
    let of_rest = if rest.at_most(Length::ZERO) {
        0
    } else {
        count_holders(rest, spacing)
    };
    count_holders(longest, spacing) * whole as u32 + of_rest
}
