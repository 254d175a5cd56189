//! What was measured of a ramp, with every question answered.
//!
//! Invariants: places lie on their piece; an elevation counts from whatever the instrument was set to;
//! uncertainties are expanded (k = 2). Absent: what comes of it.

use crate::job::choice::{LevelDirection, SurveyLayer, SurveyStage};
use crate::quantity::{Length, Slope};

/// What was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Survey {
    /// What was surveyed.
    pub stage: SurveyStage,
    /// Shots, in the order sent.
    pub shots: Vec<Shot>,
    /// Lines walked with a level, in the order sent.
    pub walks: Vec<Walk>,
    /// True where one offset is fitted to the drawn ramp.
    pub fitted: bool,
    /// Length of the windows that shots are read in.
    pub level: Length,
    /// Length of the straightedge.
    pub straightedge: Length,
    /// Expanded uncertainty of an elevation.
    pub uncertainty: Length,
    /// Tolerances of the job's own.
    pub limits: SurveyLimits,
}

/// One shot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shot {
    /// Index of the piece.
    pub piece: usize,
    /// From its lower end, on plan.
    pub along: Length,
    /// From the left edge of the slab.
    pub across: Length,
    /// Elevation.
    pub elevation: Length,
    /// What it was taken on.
    pub layer: SurveyLayer,
}

/// A line walked with a level.
#[derive(Clone, Debug, PartialEq)]
pub struct Walk {
    /// Index of the piece.
    pub piece: usize,
    /// Which way.
    pub direction: LevelDirection,
    /// Where the line lies: across for a line along, along for a line across.
    pub at: Length,
    /// Where the first reading begins.
    pub from: Length,
    /// Length of the level, on plan.
    pub level: Length,
    /// Slope with its expanded uncertainty; none where a reading was not taken.
    pub readings: Vec<Option<(Slope, Slope)>>,
}

/// Tolerances of the job's own.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SurveyLimits {
    /// Gap under the straightedge.
    pub gap: Option<Length>,
    /// Error of a form's height.
    pub form: Option<Length>,
    /// By how much a slab may be thinner than drawn.
    pub thinner: Option<Length>,
}
