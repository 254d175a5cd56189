//! One estimate as single figures: each with a name, a unit, its places and its meaning.
//!
//! Invariants: a figure that cannot be known says why, it is never zero or blank by itself; numbers
//! have a point and nothing else; a text stands on one line; what the whole answer shows too is the
//! same here, digit by digit. Absent: formats, the wire, and anything that is computed anew.
//!
//! | file | holds |
//! | --- | --- |
//! | `table` | the figures, and which of them a row shows |
//! | `shape` | units and places |
//! | `of_check`, `of_materials`, `of_hours`, `of_price` | where each is found |
//! | `note` | the one line that a person reads first |

mod near;
mod note;
mod of_check;
mod of_hours;
mod of_materials;
mod of_price;
mod shape;
mod table;

pub use near::near_names;
pub use of_price::money_row;
pub use shape::{Shape, ValueType};
pub use table::FIGURES;

use crate::estimate::Estimate;
use crate::quantity::System;

/// One figure of an estimate.
#[derive(Clone, Copy, Debug)]
pub struct Figure {
    /// Its name, in the address of a cell and in the heading of a row.
    pub name: &'static str,
    /// What it is, in which unit and with how many places.
    pub shape: Shape,
    /// What it means, in a sentence.
    pub meaning: &'static str,
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

impl Shown {
    /// The text of it, whatever it is.
    pub fn as_str(&self) -> &str {
        match self {
            Self::Number(text) | Self::Money(text) | Self::Text(text) => text,
        }
    }

    /// A text, brought onto one line.
    fn text(text: impl AsRef<str>) -> Self {
        let words: Vec<&str> = text.as_ref().split_whitespace().collect();
        Self::Text(words.join(" "))
    }

    fn count(number: impl ToString) -> Self {
        Self::Number(number.to_string())
    }
}

/// Why a figure cannot be known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotKnown {
    /// Some line has no price.
    Unpriced(String),
    /// Something was not measured, asked for or is not there.
    Undetermined(String),
}

impl NotKnown {
    /// Why, and what to do.
    pub fn why(&self) -> &str {
        match self {
            Self::Unpriced(why) | Self::Undetermined(why) => why,
        }
    }

    /// The stable word of its kind.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Unpriced(_) => "unpriced",
            Self::Undetermined(_) => "undetermined",
        }
    }

    fn undetermined(why: &str) -> Self {
        Self::Undetermined(why.to_owned())
    }
}

/// A figure of one estimate, or why there is none.
pub type Found = Result<Shown, NotKnown>;

impl Figure {
    /// The figure of a name.
    pub fn named(name: &str) -> Option<&'static Self> {
        FIGURES.iter().find(|figure| figure.name == name)
    }

    /// The figures of a row when none are asked for, in order.
    pub fn usual() -> Vec<&'static Self> {
        let named = table::USUAL.iter();
        named.filter_map(|name| Self::named(name)).collect()
    }

    /// Whether finding it needs the inputs that move the price most.
    pub fn needs_unknowns(&self) -> bool {
        self.name == table::TOP_UNKNOWN
    }

    /// Its unit in a system; none where it has none.
    pub const fn unit(&self, system: System) -> Option<&'static str> {
        self.shape.unit(system)
    }

    /// What it comes to.
    pub fn of(&self, estimate: &Estimate) -> Found {
        (self.find)(estimate)
    }
}
