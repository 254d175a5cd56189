//! What only this room measures: evaporation, maturity, and a window of time.
//!
//! Invariants: SI inside, units named outside; a window never closes before it opens. Absent: how
//! they are computed, and reading or printing them.

use crate::quantity::{Area, Mass, Span};

fn hour() -> f64 {
    Span::from_hours(1.0).seconds()
}

/// Water that leaves a surface, in kilograms per square metre and hour inside.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct EvaporationRate(f64);

impl EvaporationRate {
    /// From pounds per square foot and hour.
    pub fn from_lb_ft2_h(rate: f64) -> Self {
        Self(rate * pound_a_square_foot())
    }

    /// Pounds per square foot and hour.
    pub fn lb_ft2_h(self) -> f64 {
        self.0 / pound_a_square_foot()
    }

    /// From kilograms per square metre and hour.
    pub const fn from_kg_m2_h(rate: f64) -> Self {
        Self(rate)
    }

    /// Kilograms per square metre and hour.
    pub const fn kg_m2_h(self) -> f64 {
        self.0
    }

    /// Itself, or nothing where it is below that or not a number: dew is not evaporation.
    pub(super) fn or_nothing(self) -> Self {
        Self(self.0.max(0.0))
    }
}

fn pound_a_square_foot() -> f64 {
    Mass::from_pounds(1.0).kilograms() / Area::from_square_feet(1.0).square_metres()
}

/// Warmth over time above a datum, in kelvin-seconds inside.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Maturity(f64);

impl Maturity {
    pub(super) const fn from_kelvin_seconds(sum: f64) -> Self {
        Self(sum)
    }

    /// Celsius degrees times hours.
    pub fn celsius_hours(self) -> f64 {
        self.0 / hour()
    }
}

/// A span of time in which something can be done, both ends counted from the same moment.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Deserialize)]
pub struct Window {
    /// The first moment.
    pub opens: Span,
    /// The last moment, never before the first.
    pub closes: Span,
}

impl Window {
    /// From one moment to another; a window that would close before it opens closes as it opens.
    pub fn new(opens: Span, closes: Span) -> Self {
        let closes = opens.max(closes);
        Self { opens, closes }
    }

    /// Both ends so many times as late.
    pub(super) fn times(self, factor: f64) -> Self {
        Self::new(self.opens * factor, self.closes * factor)
    }

    /// Both ends later by a span.
    pub(super) fn later(self, by: Span) -> Self {
        Self::new(self.opens + by, self.closes + by)
    }
}
