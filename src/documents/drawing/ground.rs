//! The ramp seen from above: what plan, joint plan and bar plan have in common.
//!
//! Invariants: the path runs up the page, or to the right where the page holds it larger so; everything is
//! to scale.

use super::canvas::{Canvas, Field};
use super::frame::Title;
use super::scale::Scale;
use super::scene::{Pen, Spot, Tone};
use super::subject::Subject;
use crate::geometry::{EdgeLine, Place, Point, Stands};
use crate::job::{EdgeKind, EdgeName, Work};
use crate::quantity::{Length, System};

/// Room for dimensions around the ramp, in millimetres on the paper.
const AROUND: f64 = 18.0;
/// Breadth of a wall as it is drawn, in millimetres on the paper.
const WALL: f64 = 2.2;

/// Where the ground lies on the paper.
pub(super) struct Ground {
    pub(super) scale: &'static Scale,
    /// True when the path sets off to the right.
    lying: bool,
    low: Point,
    origin: Spot,
}

impl Ground {
    /// As large as the field holds it.
    pub(super) fn fitting(places: &[Place], title: &Title) -> Self {
        Self::within(places, (&title.paper.field(), AROUND), title.system)
    }

    /// As large as a box on the paper holds it, with so much room above and below for dimensions.
    pub(super) fn within(places: &[Place], (field, above): (&Field, f64), system: System) -> Self {
        let room = (field.width() - 2.0 * AROUND, field.height() - 2.0 * above);
        let (low, high) = bounds(places);
        let (wide, high) = (high.x - low.x, high.y - low.y);
        let standing = Scale::fitting((wide, high), room, system);
        let lain = Scale::fitting((high, wide), room, system);
        let lying = lain.on_paper(high) > standing.on_paper(high);
        let scale = if lying { lain } else { standing };
        let (x, y) = if lying { (high, wide) } else { (wide, high) };
        let origin = Spot::new(
            f64::midpoint(field.left, field.right) - scale.on_paper(x) / 2.0,
            f64::midpoint(field.top, field.bottom) - scale.on_paper(y) / 2.0,
        );
        // Standing, the ground's low corner lies at the bottom; lying, at the top.
        let origin = if lying {
            origin
        } else {
            origin.moved(0.0, scale.on_paper(y))
        };
        Self {
            scale,
            lying,
            low,
            origin,
        }
    }

    pub(super) fn spot(&self, point: Point) -> Spot {
        let x = self.scale.on_paper(point.x - self.low.x);
        let y = self.scale.on_paper(point.y - self.low.y);
        if self.lying {
            self.origin.moved(y, x)
        } else {
            self.origin.moved(x, -y)
        }
    }

    /// A spot of a piece.
    pub(super) fn on(&self, place: &Place, across: Length, along: Length) -> Spot {
        self.spot(place.point(across, along))
    }

    /// A box between two distances across and along a piece.
    pub(super) fn corners(
        &self,
        place: &Place,
        across: (Length, Length),
        along: (Length, Length),
    ) -> Vec<Spot> {
        [
            (across.0, along.0),
            (across.1, along.0),
            (across.1, along.1),
            (across.0, along.1),
        ]
        .map(|(across, along)| self.on(place, across, along))
        .to_vec()
    }

    /// The paper's millimetres as a length on the ground.
    pub(super) fn on_ground(&self, millimetres: f64) -> Length {
        let metre = Length::from_metres(1.0);
        metre * (millimetres / self.scale.on_paper(metre))
    }

    /// The box of a piece on the paper.
    pub(super) fn field(&self, place: &Place) -> Field {
        let corners = place.corners().map(|corner| self.spot(corner));
        let ends = |of: fn(&Spot) -> f64| {
            let all = corners.iter().map(of);
            let low = all.clone().fold(f64::INFINITY, f64::min);
            (low, all.fold(f64::NEG_INFINITY, f64::max))
        };
        let (left, right) = ends(|spot| spot.x);
        let (top, bottom) = ends(|spot| spot.y);
        Field {
            left,
            top,
            right,
            bottom,
        }
    }

    /// Outlines, walls and curbs of every piece.
    pub(super) fn draw(&self, canvas: &mut Canvas, subject: &Subject<'_>) {
        for (place, surface) in subject.places.iter().zip(&subject.geometry.surfaces) {
            let (pen, tone) = match surface.work {
                Work::New => (Pen::Outline, None),
                Work::Existing => (Pen::Thin, Some(Tone::Light)),
            };
            let corners = place.corners().map(|corner| self.spot(corner));
            canvas.area(corners.to_vec(), Some(pen), tone);
        }
        for edge in &subject.geometry.edges {
            self.draw_edge(canvas, subject, edge);
        }
    }

    fn draw_edge(&self, canvas: &mut Canvas, subject: &Subject<'_>, edge: &EdgeLine) {
        let place = &subject.places[edge.piece];
        let whole = subject.job.ramp.path[edge.piece]
            .edges()
            .at(edge.name)
            .is_some();
        if whole && edge.stands == Stands::Edge(EdgeKind::AgainstWall) {
            let wall = self.on_ground(WALL);
            let corners = self.strip(place, edge.name, (Length::ZERO, -wall));
            canvas.area(corners, None, Some(Tone::Middle));
        }
        if let Some(curb) = subject
            .job
            .ramp
            .curb
            .as_option()
            .filter(|_| edge.curb && whole)
        {
            let corners = self.strip(place, edge.name, (Length::ZERO, curb.width));
            canvas.area(corners, Some(Pen::Thin), None);
        }
    }

    /// A strip along an edge, from one distance inside it to another.
    fn strip(&self, place: &Place, edge: EdgeName, (from, to): (Length, Length)) -> Vec<Spot> {
        let (across, along) = ((Length::ZERO, place.width), (Length::ZERO, place.length));
        match edge {
            EdgeName::Left => self.corners(place, (from, to), along),
            EdgeName::Right => self.corners(place, (place.width - from, place.width - to), along),
            EdgeName::Start => self.corners(place, across, (from, to)),
            EdgeName::End => self.corners(place, across, (place.length - from, place.length - to)),
        }
    }
}

/// The corners of the smallest box around the path.
fn bounds(places: &[Place]) -> (Point, Point) {
    let (mut low, mut high) = (Point::ORIGIN, Point::ORIGIN);
    for corner in places.iter().flat_map(Place::corners) {
        low.x = low.x.min(corner.x);
        low.y = low.y.min(corner.y);
        high.x = high.x.max(corner.x);
        high.y = high.y.max(corner.y);
    }
    (low, high)
}
