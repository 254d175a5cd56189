//! The ramp unfolded flat: where each piece and each stretch of edge lies, so that corners and
//! strips between runs side by side are counted once.
//!
//! Invariant: lengths along a piece are as the caller measures them (along the surface, or on plan).
//! Absent here: elevations, materials, and where a piece is placed, which is geometry.

use crate::geometry::{EdgeLine, Geometry, Place, Stands, Surface, place_pieces, turn_of};
use crate::job::{EdgeName, Job, Turn};
use crate::quantity::{Area, Length};
use std::ops::Range;

/// Two ends closer than this, in metres, are one corner.
const CORNER: f64 = 1e-6;

/// A rectangle, in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rect {
    x: (f64, f64),
    y: (f64, f64),
}

/// A corner where a piece begins, and which way it goes: quarter turns to the left from up.
#[derive(Clone, Copy, Debug)]
struct Frame {
    x: f64,
    y: f64,
    heading: u8,
}

#[derive(Clone, Copy, Debug)]
struct Placed {
    frame: Frame,
    width: f64,
    length: f64,
    /// From the left corner of its start edge to the left corner of what arrives there.
    arrival: f64,
}

/// Which way a strip lies beside an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// On the slab.
    Inward,
    /// Beside the slab.
    Outward,
}

/// The ramp unfolded.
#[derive(Clone, Debug)]
pub(super) struct Plan {
    pieces: Vec<Placed>,
    /// Where each edge line of the geometry lies along its edge, from its left or lower end.
    spans: Vec<(f64, f64)>,
    /// Edge lines of each piece.
    edges_of: Vec<Range<usize>>,
}

impl Frame {
    fn moved(self, across: f64, along: f64) -> Self {
        let (x, y) = match self.heading {
            0 => (across, along),
            1 => (-along, across),
            2 => (-across, -along),
            _ => (along, -across),
        };
        Self {
            x: self.x + x,
            y: self.y + y,
            heading: self.heading,
        }
    }

    fn rect(self, across: (f64, f64), along: (f64, f64)) -> Rect {
        let (a, b) = (self.moved(across.0, along.0), self.moved(across.1, along.1));
        Rect {
            x: (a.x.min(b.x), a.x.max(b.x)),
            y: (a.y.min(b.y), a.y.max(b.y)),
        }
    }
}

impl Placed {
    const fn of(place: &Place) -> Self {
        Self {
            frame: Frame {
                x: place.corner.x.metres(),
                y: place.corner.y.metres(),
                heading: place.heading,
            },
            width: place.width.metres(),
            length: place.length.metres(),
            arrival: place.arrival.metres(),
        }
    }
}

impl Plan {
    /// Lays the ramp out flat, its pieces as long as their surfaces.
    pub(super) fn along_the_surface(job: &Job, geometry: &Geometry) -> Self {
        Self::lay_out(job, geometry, |surface| surface.surface_length)
    }

    /// Lays the ramp out flat, its pieces as long as `along` says.
    pub(super) fn lay_out(job: &Job, geometry: &Geometry, along: fn(&Surface) -> Length) -> Self {
        let places = place_pieces(job, &geometry.surfaces, along);
        let pieces: Vec<Placed> = places.iter().map(Placed::of).collect();
        let mut edges_of: Vec<Range<usize>> = vec![0..0; pieces.len()];
        for (index, edge) in geometry.edges.iter().enumerate() {
            let range = &mut edges_of[edge.piece];
            let start = if range.end == 0 { index } else { range.start };
            *range = start..index + 1;
        }
        let mut plan = Self {
            pieces,
            spans: Vec::new(),
            edges_of,
        };
        plan.spans = (0..geometry.edges.len())
            .map(|index| plan.find_span(job, geometry, index))
            .collect();
        plan
    }

    fn whole(&self, edge: &EdgeLine) -> f64 {
        let piece = &self.pieces[edge.piece];
        match edge.name {
            EdgeName::Left | EdgeName::Right => piece.length,
            EdgeName::Start | EdgeName::End => piece.width,
        }
    }

    fn find_span(&self, job: &Job, geometry: &Geometry, index: usize) -> (f64, f64) {
        let edge = &geometry.edges[index];
        let whole = self.whole(edge);
        if job.ramp.path[edge.piece].edges().at(edge.name).is_some() {
            return (0.0, whole);
        }
        let same = |other: &&EdgeLine| other.piece == edge.piece && other.name == edge.name;
        let lines: Vec<&EdgeLine> = geometry.edges[self.edges_of[edge.piece].clone()]
            .iter()
            .filter(same)
            .collect();
        let mut joined: Vec<(f64, f64)> = Vec::with_capacity(2);
        for (place, line) in lines.iter().enumerate() {
            if matches!(line.stands, Stands::Edge(_)) {
                continue;
            }
            let arrives = place == 0 && edge.name == EdgeName::Start && edge.piece > 0;
            let span = self.joined_span(job, line, arrives);
            if std::ptr::eq(*line, edge) {
                return span;
            }
            joined.push(span);
        }
        longest_gap(&mut joined, whole)
    }

    /// Where a piece joins along an edge; `arrives` says that it is the one below.
    fn joined_span(&self, job: &Job, line: &EdgeLine, arrives: bool) -> (f64, f64) {
        let piece = &self.pieces[line.piece];
        let (whole, length) = (self.whole(line), line.length.metres());
        let from = if arrives {
            piece.arrival
        } else {
            match turn_of(&job.ramp.path[line.piece]) {
                Turn::Straight | Turn::BackLeft => 0.0,
                Turn::Left | Turn::Right | Turn::BackRight => whole - length,
            }
        };
        let from = from.clamp(0.0, (whole - length).max(0.0));
        (from, from + length)
    }

    /// The slab of a piece.
    pub(super) fn slab(&self, piece: usize) -> Rect {
        let placed = &self.pieces[piece];
        placed.frame.rect((0.0, placed.width), (0.0, placed.length))
    }

    /// A strip along a stretch of edge.
    pub(super) fn strip(
        &self,
        index: usize,
        edge: &EdgeLine,
        (side, width): (Side, Length),
    ) -> Rect {
        let Placed {
            frame,
            width: across,
            length: along,
            ..
        } = self.pieces[edge.piece];
        let span = self.spans[index];
        let (inner, outer) = match side {
            Side::Inward => (width.metres(), 0.0),
            Side::Outward => (0.0, width.metres()),
        };
        match edge.name {
            EdgeName::Left => frame.rect((-outer, inner), span),
            EdgeName::Right => frame.rect((across - inner, across + outer), span),
            EdgeName::Start => frame.rect(span, (-outer, inner)),
            EdgeName::End => frame.rect(span, (along - inner, along + outer)),
        }
    }

    /// The square outside a corner of a piece, between one of its sides and one of its ends.
    pub(super) fn corner(
        &self,
        piece: usize,
        (side, end): (EdgeName, EdgeName),
        width: Length,
    ) -> Rect {
        let Placed {
            frame,
            width: across,
            length: along,
            ..
        } = self.pieces[piece];
        let width = width.metres();
        let beside = if side == EdgeName::Left {
            (-width, 0.0)
        } else {
            (across, across + width)
        };
        let beyond = if end == EdgeName::Start {
            (-width, 0.0)
        } else {
            (along, along + width)
        };
        frame.rect(beside, beyond)
    }

    /// True when a stretch reaches the corner of its edge with `other`.
    pub(super) fn reaches(&self, index: usize, edge: &EdgeLine, other: EdgeName) -> bool {
        let (from, to) = self.spans[index];
        match other {
            EdgeName::Left | EdgeName::Start => from <= CORNER,
            EdgeName::Right | EdgeName::End => to >= self.whole(edge) - CORNER,
        }
    }

    /// Indices of a piece's edge lines.
    pub(super) fn edges_of(&self, piece: usize) -> Range<usize> {
        self.edges_of[piece].clone()
    }
}

/// The longest stretch of an edge that nothing joins.
fn longest_gap(joined: &mut [(f64, f64)], whole: f64) -> (f64, f64) {
    joined.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut best, mut from) = ((0.0, 0.0), 0.0);
    for (start, end) in joined.iter().copied().chain([(whole, whole)]) {
        if start - from > best.1 - best.0 {
            best = (from, start);
        }
        from = end.max(from);
    }
    best
}

/// Area that rectangles cover together, each place once.
pub(super) fn covered_area(rects: &[Rect]) -> Area {
    let mut cuts: Vec<f64> = rects.iter().flat_map(|rect| [rect.x.0, rect.x.1]).collect();
    cuts.sort_by(f64::total_cmp);
    cuts.dedup();
    let mut area = 0.0;
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for cut in cuts.windows(2) {
        spans.clear();
        let over = |rect: &&Rect| rect.x.0 <= cut[0] && rect.x.1 >= cut[1];
        spans.extend(rects.iter().filter(over).map(|rect| rect.y));
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut reached = f64::NEG_INFINITY;
        for (from, to) in &spans {
            area += (to - from.max(reached)).max(0.0) * (cut[1] - cut[0]);
            reached = reached.max(*to);
        }
    }
    Area::from_square_metres(area)
}
