//! What an estimate takes from a book beside prices; a job may override each.
//!
//! Invariant: a margin is below 100 %. Absent here: the arithmetic that uses them.

use super::word::words;
use crate::quantity::money::Percentage;
use serde::{Deserialize, Serialize};

words! {
    /// What sales tax is reckoned on.
    TaxBase as "BookTaxBase" {
        /// No sales tax.
        None = "none",
        /// The contractor pays it on the materials that it buys.
        Materials = "materials",
        /// The customer is charged it on the whole price.
        Price = "price",
    }
}

/// How profit is put on cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "basis", content = "rate")]
pub enum Profit {
    /// A part of the price: cost x m / (1 - m); below 100 %.
    Margin(Percentage),
    /// A part of the cost: cost x m.
    Markup(Percentage),
}

/// Sales tax: its rate and what it is reckoned on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SalesTax {
    /// The rate.
    pub rate: Percentage,
    /// What it is reckoned on.
    pub base: TaxBase,
}

/// The office's own figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Settings {
    /// Overhead, as a part of the cost before it.
    pub overhead: Percentage,
    /// Contingency, as a part of the cost before it.
    pub contingency: Percentage,
    /// Profit, and whether it is a margin or a markup.
    pub profit: Profit,
    /// Set aside for warranty work; zero where none is.
    pub warranty: Percentage,
    /// Sales tax.
    pub sales_tax: SalesTax,
    /// Travel from the yard to the site, one way, in minutes.
    pub travel_minutes: u32,
    /// A price older than this many days is warned of.
    pub price_age_days: u32,
}
