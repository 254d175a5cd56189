//! How a grade sheet is wanted, with every question answered.

use crate::job::choice::Side;
use crate::quantity::Length;
use serde::Serialize;

full! {
    /// How a grade sheet is wanted.
    GradeSheet {
        /// Between stations, on plan.
        step: Length,
        /// Where water runs, as seen walking up.
        falls_to: Side,
        /// From a crease to where a run has its own cross slope; half the run where not stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        twist_over: Option<Length>,
        /// Elevation of the foot of the path on its centre line.
        datum: Length,
        /// Elevation of the line of sight, where a benchmark was given.
        #[serde(skip_serializing_if = "Option::is_none")]
        line_of_sight: Option<Length>,
    }
}
