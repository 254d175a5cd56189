//! Edges: what stands along each, how long it is, and whether it carries a curb.
//!
//! Invariants: lengths run along the surface; where a landing is wider than what joins it, the rest
//! of that edge is a stretch of its own. Absent: boards and screws (those are taken off later).

use super::surface::{Surface, SurfaceKind};
use crate::job::{EdgeKind, EdgeName, Job, Landing, Piece, Turn, Work};
use crate::quantity::Length;

/// What stands along a stretch of edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// What the job says stands there.
    Edge(EdgeKind),
    /// The next or the last piece joins here, and it is new.
    Joined,
    /// The next or the last piece joins here; one of the two exists already.
    JoinedToExisting,
}

/// One stretch of edge.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeLine {
    /// Index of its piece in the path.
    pub piece: usize,
    /// Which edge of that piece.
    pub name: EdgeName,
    /// What stands there.
    pub stands: Stands,
    /// Length along the surface.
    pub length: Length,
    /// True when the ramp's curb runs along it.
    pub curb: bool,
    /// Elevation of the surface at its lower end.
    pub elevation_low: Length,
    /// Elevation of the surface at its upper end.
    pub elevation_high: Length,
}

impl EdgeLine {
    /// True when a form board stands there and the finished edge is open.
    pub const fn is_formed(&self) -> bool {
        matches!(
            self.stands,
            Stands::Edge(EdgeKind::Formed | EdgeKind::FormOnWall)
        )
    }
}

/// A length shorter than this is no stretch of edge but rounding.
const SHORTEST: Length = Length::from_inches(1.0 / 64.0);

pub(super) fn measure_edges(job: &Job, surfaces: &[Surface]) -> Vec<EdgeLine> {
    let mut lines = Vec::new();
    for (index, piece) in job.ramp.path.iter().enumerate() {
        for name in EdgeName::ALL {
            let found = Finder {
                job,
                surfaces,
                index,
            }
            .lines(piece, *name);
            lines.extend(found.into_iter().filter(|line| line.length > SHORTEST));
        }
    }
    lines
}

struct Finder<'a> {
    job: &'a Job,
    surfaces: &'a [Surface],
    index: usize,
}

impl Finder<'_> {
    fn lines(&self, piece: &Piece, name: EdgeName) -> Vec<EdgeLine> {
        let whole = self.whole_length(name);
        if let Some(kind) = piece.edges().at(name) {
            return vec![self.line(
                name,
                Stands::Edge(kind),
                (whole, piece.curbs().contains(&name)),
            )];
        }
        let joined = self.joined_lengths(piece, name);
        let mut lines = Vec::with_capacity(2);
        let mut taken = Length::ZERO;
        for (length, neighbour) in joined {
            let length = length.min(whole);
            taken += length;
            lines.push(self.line(name, self.joint_with(neighbour), (length, false)));
        }
        let rest = whole - taken;
        let curbed = self.rest_is_curbed(piece);
        lines.push(self.line(name, Stands::Edge(EdgeKind::Formed), (rest, curbed)));
        lines
    }

    fn whole_length(&self, name: EdgeName) -> Length {
        let surface = &self.surfaces[self.index];
        match name {
            EdgeName::Left | EdgeName::Right => surface.surface_length,
            EdgeName::Start | EdgeName::End => surface.width,
        }
    }

    /// Lengths of the pieces that join at an edge, with their index.
    fn joined_lengths(&self, piece: &Piece, name: EdgeName) -> Vec<(Length, usize)> {
        let mut joined = Vec::new();
        if name == EdgeName::Start && self.index > 0 {
            // A run meets a landing with its whole width, whichever edge of the landing that is.
            let before = &self.surfaces[self.index - 1];
            let own = &self.surfaces[self.index];
            let meets_landing = own.kind == SurfaceKind::Run && before.kind == SurfaceKind::Landing;
            let length = if meets_landing {
                own.width
            } else {
                before.width
            };
            joined.push((length, self.index - 1));
        }
        let after = self.index + 1;
        if after < self.surfaces.len() && name == leaves_at(piece) {
            joined.push((self.surfaces[after].width, after));
        }
        joined
    }

    fn joint_with(&self, neighbour: usize) -> Stands {
        let works = [
            self.surfaces[self.index].work,
            self.surfaces[neighbour].work,
        ];
        if works.contains(&Work::Existing) {
            Stands::JoinedToExisting
        } else {
            Stands::Joined
        }
    }

    /// The rest of a joined edge carries the curb where the piece's other edges do.
    fn rest_is_curbed(&self, piece: &Piece) -> bool {
        self.surfaces[self.index].kind == SurfaceKind::Landing && !piece.curbs().is_empty()
    }

    fn line(&self, name: EdgeName, stands: Stands, (length, curb): (Length, bool)) -> EdgeLine {
        let surface = &self.surfaces[self.index];
        let curb = curb && self.job.ramp.curb.as_option().is_some();
        let (low, high) = match name {
            EdgeName::Start => (surface.elevation_start, surface.elevation_start),
            EdgeName::End => (surface.elevation_end, surface.elevation_end),
            EdgeName::Left | EdgeName::Right => (surface.elevation_start, surface.elevation_end),
        };
        EdgeLine {
            piece: self.index,
            name,
            stands,
            length,
            curb,
            elevation_low: low,
            elevation_high: high,
        }
    }
}

/// The edge at which the next piece leaves.
const fn leaves_at(piece: &Piece) -> EdgeName {
    match piece {
        Piece::Run(_) => EdgeName::End,
        Piece::Landing(Landing { turn, .. }) => match turn {
            Turn::Straight => EdgeName::End,
            Turn::Left => EdgeName::Left,
            Turn::Right => EdgeName::Right,
            Turn::BackLeft | Turn::BackRight => EdgeName::Start,
        },
    }
}
