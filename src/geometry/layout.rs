//! Layout: where each piece of the path lies on the ground.
//!
//! Invariants: the path sets off up the page from the lower left corner of its first piece; all turns are
//! square; where a landing is wider than what joins it, its outer side is flush. Absent: elevations.

use super::{Surface, piece_pointer};
use crate::job::{Job, Landing, Piece, Turn};
use crate::quantity::{Fault, Faults, Length};

/// A point on the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right of the first piece's lower left corner.
    pub x: Length,
    /// Ahead of it.
    pub y: Length,
}

/// A piece on the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Its lower left corner, as seen walking up.
    pub corner: Point,
    /// The way it goes: quarter turns to the left from the path's first way.
    pub heading: u8,
    /// Across.
    pub width: Length,
    /// Along.
    pub length: Length,
    /// From the left corner of its lower end to the left corner of what arrives there.
    pub arrival: Length,
}

/// Two pieces that overlap by less are side by side.
const TOUCHING: Length = Length::from_millimetres(0.1);

impl Point {
    /// The origin.
    pub const ORIGIN: Self = Self {
        x: Length::ZERO,
        y: Length::ZERO,
    };
}

impl Place {
    /// The point at a distance from the left edge and from the lower end.
    pub fn point(&self, across: Length, along: Length) -> Point {
        let (x, y) = match self.heading {
            0 => (across, along),
            1 => (-along, across),
            2 => (-across, -along),
            _ => (along, -across),
        };
        Point {
            x: self.corner.x + x,
            y: self.corner.y + y,
        }
    }

    /// How far a point lies from the left edge and from the lower end.
    pub fn from_edges(&self, point: Point) -> (Length, Length) {
        let (x, y) = (point.x - self.corner.x, point.y - self.corner.y);
        match self.heading {
            0 => (x, y),
            1 => (y, -x),
            2 => (-x, -y),
            _ => (-y, x),
        }
    }

    /// The corners: lower left, lower right, upper right, upper left, as seen walking up.
    pub fn corners(&self) -> [Point; 4] {
        let (zero, width, length) = (Length::ZERO, self.width, self.length);
        [(zero, zero), (width, zero), (width, length), (zero, length)]
            .map(|(across, along)| self.point(across, along))
    }

    fn at(corner: Point, heading: u8) -> Self {
        Self {
            corner,
            heading: heading % 4,
            width: Length::ZERO,
            length: Length::ZERO,
            arrival: Length::ZERO,
        }
    }

    fn overlaps(&self, other: &Self) -> bool {
        let ends = |place: &Self, of: fn(&Point) -> Length| {
            let corners = place.corners();
            let low = corners.iter().map(of).fold(of(&corners[0]), Length::min);
            let high = corners.iter().map(of).fold(of(&corners[0]), Length::max);
            (low, high)
        };
        let along = |of: fn(&Point) -> Length| {
            let (a, b) = (ends(self, of), ends(other, of));
            a.1.min(b.1) - a.0.max(b.0) > TOUCHING
        };
        along(|point| point.x) && along(|point| point.y)
    }
}

/// Where a piece lets the path leave.
pub const fn turn_of(piece: &Piece) -> Turn {
    match piece {
        Piece::Run(_) => Turn::Straight,
        Piece::Landing(Landing { turn, .. }) => *turn,
    }
}

/// Every piece on the ground, each as long as `along` says.
pub fn place_pieces(job: &Job, surfaces: &[Surface], along: fn(&Surface) -> Length) -> Vec<Place> {
    let mut places = Vec::with_capacity(surfaces.len());
    let mut at = Place::at(Point::ORIGIN, 0);
    let mut arriving = surfaces.first().map_or(Length::ZERO, |first| first.width);
    for (index, (piece, surface)) in job.ramp.path.iter().zip(surfaces).enumerate() {
        let turn = turn_of(piece);
        let flush_right = matches!(turn, Turn::Left | Turn::BackLeft);
        let shift = if flush_right {
            arriving - surface.width
        } else {
            Length::ZERO
        };
        let place = Place {
            width: surface.width,
            length: along(surface),
            arrival: -shift,
            ..Place::at(at.point(shift, Length::ZERO), at.heading)
        };
        places.push(place);
        let next = surfaces
            .get(index + 1)
            .map_or(Length::ZERO, |next| next.width);
        at = leave(&place, turn, next);
        arriving = if turn == Turn::Straight {
            surface.width
        } else {
            next
        };
    }
    places
}

/// The corner from which the next piece sets off, and its way.
fn leave(place: &Place, turn: Turn, next: Length) -> Place {
    let (width, length, zero) = (place.width, place.length, Length::ZERO);
    let ((across, along), quarters) = match turn {
        Turn::Straight => ((zero, length), 0),
        Turn::Left => ((zero, length - next), 1),
        Turn::Right => ((width, length), 3),
        Turn::BackLeft => ((next, zero), 2),
        Turn::BackRight => ((width, zero), 2),
    };
    Place::at(place.point(across, along), place.heading + quarters)
}

/// Makes sure that no piece lies on another.
///
/// # Errors
/// A fault at every piece that lies on an earlier one.
pub fn check_apart(places: &[Place]) -> Result<(), Faults> {
    let mut faults = Faults::default();
    for (index, place) in places.iter().enumerate() {
        let before = places[..index].iter();
        let Some(under) = before.into_iter().position(|other| other.overlaps(place)) else {
            continue;
        };
        faults.push(Fault::new(
            piece_pointer(index),
            format!("a piece that lies on {}", piece_pointer(under)),
            "a path that does not turn into itself: another turn, a longer piece or a wider gap",
            None,
        ));
    }
    faults.or(())
}
