//! From the rows of a table to one change of the book, or to every fault of them.
//!
//! Invariants: what is known already is not written again; two rows never say different things of
//! one thing; a fault anywhere means that nothing is taken. Absent here: what the columns of each
//! table mean.

use super::difference::{Difference, Pair};
use super::line::{Line, RowFaults};
use super::{Kind, Layout, Written, crew, price, supplier};
use crate::catalog::{Change, PriceList};
use crate::quantity::Fault;
use crate::sheet::{Dialect, Row, SheetError};
use std::collections::BTreeMap;

/// What the rows of a table are read against.
#[derive(Clone, Copy, Debug)]
pub struct Known<'a> {
    /// The book as it stands, with what it inherits.
    pub list: &'a PriceList,
    /// Codes of all tasks.
    pub tasks: &'a [&'a str],
    /// Classes of workers.
    pub classes: &'a [&'a str],
}

/// What a table would do.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// What it adds to the book; empty where all is known.
    pub change: Change,
    /// The same for people.
    pub difference: Difference,
}

/// A thing as the rows so far have it.
#[derive(Clone, Debug)]
pub(super) struct Drafted<T> {
    pub(super) value: T,
    /// The row that said so.
    pub(super) row: u64,
}

/// Everything that rows have said so far.
#[derive(Default)]
pub(super) struct Draft {
    pub(super) items: BTreeMap<String, Drafted<crate::catalog::Item>>,
    pub(super) suppliers: BTreeMap<String, Drafted<crate::catalog::Supplier>>,
    pub(super) prices: BTreeMap<price::Key, Drafted<crate::catalog::Price>>,
    pub(super) wages: BTreeMap<crew::WageKey, Drafted<crate::catalog::Wage>>,
    pub(super) rates: BTreeMap<String, Drafted<crate::catalog::OwnRate>>,
    pub(super) indices: BTreeMap<crew::IndexKey, Drafted<crate::catalog::IndexValue>>,
}

/// Reads all rows of a table laid out by `layout`, as one change.
///
/// # Errors
/// Every fault of every row.
pub fn plan(
    rows: impl Iterator<Item = Result<Row, SheetError>>,
    (layout, dialect): (&Layout, Dialect),
    known: Known<'_>,
) -> Result<Plan, RowFaults> {
    let (mut draft, mut faults, mut count) = (Draft::default(), RowFaults::default(), 0);
    for row in rows {
        count += 1;
        let row = match row {
            Ok(row) => row,
            Err(error) => {
                let number = error.row().unwrap_or(0);
                let fault = Fault::new("", error.to_string(), "a row that can be read", None);
                faults.push(number, fault.in_row(number, ""));
                continue;
            }
        };
        let mut line = Line::new(&row, (layout, dialect), &mut faults);
        match layout.kind {
            Kind::Prices => price::read(&mut line, &mut draft, known),
            Kind::Suppliers => supplier::read(&mut line, &mut draft, known),
            Kind::Wages => crew::read_wage(&mut line, &mut draft, known),
            Kind::Rates => crew::read_rate(&mut line, &mut draft, known),
            Kind::Indices => crew::read_index(&mut line, &mut draft),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut plan = Plan::default();
    plan.difference.rows = count;
    supplier::finish(draft.suppliers, known, &mut plan);
    price::finish_items(draft.items, known, &mut plan);
    price::finish_prices(draft.prices, known, &mut plan);
    crew::finish_wages(draft.wages, known, &mut plan);
    crew::finish_rates(draft.rates, known, &mut plan);
    crew::finish_indices(draft.indices, known, &mut plan);
    Ok(plan)
}

/// Puts what a row says beside what earlier rows said of the same thing.
pub(super) fn put<K: Ord, T: PartialEq>(
    all: &mut BTreeMap<K, Drafted<T>>,
    (key, value): (K, T),
    line: &mut Line<'_>,
    column: &str,
) {
    if !line.is_sound() {
        return;
    }
    let row = line.number();
    match all.get(&key) {
        Some(known) if known.value != value => {
            let accepted = format!("the same as in row {}, or only one of the rows", known.row);
            line.fault(column, "another value", &accepted, None);
        }
        Some(_) => {}
        None => {
            all.insert(key, Drafted { value, row });
        }
    }
}

impl Plan {
    /// Notes a thing that is new or changed.
    pub(super) fn tell(
        &mut self,
        (row, what, key): (u64, &'static str, String),
        (kind, first): (Kind, usize),
        before: Option<Vec<Written>>,
        after: &[Written],
    ) {
        self.difference.add(&Pair {
            row,
            what,
            key,
            kind,
            first,
            before: before.as_deref(),
            after,
        });
    }
}
