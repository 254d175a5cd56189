//! What a job cost, as CSV.
//!
//! Invariants: as for all lines as CSV; the `variance` column adds up to the variance of the whole, since an
//! open line has none there. Absent: a total row.

use super::csv::{table, text};
use crate::cost::{CostLine, JobCost, NotEstimated, OpenLine};

const COLUMNS: &[&str] = &[
    "kind",
    "code",
    "description",
    "class",
    "unit",
    "quantity_estimated",
    "quantity_actual",
    "unit_price",
    "estimated",
    "actual",
    "by_quantity",
    "by_price",
    "variance",
    "supplier",
    "document",
    "currency",
];

/// Every line: known, open, not estimated.
pub fn write_job_cost(told: &JobCost) -> String {
    let currency = told.currency.code();
    let lines = told.lines.iter().map(|line| line_row(line, currency));
    let open = told.open.iter().map(|line| open_row(line, currency));
    let others = told
        .not_estimated
        .iter()
        .map(|one| other_row(one, currency));
    table(COLUMNS, lines.chain(open).chain(others))
}

fn line_row(line: &CostLine, currency: &str) -> Vec<String> {
    vec![
        "line".to_owned(),
        text(&line.code),
        text(&line.description),
        line.class.word().to_owned(),
        text(&line.unit),
        line.quantity_estimated.to_string(),
        line.quantity_actual.to_string(),
        line.unit_price.to_string(),
        line.estimated.to_string(),
        line.actual.to_string(),
        line.by_quantity.to_string(),
        line.by_price.to_string(),
        line.variance.to_string(),
        String::new(),
        String::new(),
        currency.to_owned(),
    ]
}

fn open_row(line: &OpenLine, currency: &str) -> Vec<String> {
    let mut row = vec![
        "open".to_owned(),
        text(&line.code),
        text(&line.description),
        line.class.word().to_owned(),
    ];
    row.resize(8, String::new());
    row.push(line.estimated.to_string());
    row.resize(COLUMNS.len() - 1, String::new());
    row.push(currency.to_owned());
    row
}

fn other_row(one: &NotEstimated, currency: &str) -> Vec<String> {
    let word = |text: Option<&String>| text.map_or_else(String::new, |text| self::text(text));
    let mut row = vec![
        "not_estimated".to_owned(),
        word(one.code.as_ref()),
        text(&one.why),
        one.class.map_or("", |class| class.word()).to_owned(),
    ];
    row.resize(9, String::new());
    row.push(one.amount.to_string());
    row.resize(12, String::new());
    row.extend([
        one.amount.to_string(),
        word(one.supplier.as_ref()),
        word(one.document.as_ref()),
        currency.to_owned(),
    ]);
    row
}
