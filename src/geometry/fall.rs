//! How each surface falls across, so that what meets at a crease meets at one line.
//!
//! Invariants: on the centre line of the path every elevation is the height budget's; a landing is one
//! plane; a run is ruled straight across, and at a crease it has the landing's slope. Absent: limits.
//!
//! A landing that turns cannot keep its whole fall square to both of its runs: through the two ends of
//! the path on it, at their elevations, there is one plane of its fall to either side. The one that falls
//! to the side asked for is taken; where the path turns back both creases are level, and the landing
//! falls away from them, unless a wall stands there.

use super::{Geometry, Place, place_pieces};
use crate::job::{EdgeKind, GradeSheet, Job, Landing, Piece, Side, Turn};
use crate::quantity::{Compared, Length, Slope, round_to};

/// Two ends of the path on a landing that are no further apart are one.
const NO_WAY: Length = Length::from_inches(1.0 / 16.0);

/// How a piece of the path lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lie {
    /// A landing: one plane.
    Plane(Plane),
    /// A run: ruled across, its cross slope led over from crease to crease.
    Ruled(Ruled),
}

/// The plane of a landing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Rise along the arriving run.
    pub along: Slope,
    /// Rise to the left of it.
    pub to_left: Slope,
    /// From the middle of the arriving run to the left edge.
    left_edge: Length,
}

/// A run between two creases; slopes are rises to the left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ruled {
    slope: Slope,
    length: Length,
    width: Length,
    at_foot: Slope,
    own: Slope,
    at_head: Slope,
    twist_over: Length,
}

/// A place across a piece, as seen walking up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// The left edge of the slab.
    Left,
    /// Midway between its edges.
    Centre,
    /// The right edge.
    Right,
}

impl Across {
    /// From left to right.
    pub const ALL: [Self; 3] = [Self::Left, Self::Centre, Self::Right];

    /// How far it lies from the left edge of a slab.
    pub fn from_left(self, width: Length) -> Length {
        match self {
            Self::Left => Length::ZERO,
            Self::Centre => width / 2.0,
            Self::Right => width,
        }
    }

    /// How it is spelled in an answer.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Centre => "centre",
            Self::Right => "right",
        }
    }
}

impl Plane {
    /// The steepest slope in any direction.
    pub fn steepest(&self) -> Slope {
        Slope::from_ratio(libm::hypot(self.along.ratio(), self.to_left.ratio()))
    }

    fn in_words(&self) -> String {
        let along = match self.along.compare(Slope::ZERO) {
            Compared::Above => format!("rises {} along", percent(self.along)),
            Compared::Below => format!("falls {} along", percent(self.along)),
            _ => "level along".to_owned(),
        };
        format!("{along}, {}", across_words(self.to_left))
    }

    fn above_start(&self, along: Length, from_left: Length) -> Length {
        self.along * along + self.to_left * (self.left_edge - from_left)
    }
}

impl Ruled {
    /// Rise to the left at a distance along, on plan.
    pub fn to_left(&self, along: Length) -> Slope {
        let (near, crease) = match along.at_most(self.length / 2.0) {
            true => (along, self.at_foot),
            false => (self.length - along, self.at_head),
        };
        let share = (near / self.twist_over).clamp(0.0, 1.0);
        crease + (self.own - crease) * share
    }

    /// The steepest that an edge runs along the path, and by how much that is more than the centre line;
    /// nothing where the run does not twist.
    pub fn steepest_edge(&self) -> Option<Slope> {
        let twist = |crease: Slope| ((self.own - crease).ratio() * (self.width / 2.0)).abs();
        let most = twist(self.at_foot).max(twist(self.at_head));
        let more = Slope::of(most, self.twist_over)?;
        (!more.is_zero()).then(|| self.slope + more)
    }

    fn in_words(&self) -> String {
        let rises = format!("rises {} along", percent(self.slope));
        let own = across_words(self.own);
        if self.steepest_edge().is_none() {
            return format!("{rises}, {own}");
        }
        let (foot, head) = (across_words(self.at_foot), across_words(self.at_head));
        format!(
            "{rises}; across: {foot} at the lower crease, {own} between, {head} at the upper crease"
        )
    }

    fn above_start(&self, along: Length, from_left: Length) -> Length {
        self.slope * along + self.to_left(along) * (self.width / 2.0 - from_left)
    }
}

impl Lie {
    /// How far a point lies above the piece's lower end on the path's centre line; `from_left` is its
    /// distance from the slab's left edge.
    pub fn above_start(&self, along: Length, from_left: Length) -> Length {
        match self {
            Self::Plane(plane) => plane.above_start(along, from_left),
            Self::Ruled(ruled) => ruled.above_start(along, from_left),
        }
    }

    /// How it lies, in words.
    pub fn in_words(&self) -> String {
        match self {
            Self::Plane(plane) => plane.in_words(),
            Self::Ruled(ruled) => ruled.in_words(),
        }
    }

    /// Rise to the left at a distance along, on plan.
    pub fn to_left(&self, along: Length) -> Slope {
        match self {
            Self::Plane(plane) => plane.to_left,
            Self::Ruled(ruled) => ruled.to_left(along),
        }
    }
}

/// A slope without its sign, to the hundredth of a percent.
fn percent(slope: Slope) -> String {
    format!("{} %", round_to(slope.percent().abs(), 2))
}

fn across_words(to_left: Slope) -> String {
    match to_left.compare(Slope::ZERO) {
        Compared::Above => format!("falls {} to the right", percent(to_left)),
        Compared::Below => format!("falls {} to the left", percent(to_left)),
        _ => "level across".to_owned(),
    }
}

/// How every piece of the path lies, in its order.
pub(super) fn lay(job: &Job, geometry: &Geometry, wanted: &GradeSheet) -> Vec<Lie> {
    let path = &job.ramp.path;
    let places = place_pieces(job, &geometry.surfaces, |surface| surface.plan_length);
    let planes: Vec<Option<Plane>> = (0..path.len())
        .map(|index| plane(job, &places, (index, wanted.falls_to)))
        .collect();
    let side = towards(wanted.falls_to);
    let lie = |(index, piece): (usize, &Piece)| {
        let surface = &geometry.surfaces[index];
        let Piece::Run(run) = piece else {
            let plane = planes[index].expect("every landing has a plane");
            return Lie::Plane(plane);
        };
        let below = index.checked_sub(1);
        let at_foot = below.and_then(|below| leaving(&path[below], planes[below]?));
        let at_head = planes.get(index + 1).copied().flatten();
        // Two runs that meet keep the lower one's slope at their crease.
        let lower = below.map_or(run.cross_slope, |_| {
            geometry.surfaces[index - 1].cross_slope
        });
        Lie::Ruled(Ruled {
            slope: surface.slope,
            length: surface.plan_length,
            width: surface.width,
            at_foot: at_foot.unwrap_or(lower * side),
            own: run.cross_slope * side,
            at_head: at_head.map_or(run.cross_slope * side, |plane| plane.to_left),
            twist_over: twist_over(wanted, surface.plan_length),
        })
    };
    path.iter().enumerate().map(lie).collect()
}

/// At most half a run, so that both ends have room.
fn twist_over(wanted: &GradeSheet, length: Length) -> Length {
    let half = length / 2.0;
    wanted.twist_over.map_or(half, |asked| asked.min(half))
}

/// The sign of a rise to the left where water runs to `side`.
const fn towards(side: Side) -> f64 {
    match side {
        Side::Right => 1.0,
        Side::Left => -1.0,
    }
}

/// The plane of the landing at an index; nothing for a run.
fn plane(job: &Job, places: &[Place], (index, falls_to): (usize, Side)) -> Option<Plane> {
    let Piece::Landing(landing) = &job.ramp.path[index] else {
        return None;
    };
    let place = &places[index];
    let arriving = index.checked_sub(1).map_or(place, |below| &places[below]);
    let left_edge = place.arrival + arriving.width / 2.0;
    let side = towards(falls_to);
    let way = places.get(index + 1).map(|next| {
        let leaves = next.point(next.width / 2.0, Length::ZERO);
        let (across, along) = place.from_edges(leaves);
        (along, left_edge - across)
    });
    let (along, to_left) = match (way, landing.turn) {
        (None, _) => (landing.slope_along, landing.slope_across * side),
        (Some((_, left)), Turn::Straight) => {
            // The next run may be narrower, and its middle then lies beside that of the one below.
            let to_left = landing.slope_across * side;
            (
                landing.slope_along - to_left * (left / place.length),
                to_left,
            )
        }
        (Some(way), _) => tilt(landing, way, side),
    };
    Some(Plane {
        along,
        to_left,
        left_edge,
    })
}

/// The slopes along and to the left of a plane that rises over `way` what the height budget says, and
/// falls as steeply as the landing is said to.
fn tilt(landing: &Landing, (along, left): (Length, Length), side: f64) -> (Slope, Slope) {
    let far = libm::hypot(along.metres(), left.metres());
    // A first landing that turns back is left where it is entered: there is no way to rise over.
    let apart = !Length::from_metres(far).at_most(NO_WAY);
    let share = |part: Length| if apart { part.metres() / far } else { 0.0 };
    let (x, y) = (share(along), share(left));
    let over_way = share(landing.slope_along * landing.length);
    let fall = landing.slope_across.ratio();
    let rest = libm::sqrt((fall * fall - over_way * over_way).max(0.0));
    // The fall that is left lies square to the way, to the side asked for.
    let square = match landing.turn {
        Turn::BackLeft | Turn::BackRight => {
            let away = landing.edges.end != Some(EdgeKind::AgainstWall);
            let sign = if away { -1.0 } else { 1.0 };
            (sign, 0.0)
        }
        _ => (-y * side, x * side),
    };
    let slope = |way: f64, square: f64| Slope::from_ratio(over_way * way + rest * square);
    (slope(x, square.0), slope(y, square.1))
}

/// Rise to the left of the run that leaves a landing, at its crease; nothing where a run leaves.
fn leaving(piece: &Piece, plane: Plane) -> Option<Slope> {
    let Piece::Landing(landing) = piece else {
        return None;
    };
    Some(match landing.turn {
        Turn::Straight => plane.to_left,
        Turn::Left => plane.along * -1.0,
        Turn::Right => plane.along,
        Turn::BackLeft | Turn::BackRight => plane.to_left * -1.0,
    })
}
