//! The differences of two estimates as CSV.
//!
//! Invariants: as for all lines as CSV; the `change` column of the rows `line` and `build_up` adds up to the net, and so does
//! that of the rows `cause` alone; `before_tax` and `tax` are its two parts, in every row. Absent: a total row.

use super::csv::{table, text};
use crate::change::{CauseStep, Comparison, LineChange, StepChange};
use crate::quantity::money::{Amount, Decimal4, UnitPrice};

const COLUMNS: &[&str] = &[
    "kind",
    "code",
    "description",
    "class",
    "became",
    "unit",
    "quantity_before",
    "quantity_after",
    "unit_price_before",
    "unit_price_after",
    "before",
    "after",
    "by_quantity",
    "by_price",
    "change",
    "currency",
    "before_tax",
    "tax",
];

/// Every cause, every line that differs and every step above them.
pub fn write_changes(told: &Comparison) -> String {
    let currency = told.currency.code();
    let causes = told.causes.iter().map(|step| cause_row(step, currency));
    let lines = told.lines.iter().map(|line| line_row(line, currency));
    let above = told.build_up.iter().filter(|step| step.step != "direct");
    let steps = above.map(|step| step_row(step, currency));
    table(COLUMNS, causes.chain(lines).chain(steps))
}

/// Where a row says what changed.
const CHANGE: usize = 14;

/// What changed, its currency, and what of it is before tax and tax.
fn parted((change, tax): (Amount, Amount), currency: &str) -> [String; 4] {
    let before_tax = change - tax;
    [
        change.to_string(),
        currency.to_owned(),
        before_tax.to_string(),
        tax.to_string(),
    ]
}

fn cause_row(step: &CauseStep, currency: &str) -> Vec<String> {
    let causes: Vec<&str> = step.causes.iter().map(|cause| cause.word()).collect();
    let mut row = vec!["cause".to_owned(), causes.join("+")];
    row.resize(CHANGE, String::new());
    match step.amount.zip(step.tax) {
        Some(change) => row.extend(parted(change, currency)),
        None => row.extend(["", currency, "", ""].map(str::to_owned)),
    }
    row
}

fn line_row(line: &LineChange, currency: &str) -> Vec<String> {
    let quantity = |of: Option<Decimal4>| of.map_or_else(String::new, |of| of.to_string());
    let price = |of: Option<UnitPrice>| of.map_or_else(String::new, |of| of.to_string());
    let mut row = vec![
        "line".to_owned(),
        text(&line.code),
        text(&line.description),
        line.class.word().to_owned(),
        line.kind.word().to_owned(),
        text(&line.unit),
        quantity(line.quantity_before),
        quantity(line.quantity_after),
        price(line.unit_price_before),
        price(line.unit_price_after),
        line.before.to_string(),
        line.after.to_string(),
        line.by_quantity.to_string(),
        line.by_price.to_string(),
    ];
    row.extend(parted((line.change, line.change.nothing()), currency));
    row
}

fn step_row(step: &StepChange, currency: &str) -> Vec<String> {
    let mut row = vec!["build_up".to_owned(), step.step.to_owned()];
    row.resize(10, String::new());
    row.extend([
        step.before.to_string(),
        step.after.to_string(),
        step.by_base.to_string(),
        step.by_rate.to_string(),
    ]);
    let tax = match step.step {
        "tax_charged" => step.change,
        _ => step.change.nothing(),
    };
    row.extend(parted((step.change, tax), currency));
    row
}
