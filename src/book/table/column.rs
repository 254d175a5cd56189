//! The tables of a price book and their columns, as rows of data.
//!
//! Invariant: a column is named once in its table, and the same name means the same in all of them.

use crate::catalog::words;

words! {
    /// A table of a price book.
    Kind as "BookTable" {
        /// Items with their prices: a row a price, and one for each item without any.
        Prices = "prices",
        /// Suppliers and their terms.
        Suppliers = "suppliers",
        /// Wages by schedule and class.
        Wages = "wages",
        /// The crew's own rates.
        Rates = "rates",
        /// Price indices by month.
        Indices = "indices",
    }
}

/// A column of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its name, which is its heading in an export.
    pub name: &'static str,
    /// True when no row can do without it.
    pub required: bool,
    /// What stands in it.
    pub holds: &'static str,
    /// A cell that is accepted.
    pub example: &'static str,
}

const fn needs(name: &'static str, holds: &'static str, example: &'static str) -> Column {
    Column {
        name,
        required: true,
        holds,
        example,
    }
}

const fn takes(name: &'static str, holds: &'static str, example: &'static str) -> Column {
    Column {
        name,
        required: false,
        holds,
        example,
    }
}

#[rustfmt::skip]
const PRICES: &[Column] = &[
    needs("item", "code of the item", "stone-dense-graded"),
    takes("description", "what it is; a new item needs it", "Crushed stone, dense graded"),
    takes("class", "material, labour, equipment, fee or sub; a new item needs it", "material"),
    takes("sale_unit", "the unit that its price is for; a new item needs it", "ton"),
    takes("order_step", "orders are multiples of this; 1 for a new item", "0.5"),
    takes("minimum", "the least that can be ordered; 0 for a new item", "1"),
    takes("holds", "what one sale unit holds, or none", "20"),
    takes("holds_unit", "the unit of holds", "ft"),
    takes("charge", "bought_for_job or from_stock", "bought_for_job"),
    takes("uses", "jobs that one piece serves; with from_stock", "4"),
    takes("pay_step", "step of the charged quantity; with from_stock", "0.25"),
    takes("preferred_supplier", "whose price counts before others, or none", "quarry-yard"),
    takes("index", "price index that follows it, or none", "ready-mix-west"),
    takes("supplier", "code of who sells it at unit_price", "quarry-yard"),
    takes("supplier_name", "name of the supplier; a new one needs it", "Quarry yard"),
    takes("from_quantity", "the price holds for orders of at least this", "20"),
    takes("unit_price", "for one sale unit; withdrawn takes an earlier one back", "34.50"),
    takes("effective_from", "the first day on which it holds", "2026-03-02"),
    takes("valid_until", "the last day on which it holds", "2026-06-30"),
    takes("quoted_for", "name of the one job that it was quoted for", "Mill lane, east door"),
];

#[rustfmt::skip]
const SUPPLIERS: &[Column] = &[
    needs("supplier", "code of the supplier", "pit-road-plant"),
    takes("supplier_name", "its name; a new one needs it", "Pit road plant"),
    takes("minimum_order", "an order that comes to less is charged this, or none", "150.00"),
    takes("short_load_below_yd3", "a load below this pays for each yd3 missing, or none", "5"),
    takes("truck_most_yd3", "the most that one truck carries, or none", "10"),
    takes("free_unloading_min_per_yd3", "free minutes for each yd3, or none", "7"),
    takes("short_load_steps", "yd3 below which a load is charged = the charge, or none", "2 = 140; 4 = 90"),
    takes("zones", "zone = charge for a delivery, or none", "A = 40; B = 65"),
];

#[rustfmt::skip]
const WAGES: &[Column] = &[
    needs("schedule", "own, or the name of a schedule that a contract sets", "own"),
    needs("class", "class of worker", "finisher"),
    needs("effective_from", "the first day on which it holds", "2026-01-01"),
    needs("base", "paid to the worker for an hour", "40.00"),
    takes("fringe", "benefits for an hour; 0 when blank", "6.50"),
    takes("overtime_premium", "on the base for an hour of overtime; 50 % when blank", "50 %"),
    takes("burdens", "name = part of the base, or money an hour; + premium where it is owed on that too",
        "payroll tax = 7.65 % + premium; small tools = 2.00"),
];

#[rustfmt::skip]
const RATES: &[Column] = &[
    needs("task", "code of the task", "strike-off"),
    takes("setup_min", "minutes before the first unit", "15"),
    takes("low_min", "minutes for each unit when all goes well", "0.4"),
    takes("likely_min", "minutes for each unit; built-in gives the built-in rate back", "0.6"),
    takes("high_min", "minutes for each unit when little goes well", "0.9"),
];

#[rustfmt::skip]
const INDICES: &[Column] = &[
    needs("series", "code of the index", "ready-mix-west"),
    needs("month", "the month, as 2026-03", "2026-03"),
    needs("value", "its value", "180.306"),
];

impl Kind {
    /// Its columns, in the order of an export.
    pub const fn columns(self) -> &'static [Column] {
        match self {
            Self::Prices => PRICES,
            Self::Suppliers => SUPPLIERS,
            Self::Wages => WAGES,
            Self::Rates => RATES,
            Self::Indices => INDICES,
        }
    }
}
