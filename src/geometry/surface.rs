//! Surfaces: how long, how wide, how high, how steep.
//!
//! Invariant: a surface's area is its length along the surface times its slab width.

use super::{HeightStep, HeightWhat, piece_pointer};
use crate::job::{EdgeKind, EdgeName, Job, Piece, Work};
use crate::quantity::{Area, Length, Slope};

/// What a surface is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SurfaceKind {
    /// A landing.
    Landing,
    /// A run.
    Run,
}

/// The surface of one piece of the path.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    /// Landing or run.
    pub kind: SurfaceKind,
    /// New or existing.
    pub work: Work,
    /// From the foot to its lower end, on plan along the path.
    pub station: Length,
    /// Length on plan.
    pub plan_length: Length,
    /// Length along the surface.
    pub surface_length: Length,
    /// Slab edge to slab edge.
    pub width: Length,
    /// Between curbs, or slab edge where there is none.
    pub clear_width: Length,
    /// Between handrails, where their place is known.
    pub between_rails: Option<Length>,
    /// Between the faces of two walls, where walls stand on both sides.
    pub between_walls: Option<Length>,
    /// Clear length along the path, less curbs at its ends.
    pub clear_length: Length,
    /// Area along the surface.
    pub area: Area,
    /// Slope along the path, rise over plan length.
    pub slope: Slope,
    /// Fall across.
    pub cross_slope: Slope,
    /// Elevation of the lower end above the foot.
    pub elevation_start: Length,
    /// Elevation of the upper end above the foot.
    pub elevation_end: Length,
}

pub(super) fn measure_surfaces(job: &Job) -> Vec<Surface> {
    let (mut station, mut elevation) = (Length::ZERO, Length::ZERO);
    let mut surfaces = Vec::with_capacity(job.ramp.path.len());
    for piece in &job.ramp.path {
        let surface = measure_surface(job, piece, (station, elevation));
        station += surface.plan_length;
        elevation = surface.elevation_end;
        surfaces.push(surface);
    }
    surfaces
}

fn measure_surface(job: &Job, piece: &Piece, (station, elevation): (Length, Length)) -> Surface {
    let (kind, plan_length, slope, cross_slope) = match piece {
        Piece::Landing(landing) => (
            SurfaceKind::Landing,
            landing.length,
            landing.slope_along,
            landing.slope_across,
        ),
        Piece::Run(run) => (
            SurfaceKind::Run,
            run.plan_length(),
            run.slope(),
            run.cross_slope,
        ),
    };
    let rise = match piece {
        Piece::Landing(_) => slope * plan_length,
        // The taped rise itself, not slope times length, so that nothing is lost in the division.
        Piece::Run(run) => run.rise,
    };
    let surface_length = Length::from_metres(libm::hypot(plan_length.metres(), rise.metres()));
    let width = piece.width();
    Surface {
        kind,
        work: piece.work(),
        station,
        plan_length,
        surface_length,
        width,
        clear_width: width - curbs_on(job, piece, [EdgeName::Left, EdgeName::Right]),
        between_rails: between_rails(job, piece),
        between_walls: between_walls(job, piece),
        clear_length: plan_length - curbs_on(job, piece, [EdgeName::Start, EdgeName::End]),
        area: surface_length * width,
        slope,
        cross_slope,
        elevation_start: elevation,
        elevation_end: elevation + rise,
    }
}

/// Width that curbs on two of a piece's edges take.
fn curbs_on(job: &Job, piece: &Piece, edges: [EdgeName; 2]) -> Length {
    let Some(curb) = job.ramp.curb.as_option() else {
        return Length::ZERO;
    };
    let curbed = edges
        .iter()
        .filter(|edge| piece.curbs().contains(edge))
        .count();
    curb.width * curbed as f64
}

fn between_rails(job: &Job, piece: &Piece) -> Option<Length> {
    let rails = job.ramp.handrails.as_option()?;
    let inset = rails.inset?;
    let sides = if rails.both_sides == Some(false) {
        1.0
    } else {
        2.0
    };
    let curbs = curbs_on(job, piece, [EdgeName::Left, EdgeName::Right]);
    Some(piece.width() - curbs - inset * sides)
}

fn between_walls(job: &Job, piece: &Piece) -> Option<Length> {
    let edges = piece.edges();
    let walls = [edges.left, edges.right]
        .iter()
        .all(|edge| *edge == Some(EdgeKind::AgainstWall));
    walls.then(|| piece.width() + job.joints.filler * 2.0)
}

pub(super) fn measure_heights(job: &Job) -> Vec<HeightStep> {
    let mut steps = Vec::new();
    for (index, piece) in job.ramp.path.iter().enumerate() {
        let subject = piece_pointer(index);
        match piece {
            Piece::Run(run) => {
                steps.push(HeightStep {
                    subject,
                    what: HeightWhat::Run,
                    rise: run.rise,
                });
            }
            Piece::Landing(landing) => {
                let rise = landing.slope_along * landing.length;
                if !rise.is_zero() {
                    let what = HeightWhat::Landing;
                    steps.push(HeightStep {
                        subject: subject.clone(),
                        what,
                        rise,
                    });
                }
                if let Some(door) = &landing.door {
                    let subject = format!("{subject}/door/threshold");
                    let what = HeightWhat::Threshold;
                    steps.push(HeightStep {
                        subject,
                        what,
                        rise: door.threshold,
                    });
                }
            }
        }
    }
    steps
}
