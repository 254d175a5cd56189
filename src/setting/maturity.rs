//! Age by temperature: how old concrete is for its strength, for planning only.
//!
//! Invariants: at the reference temperature equivalent age is age; at or below the datum nothing
//! matures; more warmth never makes concrete younger. Absent: the calibration of a mix, without
//! which no strength in place is claimed.

use super::measure::Maturity;
use super::rows::SettingRows;
use crate::quantity::{Citation, Quantity, Span, Temperature};
use serde::Deserialize;

/// The constants of equivalent age.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct EquivalentRow {
    /// Activation energy over the gas constant, in kelvins.
    pub q_kelvin: f64,
    /// At which a day counts as a day.
    pub reference: Temperature,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// Temperatures of the concrete from placing on, one a step, each holding for that step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warmth<'a> {
    /// One a step.
    pub temperatures: &'a [Temperature],
    /// Above nothing.
    pub step: Span,
}

impl Warmth<'_> {
    /// Each with its step, in order.
    fn fold(self, each: impl Fn(Temperature) -> f64) -> f64 {
        let step = self.step.seconds().max(0.0);
        let sum = |sum: f64, at: &Temperature| sum + each(*at) * step;
        self.temperatures.iter().fold(0.0, sum)
    }
}

/// Maturity by the sum of temperature above the datum and time (Nurse and Saul).
///
/// # Source
/// Row `maturity`: ASTM C1074, second hand.
pub fn measure_maturity(concrete: Warmth<'_>) -> Maturity {
    let datum = SettingRows::built_in().maturity.datum;
    Maturity::from_kelvin_seconds(concrete.fold(|at| (at - datum).kelvins().max(0.0)))
}

/// The age at the reference temperature that stands for what the concrete has had.
///
/// Departs: at or below the datum of maturity nothing is counted, since the water freezes there.
///
/// # Source
/// Row `equivalent_age`: ASTM C1074, from memory.
pub fn measure_equivalent_age(concrete: Warmth<'_>) -> Span {
    Span::from_seconds(concrete.fold(speed))
}

/// When concrete is as old, for its strength, as after a span at the reference temperature, for planning; never
/// sooner than after that span itself, for a plan does not count on warmth. None where its warmth told does not
/// suffice.
///
/// # Source
/// Row `equivalent_age`: ASTM C1074, from memory.
pub fn reach_equivalent_age(wanted: Span, concrete: Warmth<'_>) -> Option<Span> {
    let mut had = Span::ZERO;
    for (number, at) in (0_u32..).zip(concrete.temperatures) {
        let speed = speed(*at).min(1.0);
        let missing = wanted - had;
        if missing.at_most(concrete.step * speed) {
            let rest = if missing.is_zero() {
                Span::ZERO
            } else {
                missing / speed
            };
            return Some(concrete.step * f64::from(number) + rest);
        }
        had += concrete.step * speed;
    }
    None
}

/// Hours of age in one hour at a temperature.
pub(super) fn speed(at: Temperature) -> f64 {
    let rows = SettingRows::built_in();
    let row = &rows.equivalent_age;
    if at.at_most(rows.maturity.datum) {
        return 0.0;
    }
    let apart = 1.0 / at.si() - 1.0 / row.reference.si();
    libm::exp(-row.q_kelvin * apart)
}
