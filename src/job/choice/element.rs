//! The words in which what is poured around a ramp is written.
//!
//! Invariant: as in the rest of the job, one spelling a choice. Absent: sizes.

choices! {
    /// What carries a flight of steps.
    StepsSupport {
        /// Concrete down to the ground under every tread.
        OnGrade = "on_grade",
        /// A sloped waist under the steps.
        OnWaist = "on_waist",
    }

    /// Along which line the legs of a wall or footing were taped.
    LegsAlong {
        /// The outer face: at a corner both legs reach it.
        Outside = "outside",
        /// The centre line.
        CentreLine = "centre_line",
        /// The inner face.
        Inside = "inside",
    }

    /// How new concrete meets the cut edge of what stays.
    TieJoint {
        /// Dowels drilled into what stays.
        Doweled = "doweled",
        /// An isolation joint.
        Isolated = "isolated",
    }

    /// What is dug.
    Soil {
        /// Common earth, loam.
        Earth = "earth",
        /// Gravel or sand.
        Gravel = "gravel",
        /// Clay.
        Clay = "clay",
    }
}
