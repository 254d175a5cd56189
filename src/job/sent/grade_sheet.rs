//! What a grade sheet is asked for with, as it is sent.
//!
//! Invariant: not part of the expanded job, so that asking for a sheet changes no other answer.

use crate::job::choice::Side;
use crate::quantity::{Faults, Length};

sent! {
    /// How the grade sheet is wanted; read by that call alone, and held to its bounds by all.
    GradeSheetRequest {
        required {}
        optional {
            /// Distance between stations on plan; creases, joints and ends are stations besides.
            step: Length,
            /// The side to which water runs, as seen walking up.
            falls_to: Side,
            /// How far from a crease a run takes to reach its own cross slope; half the run where left out.
            twist_over: Length,
            /// Elevation of the foot of the path on its centre line.
            datum: Length,
            /// A point of known elevation and the rod read on it; without it the sheet has no rod readings.
            benchmark: BenchmarkRequest,
        }
    }

    /// A point of known elevation.
    BenchmarkRequest {
        required {
            /// Rod reading on it.
            rod: Length,
        }
        optional {
            /// Its elevation; that of the foot of the path where left out.
            elevation: Length,
        }
    }
}
