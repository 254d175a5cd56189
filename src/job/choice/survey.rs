//! The words a survey is written in.
//!
//! Invariant: as in the rest of the job, one spelling a choice. Absent: readings.

choices! {
    /// What was surveyed.
    SurveyStage {
        /// The prepared base under the slab, alone.
        Base = "base",
        /// The forms, before the pour; the base may be sent with them.
        Forms = "forms",
        /// The finished concrete.
        Poured = "poured",
    }

    /// What a shot was taken on.
    SurveyLayer {
        /// The prepared base.
        Base = "base",
        /// The top of a form, which the screed rides on.
        Forms = "forms",
        /// The finished surface.
        Surface = "surface",
    }

    /// A line along a piece, as seen walking up.
    SurveySide {
        /// The left edge of the slab.
        Left = "left",
        /// Midway between its edges.
        Centre = "centre",
        /// The right edge of the slab.
        Right = "right",
    }

    /// Which way a level was walked.
    LevelDirection {
        /// Up the path: running slope.
        Along = "along",
        /// From the left edge to the right: cross slope.
        Across = "across",
    }

    /// What elevations of shots are measured from.
    SurveyDatum {
        /// Any point: one offset is fitted to the drawn ramp, and told.
        Fitted = "fitted",
        /// The foot of the path on its centre line.
        Foot = "foot",
    }
}
