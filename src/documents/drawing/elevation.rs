//! The elevation, unfolded along the middle of the path.
//!
//! Invariant: lengths are to scale; heights are drawn a stated whole number of times higher.

use super::canvas::{Canvas, Field};
use super::frame::{Title, View, framed};
use super::plan::slope_words;
use super::scale::Scale;
use super::scene::{Page, Pen, Spot, Tone};
use super::subject::Subject;
use crate::geometry::{Across, GradedPoint, Surface, SurfaceKind};
use crate::job::Work;
use crate::quantity::{Length, System};

/// How many times higher heights may be drawn, the least first (common practice, no source).
const TIMES: [f64; 5] = [1.0, 2.0, 4.0, 5.0, 10.0];
/// A rise that is drawn at least so high can be read, in millimetres on the paper.
const READABLE: f64 = 22.0;

pub(super) fn draw_elevation(subject: &Subject<'_>, title: &Title) -> Page {
    let field = title.paper.field();
    let profile = Profile::of(subject, &field, title.system);
    let mut canvas = Canvas::new(field);
    canvas.measured(title, profile.scale);
    profile.draw(&mut canvas, subject);
    profile.label(&mut canvas, subject);
    let times = if profile.times > 1.0 {
        format!("Heights are drawn {} times higher. ", profile.times)
    } else {
        String::new()
    };
    let view = View {
        title: "Elevation, unfolded",
        description:
            "The path seen from its right side, every turn unfolded, with its slopes and heights."
                .to_owned(),
        scale: profile.scale,
        note: format!("{times}Along the middle of the path; lengths are on plan."),
    };
    framed(canvas, title, view)
}

struct Profile {
    scale: &'static Scale,
    times: f64,
    left: f64,
    /// Where elevation zero lies.
    zero: f64,
    deepest: Length,
    system: System,
}

impl Profile {
    fn of(subject: &Subject<'_>, field: &Field, system: System) -> Self {
        let geometry = subject.geometry;
        let length = geometry.plan_length();
        let points = || middle_points(subject);
        let highest = points()
            .map(|p| p.finish.elevation)
            .fold(Length::ZERO, Length::max);
        let deepest = points().map(bottom).fold(Length::ZERO, Length::min);
        let high = highest - deepest;
        let room = (field.width() - 30.0, field.height() - 62.0);
        let scale = Scale::fitting((length, high), room, system);
        let drawn = scale.on_paper(high);
        let enough = |times: &&f64| drawn * **times >= READABLE;
        let fits = |times: &f64| drawn * times <= room.1;
        let times = TIMES.iter().find(enough).unwrap_or(&TIMES[TIMES.len() - 1]);
        let times = *[*times]
            .iter()
            .chain(TIMES.iter().rev())
            .find(|t| fits(t))
            .unwrap_or(&1.0);
        let middle = f64::midpoint(field.top, field.bottom);
        let half = drawn * times / 2.0;
        Self {
            scale,
            times,
            left: f64::midpoint(field.left, field.right) - scale.on_paper(length) / 2.0,
            zero: middle + half + scale.on_paper(deepest) * times,
            deepest,
            system,
        }
    }

    fn spot(&self, station: Length, elevation: Length) -> Spot {
        let up = self.scale.on_paper(elevation) * self.times;
        Spot::new(self.left + self.scale.on_paper(station), self.zero - up)
    }

    fn draw(&self, canvas: &mut Canvas, subject: &Subject<'_>) {
        for (piece, surface) in subject.geometry.surfaces.iter().enumerate() {
            let ends = [
                (surface.station, surface.elevation_start),
                (surface.station + surface.plan_length, surface.elevation_end),
            ];
            let [from, to] = ends.map(|(station, elevation)| self.spot(station, elevation));
            if let Some(depths) = depths(subject, piece) {
                self.layers(canvas, ends, &depths);
            }
            let pen = match surface.work {
                Work::New => Pen::Outline,
                Work::Existing => Pen::Thin,
            };
            canvas.line(from, to, pen);
        }
        let length = subject.geometry.plan_length();
        let (from, to) = (
            self.spot(Length::ZERO, Length::ZERO),
            self.spot(length, Length::ZERO),
        );
        canvas.line(from.moved(-6.0, 0.0), to.moved(6.0, 0.0), Pen::Centre);
    }

    /// Slab, insulation and stone as bands, plumb below the surface.
    fn layers(&self, canvas: &mut Canvas, ends: [(Length, Length); 2], depths: &[(Length, Tone)]) {
        let mut top = Length::ZERO;
        for (bottom, tone) in depths {
            let corner = |(station, elevation): (Length, Length), below: Length| {
                self.spot(station, elevation - below)
            };
            let corners = vec![
                corner(ends[0], top),
                corner(ends[1], top),
                corner(ends[1], *bottom),
                corner(ends[0], *bottom),
            ];
            canvas.area(corners, Some(Pen::Thin), Some(*tone));
            top = *bottom;
        }
    }

    fn label(&self, canvas: &mut Canvas, subject: &Subject<'_>) {
        let surfaces = &subject.geometry.surfaces;
        let below = self.spot(Length::ZERO, self.deepest).y;
        for surface in surfaces {
            let base = |station: Length| Spot::new(self.spot(station, Length::ZERO).x, below);
            let ends = (
                base(surface.station),
                base(surface.station + surface.plan_length),
            );
            canvas.dimension(ends, 9.0, &surface.plan_length.tape(self.system));
        }
        for (piece, surface) in surfaces.iter().enumerate() {
            self.mark(canvas, surface.station, surface.elevation_start);
            if piece + 1 == surfaces.len() {
                self.mark(
                    canvas,
                    surface.station + surface.plan_length,
                    surface.elevation_end,
                );
            }
        }
        for (piece, surface) in surfaces.iter().enumerate() {
            self.name(canvas, surface, &subject.name(piece));
        }
        let whole = subject.geometry.plan_length();
        let ends = (
            Spot::new(self.spot(Length::ZERO, Length::ZERO).x, below),
            Spot::new(self.spot(whole, Length::ZERO).x, below),
        );
        canvas.dimension(ends, 19.0, &whole.tape(self.system));
    }

    fn mark(&self, canvas: &mut Canvas, station: Length, elevation: Length) {
        let at = self.spot(station, elevation);
        canvas.dot(at, 0.7);
        let words = format!("el {}", elevation.tape(self.system));
        let spots = [4.5, 9.0, 13.5].map(|up| at.moved(0.0, -up));
        canvas.label_near(at, &spots, &words);
    }

    fn name(&self, canvas: &mut Canvas, surface: &Surface, name: &str) {
        let station = surface.station + surface.plan_length / 2.0;
        let middle = (surface.elevation_start + surface.elevation_end) / 2.0;
        let at = self.spot(station, middle);
        let spots = [9.0, 13.5, 18.0, 22.5].map(|up| at.moved(0.0, -up));
        canvas.label_near(at, &spots, name);
        if surface.kind == SurfaceKind::Run && !surface.slope.is_zero() {
            let spots = [4.5, 13.5, 18.0].map(|up| at.moved(0.0, -up));
            canvas.label_near(at, &spots, &format!("up {}", slope_words(surface.slope)));
        }
    }
}

fn middle_points<'a>(subject: &'a Subject<'a>) -> impl Iterator<Item = &'a GradedPoint> {
    let stations = subject
        .grades
        .pieces
        .iter()
        .flat_map(|piece| &piece.stations);
    let points = stations.flat_map(|station| &station.points);
    points.filter(|point| point.across == Across::Centre)
}

/// The lowest that is dug to at a point; elevations here are above the foot.
fn bottom(point: &GradedPoint) -> Length {
    let layers = [
        point.stone_bottom,
        point.insulation_bottom,
        point.slab_bottom,
    ];
    let lowest = layers.into_iter().flatten().next();
    lowest.map_or(point.finish.elevation, |grade| grade.elevation)
}

/// How far below the surface each layer of a new piece ends, plumb.
fn depths(subject: &Subject<'_>, piece: usize) -> Option<Vec<(Length, Tone)>> {
    let station = subject.grades.pieces[piece].stations.first()?;
    let point = station
        .points
        .iter()
        .find(|point| point.across == Across::Centre)?;
    let layers = [
        (point.slab_bottom, Tone::Light),
        (point.insulation_bottom, Tone::Paper),
        (point.stone_bottom, Tone::Middle),
    ];
    let ends = layers.into_iter().filter_map(|(grade, tone)| {
        grade.map(|grade| (point.finish.elevation - grade.elevation, tone))
    });
    Some(ends.collect())
}
