//! One estimate as single figures: each with a name, a unit, its places and its meaning.
//!
//! Invariants: a figure that cannot be known says why, it is never zero or blank by itself; numbers
//! have a point and nothing else. Absent: formats, the wire, and anything that is computed anew.

use crate::estimate::Estimate;

/// One figure of an estimate.
#[derive(Clone, Copy, Debug)]
pub struct Figure {
    /// Its name, in the address of a cell and in the heading of a row.
    pub name: &'static str,
    find: fn(&Estimate) -> Found,
}

/// What a figure comes to.
#[derive(Clone, Debug, PartialEq)]
pub enum Shown {
    /// A decimal number with a point, like `-12.50`.
    Number(String),
    /// An amount of money, a decimal number too.
    Money(String),
    /// A text on one line.
    Text(String),
}

/// Why a figure cannot be known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotKnown {
    /// Some line has no price.
    Unpriced(String),
    /// Something was not measured, asked for or is not there.
    Undetermined(String),
}

/// A figure of one estimate, or why there is none.
pub type Found = Result<Shown, NotKnown>;

/// Every figure, in the order in which they are described.
pub const FIGURES: &[Figure] = &[];

impl Figure {
    /// The figure of a name.
    pub fn named(name: &str) -> Option<&'static Self> {
        FIGURES.iter().find(|figure| figure.name == name)
    }

    /// The figures of a row when none are asked for, in order.
    pub fn usual() -> Vec<&'static Self> {
        Vec::new()
    }

    /// Whether finding it needs the inputs that move the price most.
    pub fn needs_unknowns(&self) -> bool {
        self.name == "top_unknown"
    }

    /// What it comes to.
    pub fn of(&self, estimate: &Estimate) -> Found {
        (self.find)(estimate)
    }
}
