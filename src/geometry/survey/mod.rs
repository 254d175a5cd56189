//! A survey reduced: what the readings say of the ramp, unjudged.
//!
//! Invariants: adding one elevation to all shots changes nothing but the offset that is told; an
//! uncertainty is expanded (k = 2) and follows from those of the readings alone; a reading that was not
//! taken leaves a hole, never a slope. Absent: any limit (those arrive as arguments), any judgement.
//!
//! | file | holds |
//! | --- | --- |
//! | `fit` | least squares: a line, lines of one slope, a plane; the line that most readings lie on |
//! | `profile` | readings put in order along lines, and the windows of a level on them |
//! | `straightedge` | gaps under a straightedge, and the bumps and dips that make them |
//! | `field` | heights over a piece: interpolation and volumes |
//! | `water` | water that a surface holds |
//! | `slab` | depth from base to forms, and errors of forms |
//! | `mend` | what stands above and below a target, panel by panel |

mod field;
mod fit;
mod mend;
mod profile;
mod slab;
mod straightedge;
mod water;

pub use field::Field;
pub use fit::{LineFit, PlaneFit, fit_line, fit_plane, steady_line};
pub use mend::{Mend, Target, mend_panels};
pub use profile::{Node, Noise, Profile, Window};
pub use slab::{Depth, DepthPoint, FormError, measure_depth, measure_forms, side_of};
pub use straightedge::{Uneven, find_uneven, straightedge_gaps};
pub use water::{Pond, find_pond};

use super::{Geometry, Surface, SurfaceKind};
use crate::job::{GradeSheet, Job, LevelDirection, Survey, SurveyLayer, SurveyStage, Turn};
use crate::quantity::{Length, Slope, floor};

/// A survey reduced.
#[derive(Clone, Debug, PartialEq)]
pub struct Surveyed {
    /// What was surveyed.
    pub stage: SurveyStage,
    /// Every shot, in the order sent.
    pub points: Vec<Point>,
    /// What was added to all elevations to lay them on the drawn ramp; none where nothing was fitted.
    pub offset: Option<Length>,
    /// Lines of readings along and across each piece.
    pub profiles: Vec<Profile>,
    /// Every window of a level; without a slope where the reading was not taken.
    pub windows: Vec<Window>,
    /// Each run's slope along, by least squares.
    pub runs: Vec<RunFit>,
    /// Each landing's fall, by least squares.
    pub landings: Vec<LandingFit>,
    /// Lips at joints and creases.
    pub lips: Vec<Lip>,
    /// How much of each piece was measured.
    pub coverage: Vec<Coverage>,
    /// Expanded uncertainty of an elevation.
    pub uncertainty: Length,
}

impl Surveyed {
    /// Water shallower than this may be an error of two shots.
    pub fn pond_seen(&self) -> Length {
        self.uncertainty * core::f64::consts::SQRT_2
    }
}

/// One shot on the ramp's own elevations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Index of the piece.
    pub piece: usize,
    /// What it was taken on.
    pub layer: SurveyLayer,
    /// From the foot of the path, on plan.
    pub station: Length,
    /// From the piece's lower end, on plan.
    pub along: Length,
    /// From the left edge.
    pub across: Length,
    /// Above the foot of the path.
    pub elevation: Length,
    /// The drawn surface there.
    pub drawn: Length,
}

/// A run's slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunFit {
    /// Index of the piece.
    pub piece: usize,
    /// Least-squares slope along the path, over all lines of readings together.
    pub slope: Slope,
    /// Its expanded uncertainty.
    pub uncertainty: Slope,
    /// Root of the mean squared distance of the readings from it.
    pub scatter: Length,
}

/// A landing's fall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LandingFit {
    /// Index of the piece.
    pub piece: usize,
    /// Rise along the arriving run, positive up the path.
    pub along: Slope,
    /// Rise across it, positive to the right.
    pub across: Slope,
    /// Steepest slope in any direction.
    pub steepest: Slope,
    /// Which way water runs.
    pub towards: Bearing,
    /// Expanded uncertainty of `steepest` and of either part.
    pub uncertainty: Slope,
    /// Water that stands on it, where shots form a grid that can show it.
    pub pond: Option<Pond>,
}

/// A direction, clockwise from straight up the path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bearing(f64);

impl Bearing {
    /// In degrees, 0 to 360.
    pub const fn degrees(self) -> f64 {
        self.0
    }
}

/// A step in the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lip {
    /// Index of the piece; the upper one at a crease.
    pub piece: usize,
    /// From its lower end.
    pub along: Length,
    /// From its left edge.
    pub across: Length,
    /// Its height.
    pub height: Length,
    /// Its expanded uncertainty.
    pub uncertainty: Length,
    /// Index of one of the two shots.
    pub shot: usize,
}

/// How much of a piece was measured along the path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coverage {
    /// Index of the piece.
    pub piece: usize,
    /// Windows that were read.
    pub measured: usize,
    /// Windows of a level that no reading covers.
    pub unmeasured: usize,
    /// Windows longer than one and a half levels, in which a shorter steep place can hide.
    pub coarse: usize,
}

/// Reduces a survey of a ramp that is drawn as its grade sheet says.
pub fn survey(job: &Job, geometry: &Geometry, (survey, sheet): (&Survey, &GradeSheet)) -> Surveyed {
    let lies = super::fall::lay(job, geometry, sheet);
    let (points, offset) = slab::lay_on_drawing(geometry, survey, &lies);
    let skin: Vec<(usize, &Point)> = points
        .iter()
        .enumerate()
        .filter(|(_, point)| point.layer != SurveyLayer::Base)
        .collect();
    let mut profiles = profile::of_shots(&skin, survey);
    profiles.extend(profile::of_walks(survey));
    let windows = profile::windows(&profiles, survey);
    let pieces = || geometry.surfaces.iter().enumerate();
    let of_kind = |kind| pieces().filter(move |(_, surface)| surface.kind == kind);
    Surveyed {
        stage: survey.stage,
        uncertainty: survey.uncertainty,
        offset,
        runs: of_kind(SurfaceKind::Run)
            .filter_map(|(piece, _)| fit_run(&profiles, piece))
            .collect(),
        landings: of_kind(SurfaceKind::Landing)
            .filter_map(|(piece, _)| fit_landing(job, (&skin, &profiles), (piece, survey)))
            .collect(),
        lips: find_lips(job, (geometry, survey), &skin),
        coverage: pieces()
            .map(|(piece, surface)| cover(&windows, (piece, surface), survey.level))
            .collect(),
        points,
        profiles,
        windows,
    }
}

fn fit_run(profiles: &[Profile], piece: usize) -> Option<RunFit> {
    let lines: Vec<&Profile> = profiles
        .iter()
        .filter(|line| line.piece == piece && line.direction == LevelDirection::Along)
        .collect();
    let (slope, uncertainty, scatter) = fit::fit_together(&lines)?;
    Some(RunFit {
        piece,
        slope,
        uncertainty,
        scatter,
    })
}

fn fit_landing(
    job: &Job,
    (skin, profiles): (&[(usize, &Point)], &[Profile]),
    (piece, survey): (usize, &Survey),
) -> Option<LandingFit> {
    let own: Vec<&Point> = skin
        .iter()
        .map(|(_, point)| *point)
        .filter(|point| point.piece == piece)
        .collect();
    let places: Vec<[Length; 3]> = own
        .iter()
        .map(|point| [point.along, point.across, point.elevation])
        .collect();
    let plane = fit_plane(&places).map(|plane| {
        let (along, across, steepest) = (plane.along, plane.across, plane.steepest());
        let uncertainty = plane.uncertainty(survey.uncertainty);
        (along, across, steepest, uncertainty)
    });
    // Without a plane of shots, what a level says each way, where it was walked both ways.
    let (along, across, steepest, uncertainty) = plane.or_else(|| by_level(profiles, piece))?;
    let downhill = libm::atan2(-across.ratio(), -along.ratio()).to_degrees();
    Some(LandingFit {
        piece,
        along,
        across,
        steepest,
        towards: Bearing(if downhill < 0.0 {
            downhill + 360.0
        } else {
            downhill
        }),
        uncertainty,
        pond: find_pond(&Field::of(&own), water::outlets(job, piece)),
    })
}

fn by_level(profiles: &[Profile], piece: usize) -> Option<(Slope, Slope, Slope, Slope)> {
    let fit = |direction: LevelDirection| {
        let lines: Vec<&Profile> = profiles
            .iter()
            .filter(|line| line.piece == piece && line.direction == direction)
            .collect();
        fit::fit_together(&lines)
    };
    let (along, one, _) = fit(LevelDirection::Along)?;
    let (across, other, _) = fit(LevelDirection::Across)?;
    let steepest = Slope::from_ratio(libm::hypot(along.ratio(), across.ratio()));
    Some((along, across, steepest, one.max(other)))
}

/// Two shots of the surface on one point, or on both sides of a crease that the path goes straight over.
fn find_lips(
    job: &Job,
    (geometry, survey): (&Geometry, &Survey),
    skin: &[(usize, &Point)],
) -> Vec<Lip> {
    let mut lips = Vec::new();
    for (at, (shot, upper)) in skin.iter().enumerate() {
        let pairs = skin[..at].iter().map(|(_, lower)| (*lower, *upper));
        let pairs = pairs.chain(skin[at + 1..].iter().map(|(_, lower)| (*lower, *upper)));
        for (number, (lower, upper)) in pairs.enumerate() {
            let on_point = number < at && profile::on_one_point(lower, upper);
            if on_point || over_crease(job, geometry, (lower, upper)) {
                lips.push(Lip {
                    piece: upper.piece,
                    along: upper.along,
                    across: upper.across,
                    height: (upper.elevation - lower.elevation).abs(),
                    uncertainty: survey.uncertainty * core::f64::consts::SQRT_2,
                    shot: *shot,
                });
            }
        }
    }
    lips
}

fn over_crease(job: &Job, geometry: &Geometry, (lower, upper): (&Point, &Point)) -> bool {
    let goes_on = match job.ramp.path.get(lower.piece) {
        Some(crate::job::Piece::Landing(landing)) => landing.turn == Turn::Straight,
        _ => true,
    };
    let ends = [lower.piece, upper.piece].map(|piece| &geometry.surfaces[piece]);
    let middle = |point: &Point, surface: &Surface| point.across - surface.width / 2.0;
    let beside = middle(lower, ends[0]) - middle(upper, ends[1]);
    goes_on
        && lower.piece + 1 == upper.piece
        && (ends[0].plan_length - lower.along)
            .abs()
            .at_most(profile::ON_LINE)
        && upper.along.at_most(profile::ON_LINE)
        && beside.abs().at_most(profile::ON_LINE)
}

/// What windows leave of a piece, whichever line they lie on.
fn cover(windows: &[Window], (piece, surface): (usize, &Surface), level: Length) -> Coverage {
    let own: Vec<&Window> = windows
        .iter()
        .filter(|w| w.piece == piece && w.direction == LevelDirection::Along)
        .collect();
    let read = || own.iter().filter(|window| window.slope.is_some());
    let mut spans: Vec<(Length, Length)> = read().map(|w| (w.from, w.to)).collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut reached, mut holes) = (Length::ZERO, 0.0);
    for (from, to) in spans {
        holes += floor((from - reached).max(Length::ZERO) / level);
        reached = reached.max(to);
    }
    holes += floor((surface.plan_length - reached).max(Length::ZERO) / level);
    Coverage {
        piece,
        measured: read().count(),
        // Bounds rows keep this to a few thousand.
        unmeasured: holes as usize,
        coarse: read()
            .filter(|w| !(w.to - w.from).at_most(level * 1.5))
            .count(),
    }
}
