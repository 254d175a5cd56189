//! The price book as tables, one row a thing: what an import reads and an export writes.
//!
//! Invariants: what is exported is what is imported, so that a file that goes round changes nothing;
//! a blank cell leaves what is known as it is; nothing is taken from a table with a fault in it.
//! Absent here: files and their formats, databases, and who may write.

mod column;
mod crew;
mod difference;
mod draft;
mod layout;
mod line;
mod list;
mod price;
mod supplier;

pub use column::{Column, Kind};
pub use difference::{Changed, Difference, Field};
pub use draft::{Known, Plan, plan};
pub use layout::{Layout, Mapping};
pub use line::RowFaults;

use crate::catalog::PriceList;

/// A cell of an export.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Written {
    /// A text.
    Text(String),
    /// A decimal number with a point.
    Number(String),
    /// Nothing.
    Blank,
}

/// Every row of one kind that the named book itself holds, as known at its revision, in the order
/// of [`Kind::columns`].
pub fn write_rows(kind: Kind, list: &PriceList) -> Vec<Vec<Written>> {
    match kind {
        Kind::Prices => price::write(list),
        Kind::Suppliers => supplier::write(list),
        Kind::Wages => crew::write_wages(list),
        Kind::Rates => crew::write_rates(list),
        Kind::Indices => crew::write_indices(list),
    }
}

impl Written {
    fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    fn number(number: impl ToString) -> Self {
        Self::Number(number.to_string())
    }

    fn maybe_text(text: Option<impl Into<String>>) -> Self {
        text.map_or(Self::Blank, Self::text)
    }

    fn maybe_number(number: Option<impl ToString>) -> Self {
        number.map_or(Self::Blank, Self::number)
    }

    fn shown(&self) -> Option<&str> {
        match self {
            Self::Text(text) | Self::Number(text) => Some(text),
            Self::Blank => None,
        }
    }
}
