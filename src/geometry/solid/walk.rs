//! Walks: straight stretches that may widen, with mitred bends and arcs between them.
//!
//! Invariants: the sides of a stretch are straight; at a mitre the sides of two stretches meet in a
//! corner; an arc is as wide as what joins it. Areas and sides are exact for that figure.

use super::{MatShape, Solid, Top, along_slope};
use crate::geometry::joint::count_panels;
use crate::job::{Bend, EdgeKind, Job, Side, Stretch, WalkElement};
use crate::quantity::{Area, Length, Slope};

type Spot = [f64; 2];

/// A straight stretch on plan, in metres: where its two sides begin and end.
#[derive(Clone, Copy, Debug)]
struct Figure {
    left: [Spot; 2],
    right: [Spot; 2],
}

/// Where a walk has got to.
#[derive(Clone, Copy)]
struct At {
    spot: Spot,
    heading: f64,
}

pub(super) fn measure(job: &Job, walk: &WalkElement) -> Solid {
    let mut solid = Solid {
        by: Some(walk.by),
        ..Solid::default()
    };
    let figures = lay_out(walk);
    let mut along = Length::ZERO;
    for (index, (stretch, figure)) in walk.stretches.iter().zip(&figures).enumerate() {
        let slope = Slope::from_ratio((stretch.rise / stretch.length).abs());
        let length = along_slope(stretch.length, stretch.rise);
        let steeper = length / stretch.length;
        let area = figure.area() * steeper;
        let sides = [(walk.left, figure.left), (walk.right, figure.right)];
        for (kind, side) in sides {
            let side = distance(side) * steeper;
            solid.add_edge(kind, side, (walk.thickness, walk.thickness));
        }
        add_surface(&mut solid, area, slope);
        let from = start_width(walk, index);
        add_joints(&mut solid, job, (length, from, stretch.width_end));
        along += length;
        if let Some(bend) = &stretch.bend {
            along += add_bend(&mut solid, (job, walk), (bend, stretch.width_end));
        }
    }
    finish(solid, walk, along)
}

/// Ends, mat, bed and volume, once all surfaces are known.
fn finish(mut solid: Solid, walk: &WalkElement, along: Length) -> Solid {
    let area = solid.top_area();
    let thick = (walk.thickness, walk.thickness);
    solid.add_edge(walk.start, walk.width, thick);
    let last = walk
        .stretches
        .last()
        .map_or(walk.width, |last| last.width_end);
    if let Some(end) = walk.end {
        solid.add_edge(end, last, thick);
    }
    let open = |edge: EdgeKind| u32::from(edge == EdgeKind::Formed);
    let ends = open(walk.start) + walk.end.map_or(0, open);
    solid.bed.corners = ends * (open(walk.left) + open(walk.right));
    solid.bed.area = area;
    solid.parts = vec![("walk", area * walk.thickness)];
    if !along.is_zero() {
        solid.mats = vec![MatShape {
            length: along,
            width: area / along,
            times: 1,
            upright: false,
        }];
    }
    solid
}

fn add_surface(solid: &mut Solid, area: Area, slope: Slope) {
    solid.tops.push(Top {
        area,
        slope,
        stepped: false,
    });
}

/// Joints across a stretch, one where it ends at a further one, and along it where it is wide.
fn add_joints(solid: &mut Solid, job: &Job, (length, from, to): (Length, Length, Length)) {
    let panels = count_panels(job, length, (from + to) / 2.0);
    solid.contraction.extend((1..panels.0).map(|place| {
        let share = f64::from(place) / f64::from(panels.0);
        from + (to - from) * share
    }));
    solid.contraction.extend((1..panels.1).map(|_| length));
}

/// The joint at a bend, and the arc where it has one; how long that is along the centre line.
fn add_bend(
    solid: &mut Solid,
    (job, walk): (&Job, &WalkElement),
    (bend, width): (&Bend, Length),
) -> Length {
    solid.contraction.push(width);
    let Some(radius) = bend.radius else {
        return Length::ZERO;
    };
    let angle = f64::from(bend.degrees).to_radians();
    let along = radius * angle;
    let (inner, outer) = (
        (radius - width / 2.0) * angle,
        (radius + width / 2.0) * angle,
    );
    let (left, right) = match bend.to {
        Side::Left => (inner, outer),
        Side::Right => (outer, inner),
    };
    for (kind, side) in [(walk.left, left), (walk.right, right)] {
        solid.add_edge(kind, side, (walk.thickness, walk.thickness));
    }
    // Pappus: the area that a width sweeps is the way of its middle times the width.
    add_surface(solid, along * width, Slope::ZERO);
    add_joints(solid, job, (along, width, width));
    solid.contraction.push(width);
    along
}

fn start_width(walk: &WalkElement, index: usize) -> Length {
    let before = index
        .checked_sub(1)
        .and_then(|before| walk.stretches.get(before));
    before.map_or(walk.width, |before| before.width_end)
}

fn lay_out(walk: &WalkElement) -> Vec<Figure> {
    let mut at = At {
        spot: [0.0, 0.0],
        heading: 0.0,
    };
    let mut figures: Vec<Figure> = Vec::with_capacity(walk.stretches.len());
    let mut mitred = false;
    for (index, stretch) in walk.stretches.iter().enumerate() {
        let mut figure = draw(at, stretch, start_width(walk, index));
        if let Some(before) = figures.last_mut().filter(|_| mitred) {
            meet(&mut before.left, &mut figure.left);
            meet(&mut before.right, &mut figure.right);
        }
        figures.push(figure);
        at.spot = step(at, (stretch.length.metres(), 0.0));
        let bend = stretch.bend.as_ref();
        mitred = bend.is_some_and(|bend| bend.radius.is_none());
        if let Some(bend) = bend {
            at = turn(at, bend);
        }
    }
    figures
}

/// The way a bend leads.
fn turn(at: At, bend: &Bend) -> At {
    let angle = f64::from(bend.degrees).to_radians();
    let way = match bend.to {
        Side::Left => 1.0,
        Side::Right => -1.0,
    };
    let radius = bend.radius.map_or(0.0, Length::metres);
    let along = radius * libm::sin(angle);
    let aside = way * radius * (1.0 - libm::cos(angle));
    At {
        spot: step(at, (along, aside)),
        heading: at.heading + way * angle,
    }
}

/// So far ahead and to the left.
fn step(at: At, (ahead, left): (f64, f64)) -> Spot {
    let (sine, cosine) = (libm::sin(at.heading), libm::cos(at.heading));
    [
        at.spot[0] + ahead * cosine - left * sine,
        at.spot[1] + ahead * sine + left * cosine,
    ]
}

fn draw(at: At, stretch: &Stretch, from: Length) -> Figure {
    let (from, to) = (from.metres() / 2.0, stretch.width_end.metres() / 2.0);
    let length = stretch.length.metres();
    Figure {
        left: [step(at, (0.0, from)), step(at, (length, to))],
        right: [step(at, (0.0, -from)), step(at, (length, -to))],
    }
}

/// Lets two sides end and begin where their lines cross; lines that do not cross stay as they are.
fn meet(before: &mut [Spot; 2], after: &mut [Spot; 2]) {
    let way = |side: &[Spot; 2]| [side[1][0] - side[0][0], side[1][1] - side[0][1]];
    let (a, b) = (way(before), way(after));
    let across = a[0] * b[1] - a[1] * b[0];
    let scale = libm::hypot(a[0], a[1]) * libm::hypot(b[0], b[1]);
    if across.abs() <= 1e-9 * scale {
        return;
    }
    let gap = [after[0][0] - before[0][0], after[0][1] - before[0][1]];
    let share = (gap[0] * b[1] - gap[1] * b[0]) / across;
    let corner = [before[0][0] + share * a[0], before[0][1] + share * a[1]];
    before[1] = corner;
    after[0] = corner;
}

fn distance([from, to]: [Spot; 2]) -> Length {
    Length::from_metres(libm::hypot(to[0] - from[0], to[1] - from[1]))
}

impl Figure {
    /// Area between the two sides, by the sum over its corners.
    fn area(&self) -> Area {
        let corners = [self.right[0], self.right[1], self.left[1], self.left[0]];
        let mut twice = 0.0;
        for (from, to) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            twice += from[0] * to[1] - to[0] * from[1];
        }
        Area::from_square_metres(twice.abs() / 2.0)
    }
}
