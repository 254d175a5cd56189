//! Shots laid on the drawn ramp; depth from base to forms; errors of forms.
//!
//! Invariants: the offset that is fitted is the median of the errors, so that one bad stake shows its
//! whole error and the others none; the drawn surface is the grade sheet's, twists at creases among it.

use super::field::Field;
use super::fit::median;
use super::{Point, Surveyed};
use crate::geometry::{Geometry, Lie, Surface};
use crate::job::{Job, Shot, Side, Survey, SurveyLayer, ThicknessMeasured};
use crate::quantity::{Length, Volume};

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
pub(super) fn lay_on_drawing(
    geometry: &Geometry,
    survey: &Survey,
    lies: &[Lie],
) -> (Vec<Point>, Option<Length>) {
    let mut points: Vec<Point> = survey
        .shots
        .iter()
        .map(|shot| place(&geometry.surfaces[shot.piece], shot, &lies[shot.piece]))
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

fn place(surface: &Surface, shot: &Shot, lie: &Lie) -> Point {
    Point {
        piece: shot.piece,
        layer: shot.layer,
        station: surface.station + shot.along,
        along: shot.along,
        across: shot.across,
        elevation: shot.elevation,
        drawn: surface.elevation_start + lie.above_start(shot.along, shot.across),
    }
}

/// The side to which the shots of a surface fall on the whole; nothing where they do not say.
pub fn side_of(survey: &Survey) -> Option<Side> {
    let shots = || {
        survey
            .shots
            .iter()
            .filter(|shot| shot.layer != SurveyLayer::Base)
    };
    let mut apart = Vec::new();
    for a in shots() {
        let beside = |b: &&Shot| {
            b.piece == a.piece && (b.along - a.along).abs().at_most(super::profile::ON_LINE)
        };
        for b in shots().filter(beside).filter(|b| b.across > a.across) {
            apart.push((b.elevation - a.elevation) / (b.across - a.across));
        }
    }
    let slope = median(&mut apart).filter(|slope| *slope != 0.0)?;
    Some(if slope > 0.0 { Side::Left } else { Side::Right })
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
