//! The words a pour is planned in.
//!
//! Invariant: as in the rest of the job, one spelling a choice. Absent: weather.

choices! {
    /// How much water a mix brings up to its surface.
    Bleeding {
        /// A usual mix.
        Usual = "usual",
        /// Fly ash, slag, silica fume: little.
        Low = "low",
    }

    /// How quickly a cement hardens.
    Cement {
        /// Type I or II.
        Usual = "usual",
        /// Type III: high early strength.
        HighEarly = "high_early",
    }

    /// Height at which wind was measured.
    WindAt {
        /// Hand height, 20 in (0.5 m) above the slab.
        Hand = "hand",
        /// A weather station's mast, 33 ft (10 m).
        Station = "station",
    }
}
