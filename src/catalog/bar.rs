//! Rows of steel beside the bars themselves: laps, cover, welded wire.
//!
//! Invariant: every row carries its source. Absent here: how many bars there are, prices.

use super::row::rows;
use crate::quantity::{Area, Citation, Length};
use serde::Deserialize;

rows! {
    /// A tension lap from strengths.
    LapRow {
        /// Yield strength of the steel, in pounds per square inch.
        yield_psi: f64,
        /// Divides it, with the root of the concrete's strength.
        divisor: f64,
        /// Stronger concrete counts as this, in pounds per square inch.
        strength_most_psi: f64,
        /// Lap over development length.
        factor: f64,
        /// Never less.
        least: Length,
        /// Rounded up to this.
        step: Length,
    }
    /// Cover of bars.
    CoverOfBarRow {
        /// Bars of this diameter and larger.
        from: Length,
        /// Least cover.
        cover: Length,
    }
    /// Welded wire.
    WireRow {
        /// As the job spells it.
        wire: String,
        /// Item code of a sheet.
        code: String,
        /// Pounds on a hundred square feet.
        lb_per_100_ft2: f64,
    }
    /// A sheet of welded wire.
    WireSheetRow {
        /// Across.
        width: Length,
        /// Along.
        length: Length,
        /// Over the next sheet.
        lap: Length,
        /// Slab that one chair carries.
        chair_area: Area,
    }
}
