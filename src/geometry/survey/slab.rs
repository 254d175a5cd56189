//! Shots laid on the drawn ramp; depth from base to forms; errors of forms.
//!
//! Invariants: the offset that is fitted is the median of the errors, so that one bad stake shows its
//! whole error and the others none; a landing's side of fall and a run's are read from the shots.
//! Departs from the grade sheet in that creases are not led over: each piece is drawn as one plane.

use super::field::Field;
use super::fit::median;
use super::{Point, Surveyed};
use crate::geometry::{Geometry, Surface};
use crate::job::{Job, Shot, Survey, SurveyLayer, ThicknessMeasured};
use crate::quantity::{Length, Slope, Volume};

/// The depth of a slab before it is poured.
#[derive(Clone, Debug, PartialEq)]
pub struct Depth {
    /// At each shot of the base.
    pub points: Vec<DepthPoint>,
    /// Volume of each piece that was measured: its index, as drawn, as measured.
    pub volumes: Vec<(usize, Volume, Volume)>,
}

/// Depth at one point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DepthPoint {
    /// Index of the shot of the base.
    pub shot: usize,
    /// Index of the piece.
    pub piece: usize,
    /// From its lower end.
    pub along: Length,
    /// From its left edge.
    pub across: Length,
    /// Depth, measured as the slab's thickness is: square to the surface, or plumb.
    pub depth: Length,
    /// Its expanded uncertainty.
    pub uncertainty: Length,
}

/// Error of a form's height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FormError {
    /// Index of the shot.
    pub shot: usize,
    /// Index of the piece.
    pub piece: usize,
    /// From its lower end.
    pub along: Length,
    /// From its left edge.
    pub across: Length,
    /// Too high where positive.
    pub error: Length,
}

/// Every shot with the drawn surface under it, and the offset that was fitted.
pub(super) fn lay_on_drawing(geometry: &Geometry, survey: &Survey) -> (Vec<Point>, Option<Length>) {
    let falls: Vec<Slope> = (0..geometry.surfaces.len())
        .map(|piece| rise_to_right(geometry, survey, piece))
        .collect();
    let mut points: Vec<Point> = survey
        .shots
        .iter()
        .map(|shot| place(&geometry.surfaces[shot.piece], shot, falls[shot.piece]))
        .collect();
    if !survey.fitted {
        return (points, None);
    }
    let skin = points.iter().filter(|p| p.layer != SurveyLayer::Base);
    let mut errors: Vec<f64> = skin.map(|p| (p.drawn - p.elevation).metres()).collect();
    let offset = median(&mut errors).map(Length::from_metres);
    for point in &mut points {
        point.elevation += offset.unwrap_or(Length::ZERO);
    }
    (points, offset)
}

fn place(surface: &Surface, shot: &Shot, to_right: Slope) -> Point {
    let off_centre = shot.across - surface.width / 2.0;
    let rise = surface.elevation_end - surface.elevation_start;
    let centre = surface.elevation_start + rise * (shot.along / surface.plan_length);
    Point {
        piece: shot.piece,
        layer: shot.layer,
        station: surface.station + shot.along,
        along: shot.along,
        across: shot.across,
        elevation: shot.elevation,
        drawn: centre + to_right * off_centre,
    }
}

/// The drawn cross slope, to the side to which the shots fall on the whole; to the right where they
/// do not say.
fn rise_to_right(geometry: &Geometry, survey: &Survey, piece: usize) -> Slope {
    let surface = &geometry.surfaces[piece];
    let shots = || {
        let own = survey.shots.iter().filter(|shot| shot.piece == piece);
        own.filter(|shot| shot.layer != SurveyLayer::Base)
    };
    let mut apart = Vec::new();
    for a in shots() {
        let beside = shots().filter(|b| (b.along - a.along).abs().at_most(super::profile::ON_LINE));
        for b in beside.filter(|b| b.across > a.across) {
            apart.push((b.elevation - a.elevation) / (b.across - a.across));
        }
    }
    let rises = median(&mut apart).is_some_and(|slope| slope > 0.0);
    if rises {
        surface.cross_slope
    } else {
        -surface.cross_slope
    }
}

fn shots_of(surveyed: &Surveyed, piece: usize, base: bool) -> Vec<(usize, &Point)> {
    let points = surveyed.points.iter().enumerate();
    points
        .filter(|(_, p)| p.piece == piece && (p.layer == SurveyLayer::Base) == base)
        .collect()
}

/// Depth of each piece whose base was shot: below the forms where those were shot too, else below the
/// drawn surface.
pub fn measure_depth(job: &Job, geometry: &Geometry, surveyed: &Surveyed, shot: Length) -> Depth {
    let mut depth = Depth {
        points: Vec::new(),
        volumes: Vec::new(),
    };
    for (piece, surface) in geometry.surfaces.iter().enumerate() {
        let base = shots_of(surveyed, piece, true);
        if base.is_empty() {
            continue;
        }
        let forms = shots_of(surveyed, piece, false);
        let forms = Field::of(&forms.iter().map(|(_, p)| *p).collect::<Vec<_>>());
        let top = |point: &Point| {
            forms
                .height(point.along, point.across)
                .unwrap_or(point.drawn)
        };
        let plumb = |point: &Point| top(point) - point.elevation;
        let factor = surface.slope.surface_factor();
        let square = match job.slab.thickness_measured {
            ThicknessMeasured::SquareToSurface => factor,
            ThicknessMeasured::Vertical => 1.0,
        };
        let both = if forms.is_empty() {
            1.0
        } else {
            core::f64::consts::SQRT_2
        };
        depth
            .points
            .extend(base.iter().map(|(index, point)| DepthPoint {
                shot: *index,
                piece,
                along: point.along,
                across: point.across,
                depth: plumb(point) / square,
                uncertainty: shot * both / square,
            }));
        let places = base.iter().map(|(_, p)| [p.along, p.across, plumb(p)]);
        let all = (
            (Length::ZERO, surface.plan_length),
            (Length::ZERO, surface.width),
        );
        let drawn = surface.plan_length * surface.width * job.slab.thickness * (square);
        depth
            .volumes
            .push((piece, drawn, Field::new(places).volume(all.0, all.1)));
    }
    depth
}

/// Errors of the forms, and what they add to the volume of each piece: its index, as drawn, as set.
pub fn measure_forms(
    job: &Job,
    geometry: &Geometry,
    surveyed: &Surveyed,
) -> (Vec<FormError>, Vec<(usize, Volume, Volume)>) {
    let (mut errors, mut volumes) = (Vec::new(), Vec::new());
    for (piece, surface) in geometry.surfaces.iter().enumerate() {
        let forms = shots_of(surveyed, piece, false);
        if forms.is_empty() {
            continue;
        }
        errors.extend(forms.iter().map(|(index, point)| FormError {
            shot: *index,
            piece,
            along: point.along,
            across: point.across,
            error: point.elevation - point.drawn,
        }));
        let off = forms
            .iter()
            .map(|(_, p)| [p.along, p.across, p.elevation - p.drawn]);
        let more = Field::new(off).volume(
            (Length::ZERO, surface.plan_length),
            (Length::ZERO, surface.width),
        );
        let square = match job.slab.thickness_measured {
            ThicknessMeasured::SquareToSurface => surface.slope.surface_factor(),
            ThicknessMeasured::Vertical => 1.0,
        };
        let drawn = surface.plan_length * surface.width * job.slab.thickness * square;
        volumes.push((piece, drawn, drawn + more));
    }
    (errors, volumes)
}
