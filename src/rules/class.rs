//! Which runs a row holds for: by slope, by length, by rise.
//!
//! Invariant: what a class does not name it leaves open; a bound itself belongs to the class, but for
//! `steeper_than`. Absent: any number of a rule.

use super::row::RuleRow;
use crate::quantity::{Length, Slope};

/// A run, as a class sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Classed {
    /// Slope, without its sign.
    pub slope: Slope,
    /// Length on plan.
    pub length: Length,
    /// Rise, without its sign.
    pub rise: Length,
}

/// The runs that a row holds for.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Class {
    /// Steeper than this.
    pub steeper_than: Option<Slope>,
    /// This steep, or steeper.
    pub as_steep_as: Option<Slope>,
    /// Not steeper than this.
    pub not_steeper_than: Option<Slope>,
    /// No longer than this, on plan.
    pub up_to_length: Option<Length>,
    /// Rising no more than this.
    pub up_to_rise: Option<Length>,
}

impl Class {
    /// True when it holds every run.
    pub fn is_any(&self) -> bool {
        *self == Self::default()
    }

    /// True when it holds this run.
    pub fn holds(&self, run: Classed) -> bool {
        let reaches = |least: Slope| least.at_most(run.slope);
        self.steeper_than
            .is_none_or(|above| !run.slope.at_most(above))
            && self.as_steep_as.is_none_or(reaches)
            && self
                .not_steeper_than
                .is_none_or(|most| run.slope.at_most(most))
            && self
                .up_to_length
                .is_none_or(|most| run.length.at_most(most))
            && self.up_to_rise.is_none_or(|most| run.rise.at_most(most))
    }

    /// The slopes of a band: steeper than the first, not steeper than the second.
    pub fn band(&self) -> Option<(Slope, Slope)> {
        self.steeper_than.zip(self.not_steeper_than)
    }

    /// The class in words: `steeper than 1:12, not steeper than 1:10`; empty for all runs.
    pub fn words(row: &RuleRow) -> String {
        let parts = [
            ("steeper than", &row.steeper_than),
            ("from", &row.as_steep_as),
            ("not steeper than", &row.not_steeper_than),
            ("on at most", &row.up_to_length),
            ("rising at most", &row.up_to_rise),
        ];
        let told = parts
            .iter()
            .filter_map(|(words, text)| Some(format!("{words} {}", text.as_deref()?)));
        told.collect::<Vec<_>>().join(", ")
    }
}
