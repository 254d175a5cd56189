//! What was measured of a ramp, as it is sent.
//!
//! Invariant: not part of the expanded job, so that readings change no other answer. Absent: what
//! comes of them.

use super::grade_sheet::BenchmarkRequest;
use crate::job::choice::{LevelDirection, SurveyDatum, SurveyLayer, SurveySide, SurveyStage};
use crate::job::reading::LevelReading;
use crate::quantity::{Faults, Length, Slope};

sent! {
    /// What was measured; read by the survey alone, and checked by all calls.
    SurveyRequest {
        required {
            /// What was surveyed.
            stage: SurveyStage,
        }
        optional {
            /// Shots of an instrument.
            shots: Vec<ShotRequest>,
            /// Lines walked with a level.
            walks: Vec<WalkRequest>,
            /// A point of known elevation; shots that give a rod reading need it.
            benchmark: BenchmarkRequest,
            /// What elevations are measured from.
            datum: SurveyDatum,
            /// Length of the level, and of the windows that shots are read in.
            level: Length,
            /// Length of the straightedge.
            straightedge: Length,
            /// How far readings are to be trusted.
            uncertainty: SurveyUncertaintyRequest,
            /// Tolerances of the job's own.
            limits: SurveyLimitsRequest,
        }
    }

    /// One shot. Two shots of the surface on one point are the two sides of a lip.
    ShotRequest {
        required {
            /// Index of the piece in the ramp's path, from 0.
            piece: u32,
            /// From the piece's lower end, on plan.
            along: Length,
        }
        optional {
            /// From the left edge of the slab, as seen walking up.
            across: Length,
            /// Or the edge it was taken on, or the middle.
            side: SurveySide,
            /// Elevation.
            elevation: Length,
            /// Or the rod reading.
            rod: Length,
            /// What it was taken on; follows from the stage where left out.
            of: SurveyLayer,
        }
    }

    /// A line walked with a level, each reading beginning where the last one ended.
    WalkRequest {
        required {
            /// Index of the piece in the ramp's path, from 0.
            piece: u32,
            /// In walking order: a slope, the gap under the raised end with the level held level, or
            /// null.
            readings: Vec<LevelReading>,
        }
        optional {
            /// Up the path (the default), or from left to right.
            direction: LevelDirection,
            /// Of a line along: from the left edge of the slab.
            across: Length,
            /// Of a line along: or the edge, or the middle.
            side: SurveySide,
            /// Of a line across: from the piece's lower end, on plan.
            along: Length,
            /// Where the first reading begins, in the direction walked.
            from: Length,
            /// Length of the level.
            level: Length,
        }
    }

    /// How far readings are to be trusted: half of the interval that holds 95 of 100 (k = 2).
    SurveyUncertaintyRequest {
        required {}
        optional {
            /// Of an elevation.
            shot: Length,
            /// Of a slope read on a level.
            level: Slope,
            /// Of a gap.
            gap: Length,
        }
    }

    /// Tolerances of the job's own, in place of the built-in ones.
    SurveyLimitsRequest {
        required {}
        optional {
            /// Gap under the straightedge.
            gap: Length,
            /// Error of a form's height.
            form: Length,
            /// By how much a slab may be thinner than drawn at one point.
            thinner: Length,
        }
    }
}
