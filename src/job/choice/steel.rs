//! The words in which steel is written: sizes of bars, laps, welded wire.
//!
//! Invariant: as in the rest of the job, one spelling a choice. Absent: weights, which are rows.

choices! {
    /// How long a lap is.
    LapRule {
        /// So many bar diameters, the rule of the field.
        Diameters = "diameters",
        /// A class B tension lap of ACI 318, from the strength of the concrete.
        ClassB = "class_b",
    }
    /// Welded wire of 6 by 6 in instead of bars in flat slabs.
    Wire {
        /// 0.134 in.
        W14 = "W1.4",
        /// 0.162 in.
        W21 = "W2.1",
        /// 0.192 in.
        W29 = "W2.9",
        /// 0.226 in.
        W40 = "W4.0",
    }
    /// Deformed bar by its number.
    Bar {
        /// 3/8 in.
        No3 = "no. 3",
        /// 1/2 in.
        No4 = "no. 4",
        /// 5/8 in.
        No5 = "no. 5",
        /// 3/4 in.
        No6 = "no. 6",
        /// 7/8 in.
        No7 = "no. 7",
        /// 1 in.
        No8 = "no. 8",
        /// 10 mm, weighed by d2/162.
        Mm10 = "10 mm",
        /// 12 mm.
        Mm12 = "12 mm",
        /// 16 mm.
        Mm16 = "16 mm",
        /// 11.3 mm (CSA G30.18).
        M10 = "10M",
        /// 16.0 mm (CSA G30.18).
        M15 = "15M",
    }
}
