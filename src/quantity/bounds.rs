//! Least and most, as rows: what may enter, said once for the check, the message and the document.
//!
//! Invariants: both ends are allowed, with the house's slack; what is not a number is refused.
//! Absent here: the rows themselves, which stand in the room that reads them.

use super::{Fault, Quantity, print_quantity, slack};
use std::fmt::Display;

/// What a quantity may be, both ends included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds<Q> {
    /// What is bounded, as the request names it.
    pub name: &'static str,
    /// The least that is accepted; below zero where the quantity can be.
    pub least: Q,
    /// The most that is accepted.
    pub most: Q,
    /// Between what it usually lies, for judging how much an unmeasured one may move a price.
    pub usual: Option<(Q, Q)>,
}

impl<Q: Copy> Bounds<Q> {
    /// Bounds without a usual range.
    pub const fn new(name: &'static str, least: Q, most: Q) -> Self {
        Self {
            name,
            least,
            most,
            usual: None,
        }
    }

    /// The same with a usual range.
    pub const fn usually(self, low: Q, high: Q) -> Self {
        Self {
            usual: Some((low, high)),
            ..self
        }
    }
}

impl<Q: Quantity> Bounds<Q> {
    /// Gives `value` back when it lies within.
    ///
    /// # Errors
    /// A fault at `pointer` that names both ends.
    pub fn check(&self, value: Q, pointer: impl Into<String>) -> Result<Q, Fault> {
        if self.holds(value) {
            return Ok(value);
        }
        let example = print_quantity(self.usual.map_or(self.least, |(low, _)| low));
        Err(Fault::new(
            pointer,
            print_quantity(value),
            self.accepted(),
            Some(&example),
        ))
    }

    /// True when `value` lies within, with the house's slack.
    pub fn holds(&self, value: Q) -> bool {
        value.si().is_finite()
            && slack::compare(value.si(), self.least.si()) != slack::Compared::Below
            && slack::compare(value.si(), self.most.si()) != slack::Compared::Above
    }

    /// `1/2 in to 20 ft`.
    pub fn accepted(&self) -> String {
        format!(
            "{} to {}",
            print_quantity(self.least),
            print_quantity(self.most)
        )
    }
}

impl<Q: Quantity> Display for Bounds<Q> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.name, self.accepted())
    }
}

/// What a count may be, both ends included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CountBounds {
    /// What is counted, as the request names it.
    pub name: &'static str,
    /// The least that is accepted.
    pub least: u32,
    /// The most that is accepted.
    pub most: u32,
}

impl CountBounds {
    /// The bounds of a count.
    pub const fn new(name: &'static str, least: u32, most: u32) -> Self {
        Self { name, least, most }
    }

    /// Gives `count` back when it lies within.
    ///
    /// # Errors
    /// A fault at `pointer` that names both ends.
    pub fn check(&self, count: u32, pointer: impl Into<String>) -> Result<u32, Fault> {
        if (self.least..=self.most).contains(&count) {
            return Ok(count);
        }
        let example = self.least.to_string();
        Err(Fault::new(
            pointer,
            count.to_string(),
            self.accepted(),
            Some(&example),
        ))
    }

    /// `1 to 20`.
    pub fn accepted(&self) -> String {
        format!("{} to {}", self.least, self.most)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Length;

    const RISE: Bounds<Length> =
        Bounds::new("rise", Length::from_inches(0.5), Length::from_feet(20.0));

    #[test]
    fn both_ends_are_allowed_and_what_lies_outside_is_told_them() {
        let check = |length: Length| RISE.check(length, "/ramp/path/1/rise");
        assert!(check(Length::from_inches(0.5)).is_ok());
        assert!(check(Length::from_inches(240.0)).is_ok());
        let Err(fault) = check(Length::from_inches(0.4)) else {
            panic!("0.4 in was accepted")
        };
        assert_eq!(fault.pointer, "/ramp/path/1/rise");
        assert_eq!(fault.accepted, "1/2 in to 20 ft");
        assert_eq!(fault.found, "0.4 in");
        assert!(check(Length::from_feet(20.01)).is_err());
        assert!(check(Length::ZERO / 0.0).is_err());
    }

    #[test]
    fn a_count_is_bounded_alike() {
        let runs = CountBounds::new("runs", 1, 20);
        assert_eq!(runs.check(20, "/runs"), Ok(20));
        assert!(
            runs.check(0, "/runs")
                .is_err_and(|fault| fault.accepted == "1 to 20")
        );
        assert!(runs.check(21, "/runs").is_err());
    }
}
