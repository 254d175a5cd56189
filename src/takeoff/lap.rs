//! How long a lap is.
//!
//! Invariant: a lap is never shorter than its rule's least. Absent here: where bars lap.

use super::part::Part;
use crate::catalog::{BarRow, LapRow};
use crate::job::{LapRule, Reinforcement};
use crate::quantity::{Length, Stress, ceil};

/// The lap of a job's bars.
pub(super) fn find_lap(part: &Part, steel: &Reinforcement, row: &BarRow) -> Length {
    match steel.lap_rule {
        LapRule::Diameters => row.diameter * f64::from(steel.lap_diameters),
        LapRule::ClassB => {
            let strength = part.job.slab.concrete.strength;
            measure_class_b(row.diameter, strength, &part.catalog.steel.lap)
        }
    }
}

/// A class B tension lap of a bar in concrete of a strength, up to the next step of the tape.
///
/// # Source
/// ACI 318-19, 25.4.2.3 and 25.5.2.1, simplified, all factors 1: 1.3 x yield / (25 x root of the strength)
/// x diameter, at least 12 in; the root is taken of 10,000 psi at most. From memory.
pub fn measure_class_b(diameter: Length, strength: Stress, row: &LapRow) -> Length {
    let root = libm::sqrt(strength.psi().min(row.strength_most_psi));
    let lap = diameter * (row.factor * row.yield_psi / (row.divisor * root));
    (row.step * ceil(lap / row.step)).max(row.least)
}

/// `laps 20 in, 40 bar diameters`.
pub(super) fn explain_lap(part: &Part, steel: &Reinforcement, row: &BarRow) -> String {
    let lap = part.words.tape(find_lap(part, steel, row));
    match steel.lap_rule {
        LapRule::Diameters => format!("laps {lap}, {} bar diameters", steel.lap_diameters),
        LapRule::ClassB => format!("laps {lap}, class B"),
    }
}
