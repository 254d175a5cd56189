//! The plan: pieces, slopes, lengths, widths, elevations.

use super::canvas::{Canvas, Field};
use super::frame::{Title, View, framed};
use super::ground::Ground;
use super::scene::{Page, Pen, Spot};
use super::subject::Subject;
use crate::geometry::{Lie, Place, Surface, SurfaceKind};
use crate::job::{EdgeName, Piece};
use crate::quantity::{Length, Slope, System, round_to};

/// Room above and below a small plan for one row of dimensions, in millimetres on the paper.
const ABOVE: f64 = 12.0;
/// How far a dimension stands off a piece, in millimetres on the paper.
const OFF: f64 = 7.0;

pub(super) fn draw_plan(subject: &Subject<'_>, title: &Title) -> Page {
    let ground = Ground::fitting(subject.places, title);
    let mut canvas = Canvas::new(title.paper.field());
    canvas.measured(title, ground.scale);
    draw_on(&mut canvas, &ground, (subject, title.system, true));
    let view = View {
        title: "Plan",
        description: format!("The ramp from above: {} pieces.", subject.places.len()),
        scale: ground.scale,
        note: "Lengths are on plan.".to_owned(),
    };
    framed(canvas, title, view)
}

/// The same without its frame and without elevations, in a width and a height on the paper, in millimetres.
pub fn draw_small_plan(subject: &Subject<'_>, size: (f64, f64), system: System) -> Page {
    let field = Field {
        left: 0.0,
        top: 0.0,
        right: size.0,
        bottom: size.1,
    };
    let ground = Ground::within(subject.places, (&field, ABOVE), system);
    let mut canvas = Canvas::new(field);
    draw_on(&mut canvas, &ground, (subject, system, false));
    Page {
        width: size.0,
        height: size.1,
        title: "Plan".to_owned(),
        description: format!("The ramp from above, {}.", ground.scale.name),
        items: canvas.items,
    }
}

fn draw_on(
    canvas: &mut Canvas,
    ground: &Ground,
    (subject, system, elevations): (&Subject<'_>, System, bool),
) {
    ground.draw(canvas, subject);
    let mut drawer = Drawer {
        subject,
        ground,
        canvas,
        system,
    };
    for piece in 0..subject.places.len() {
        drawer.slope(piece);
    }
    for piece in 0..subject.places.len() {
        drawer.sizes(piece);
        if elevations {
            drawer.elevation(piece);
        }
    }
    for piece in 0..subject.places.len() {
        drawer.name(piece);
        drawer.door(piece);
    }
}

/// A slope as it is written beside its arrow.
pub(super) fn slope_words(slope: Slope) -> String {
    let percent = round_to(slope.percent().abs(), 2);
    let one_in = round_to(1.0 / slope.ratio().abs(), 1);
    format!("{percent} % (1:{one_in})")
}

struct Drawer<'a> {
    subject: &'a Subject<'a>,
    ground: &'a Ground,
    canvas: &'a mut Canvas,
    system: System,
}

impl Drawer<'_> {
    fn place(&self, piece: usize) -> &Place {
        &self.subject.places[piece]
    }

    /// A spot at shares of a piece's width and length.
    fn share(&self, piece: usize, across: f64, along: f64) -> Spot {
        let place = self.place(piece);
        self.ground
            .on(place, place.width * across, place.length * along)
    }

    /// An arrow up the slope: of a run along it, of a landing up its steepest way.
    fn slope(&mut self, piece: usize) {
        let surface = &self.subject.geometry.surfaces[piece];
        match &self.subject.grades.pieces[piece].lie {
            Lie::Ruled(_) => self.run_slope(piece, surface.slope),
            Lie::Plane(plane) => self.landing_slope(piece, (plane.along, plane.to_left)),
        }
    }

    fn run_slope(&mut self, piece: usize, slope: Slope) {
        if slope.is_zero() {
            return;
        }
        let (from, to) = (self.share(piece, 0.5, 0.35), self.share(piece, 0.5, 0.75));
        self.canvas.arrow(from, to);
        let middle = Spot::new(f64::midpoint(from.x, to.x), f64::midpoint(from.y, to.y));
        let spots = [middle.moved(0.0, -3.2), middle.moved(0.0, 3.2)];
        self.canvas
            .label_near(middle, &spots, &format!("up {}", slope_words(slope)));
    }

    fn landing_slope(&mut self, piece: usize, (along, to_left): (Slope, Slope)) {
        let steepest = libm::hypot(along.ratio(), to_left.ratio());
        if steepest < 1e-9 {
            return;
        }
        let (up, left) = (along.ratio() / steepest, to_left.ratio() / steepest);
        let place = self.place(piece);
        let reach = place.width.min(place.length) * 0.18;
        let at = |sign: f64| {
            let across = place.width / 2.0 - reach * (left * sign);
            let along = place.length / 2.0 + reach * (up * sign);
            self.ground.on(place, across, along)
        };
        let (from, to) = (at(-1.0), at(1.0));
        self.canvas.arrow(from, to);
        let middle = Spot::new(f64::midpoint(from.x, to.x), f64::midpoint(from.y, to.y));
        let words = slope_words(Slope::from_ratio(steepest));
        self.canvas.label_near(
            middle,
            &[middle.moved(0.0, 4.2), middle.moved(0.0, -4.2)],
            &words,
        );
    }

    /// Length beside a piece, where nothing else lies, and its width across it where that is new.
    fn sizes(&mut self, piece: usize) {
        let place = *self.place(piece);
        let surface = &self.subject.geometry.surfaces[piece];
        let (across, off) = if self.is_free(piece, EdgeName::Left) {
            (Length::ZERO, -OFF)
        } else if self.is_free(piece, EdgeName::Right) {
            (place.width, OFF)
        } else {
            (place.width * 0.12, 0.0)
        };
        let ends = (
            self.ground.on(&place, across, Length::ZERO),
            self.ground.on(&place, across, place.length),
        );
        self.canvas
            .dimension(ends, off, &surface.plan_length.tape(self.system));
        if self.width_is_new(piece, surface) {
            let along = if surface.kind == SurfaceKind::Run {
                0.18
            } else {
                0.14
            };
            let ends = (self.share(piece, 0.0, along), self.share(piece, 1.0, along));
            self.canvas
                .dimension(ends, 0.0, &surface.width.tape(self.system));
        }
    }

    /// True unless the piece before is just as wide.
    fn width_is_new(&self, piece: usize, surface: &Surface) -> bool {
        let before = piece
            .checked_sub(1)
            .map(|before| &self.subject.geometry.surfaces[before]);
        before.is_none_or(|before| before.width != surface.width)
    }

    /// True where no other piece lies beside an edge, as far as a dimension reaches.
    fn is_free(&self, piece: usize, edge: EdgeName) -> bool {
        let place = self.place(piece);
        let reach = self.ground.on_ground(OFF + 4.0);
        let mut beside = *place;
        let from = match edge {
            EdgeName::Left => -reach,
            _ => place.width,
        };
        // Kept off the ends, where the neighbours in the path join.
        let little = place.length * 0.02;
        beside.corner = place.point(from, little);
        beside.width = reach;
        beside.length = place.length - little * 2.0;
        let beside = self.ground.field(&beside);
        let others = self.subject.places.iter().enumerate();
        let mut others = others.filter(|(index, _)| *index != piece);
        !others.any(|(_, other)| beside.overlaps(&self.ground.field(other)))
    }

    /// The elevation of a piece's lower end, and of the path's upper end.
    fn elevation(&mut self, piece: usize) {
        let surface = &self.subject.geometry.surfaces[piece];
        let place = *self.place(piece);
        self.mark_elevation(&place, Length::ZERO, surface.elevation_start);
        if piece + 1 == self.subject.places.len() {
            self.mark_elevation(&place, place.length, surface.elevation_end);
        }
    }

    fn mark_elevation(&mut self, place: &Place, along: Length, elevation: Length) {
        let at = self.ground.on(place, place.width / 2.0, along);
        self.canvas.dot(at, 0.7);
        let words = format!("el {}", elevation.tape(self.system));
        let beside = [
            at.moved(0.0, -3.4),
            at.moved(0.0, 3.4),
            at.moved(11.0, 0.0),
            at.moved(-11.0, 0.0),
        ];
        self.canvas.label_near(at, &beside, &words);
    }

    fn name(&mut self, piece: usize) {
        let spots = [(0.5, 0.9), (0.5, 0.25), (0.3, 0.5), (0.7, 0.5), (0.75, 0.8)];
        let spots = spots.map(|(across, along)| self.share(piece, across, along));
        let about = self.share(piece, 0.5, 0.5);
        self.canvas
            .label_near(about, &spots, &self.subject.name(piece));
    }

    /// A door, in the middle of its edge: where along it, a job does not say.
    fn door(&mut self, piece: usize) {
        let Piece::Landing(landing) = &self.subject.job.ramp.path[piece] else {
            return;
        };
        let Some(door) = &landing.door else {
            return;
        };
        let place = self.place(piece);
        let (half, width, length) = (door.leaf / 2.0, place.width, place.length);
        let (across, along) = (width / 2.0, length / 2.0);
        let ends = match door.edge {
            EdgeName::Start => [(across - half, Length::ZERO), (across + half, Length::ZERO)],
            EdgeName::End => [(across - half, length), (across + half, length)],
            EdgeName::Left => [(Length::ZERO, along - half), (Length::ZERO, along + half)],
            EdgeName::Right => [(width, along - half), (width, along + half)],
        };
        let [a, b] = ends.map(|(across, along)| self.ground.on(place, across, along));
        for side in [-0.7, 0.7] {
            let (x, y) = if (a.x - b.x).abs() < (a.y - b.y).abs() {
                (side, 0.0)
            } else {
                (0.0, side)
            };
            self.canvas.line(a.moved(x, y), b.moved(x, y), Pen::Outline);
        }
        let middle = Spot::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
        let words = format!("door {}", door.leaf.tape(self.system));
        self.canvas.label_near(middle, &[], &words);
    }
}
