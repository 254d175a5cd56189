//! A change order on paper: who, why, what changes, what it is worth, the new sum, signatures.
//!
//! Invariants: every figure is one of the comparison; what it costs us is none of a customer's
//! business, so no line and no step of the build-up stands here. Absent: what a change is.

use super::paper::{Document, Part, Prose, Row, Side, Sum, Table};
use super::parties::{Kind, addressee, letterhead, panel, signatures};
use crate::billing::Party;
use crate::change::{
    Cause, CauseStep, ChangeOrder, Changed, Comparison, ContractSum, Method, Moved, Slip, Slips,
};
use crate::proposal::money_in_figures;
use crate::quantity::money::Amount;
use serde_json::Value;

/// Values that are told of a change, at most.
const VALUES_AT_MOST: usize = 40;

/// Said at the foot where a price of either side comes from a book that is invented.
const DEMO: &str = "Prices from the invented demo book";

/// A change order with what it rests on.
#[derive(Clone, Copy)]
pub struct ChangeTold<'a> {
    /// Number, date, parties, reason.
    pub order: &'a ChangeOrder,
    /// What changed.
    pub comparison: &'a Comparison,
    /// The new sum.
    pub contract: &'a ContractSum,
    /// Extra work.
    pub slips: &'a Slips,
}

/// A change order as a document; `seller` and `buyer` sign it.
pub fn compose_change_order(told: ChangeTold<'_>, (seller, buyer): (&Party, &Party)) -> Document {
    let number = told.order.number.clone().unwrap_or_default();
    let mut parts = head(told, seller, buyer);
    parts.extend(body(told));
    parts.push(signatures([seller, buyer]));
    let demo = match told.comparison.demo {
        true => format!(". {DEMO}"),
        false => String::new(),
    };
    Document {
        title: format!("Change order {number}: {}", told.comparison.before.name),
        foot: format!("Change order {number}, {}{demo}", seller.name),
        stamp: None,
        parts,
    }
}

fn head(told: ChangeTold<'_>, seller: &Party, buyer: &Party) -> Vec<Part> {
    let order = told.order;
    let mut facts = Vec::new();
    facts.extend(order.number.clone().map(|number| ("Number", number)));
    facts.extend(order.date.map(|date| ("Date", date.to_string())));
    let kind = Kind {
        name: "Change order",
        facts,
    };
    let job = vec![Prose::bold(&told.comparison.before.name)];
    vec![
        Part::Letterhead(letterhead(seller, kind, None)),
        Part::Beside(vec![addressee("FOR", buyer), panel("JOB", job)]),
        Part::Sum(sum(told)),
    ]
}

fn sum(told: ChangeTold<'_>) -> Sum {
    let mut words: Vec<Prose> = told
        .order
        .reason
        .iter()
        .map(|reason| Prose::led("Reason:", reason))
        .collect();
    let contract = told.contract;
    let taxed = contract.is_taxed();
    if let Some(new) = contract.new.filter(|_| taxed) {
        let parts = [new.before_tax, new.tax].map(|part| show(told, part));
        let [before_tax, tax] = parts;
        let said = format!("{before_tax} before tax and {tax} tax.");
        words.push(Prose::led("Of this sum:", &said));
    }
    if !contract.unsigned_slips.before_tax.is_zero() {
        let unsigned = show(told, contract.unsigned_slips.before_tax);
        let end = if taxed { " before tax." } else { "." };
        words.push(Prose::led(
            "Unsigned slips, not included in this sum:",
            &format!("{unsigned}{end}"),
        ));
    }
    Sum {
        name: named("New contract sum", taxed, "with tax"),
        figures: contract
            .new
            .map_or_else(String::new, |new| show(told, new.with_tax)),
        words,
    }
}

fn show(told: ChangeTold<'_>, amount: Amount) -> String {
    money_in_figures(amount, &told.comparison.currency)
}

fn body(told: ChangeTold<'_>) -> Vec<Part> {
    let mut parts = vec![
        Part::Heading("1. Price".to_owned()),
        Part::Table(sums(told)),
    ];
    parts.push(Part::Heading("2. What changes".to_owned()));
    let steps = told.comparison.causes.iter();
    let changed: Vec<Row> = steps
        .flat_map(|step| step.changed.iter().map(value_row))
        .take(VALUES_AT_MOST)
        .collect();
    if !changed.is_empty() {
        parts.push(Part::Table(table(
            &["Of the job", "Before", "Now"],
            changed,
        )));
    }
    parts.push(Part::Table(table(&["", "Before", "Now"], figures(told))));
    parts.extend(slips(told));
    parts
}

fn table(heads: &[&str], rows: Vec<Row>) -> Table {
    let column = |(n, head): (usize, &&str)| {
        let side = if n == 0 { Side::Left } else { Side::Right };
        ((*head).to_owned(), side)
    };
    Table {
        columns: heads.iter().enumerate().map(column).collect(),
        rows,
    }
}

/// What a sum is, and where there is tax at all, whether it is in it.
fn named(what: &str, taxed: bool, which: &str) -> String {
    match taxed {
        true => format!("{what}, {which}"),
        false => what.to_owned(),
    }
}

/// From the earlier sum to the new one, before tax; the tax of the whole last.
fn sums(told: ChangeTold<'_>) -> Table {
    let contract = told.contract;
    let taxed = contract.is_taxed();
    let mut rows = before(told);
    if told.comparison.method == Method::Sections {
        rows.extend(told.comparison.causes.iter().filter_map(|step| {
            let moved = step.amount? - step.tax?;
            (!moved.is_zero()).then(|| sum_row(told, &name_of(step), Some(moved)))
        }));
    } else {
        let change = contract.change.map(|change| change.before_tax);
        rows.push(sum_row(told, "Change of the work", change));
    }
    let slips = contract.signed_slips.before_tax;
    rows.push(sum_row(told, "Extra work on signed slips", Some(slips)));
    let name = named("New contract sum", taxed, "before tax");
    let new = contract.new;
    rows.push(Row {
        is_sum: true,
        ..sum_row(told, &name, new.map(|new| new.before_tax))
    });
    if taxed {
        let rate = contract.tax_rate.unwrap_or_default();
        let tax = sum_row(told, &format!("Tax, {rate}"), new.map(|new| new.tax));
        let whole = new.map(|new| new.with_tax);
        rows.push(tax);
        rows.push(Row {
            is_sum: true,
            ..sum_row(told, "New contract sum, with tax", whole)
        });
        let to_bill = "To be billed for this change, before tax";
        rows.push(sum_row(told, to_bill, contract.to_bill));
    }
    table(&["", "Amount"], rows)
}

fn sum_row(told: ChangeTold<'_>, what: &str, amount: Option<Amount>) -> Row {
    let figures = amount.map_or_else(String::new, |amount| show(told, amount));
    Row::plain(vec![what.to_owned(), figures])
}

/// What the contract stood at: the first sum, and each change that was agreed since.
fn before(told: ChangeTold<'_>) -> Vec<Row> {
    let contract = told.contract;
    let original = contract.original.map(|original| original.before_tax);
    let stands = named("Sum before this change", contract.is_taxed(), "before tax");
    let earlier = told.order.changes_before.as_deref().unwrap_or_default();
    if earlier.is_empty() {
        return vec![sum_row(told, &stands, original)];
    }
    let name = named("Original contract sum", contract.is_taxed(), "before tax");
    let mut rows = vec![sum_row(told, &name, original)];
    rows.extend(earlier.iter().map(|change| {
        let name = format!("Change order agreed before: {}", change.number);
        sum_row(told, &name, Some(change.amount))
    }));
    let stood = original.map(|original| original + contract.earlier.before_tax);
    rows.push(sum_row(told, &stands, stood));
    rows
}

fn name_of(step: &CauseStep) -> String {
    let names = step.causes.iter().map(|cause| match cause {
        Cause::Geometry => "what is built",
        Cause::Quantity => "quantities bought",
        Cause::Rate => "crew and site",
        Cause::Price => "prices",
        Cause::BuildUp | Cause::Settings => "terms",
    });
    format!("Change: {}", names.collect::<Vec<_>>().join(", "))
}

fn value_row(changed: &Changed) -> Row {
    Row::plain(vec![
        place(&changed.pointer),
        value(&changed.before),
        value(&changed.after),
    ])
}

/// A pointer in words: `ramp, path 4, rise`.
fn place(pointer: &str) -> String {
    let mut words = String::new();
    for part in pointer.split('/').skip(1) {
        match part.parse::<u32>() {
            Ok(index) => words.push_str(&format!(" {}", u64::from(index) + 1)),
            Err(_) if words.is_empty() => words.push_str(&part.replace('_', " ")),
            Err(_) => words.push_str(&format!(", {}", part.replace('_', " "))),
        }
    }
    words
}

fn value(value: &Value) -> String {
    match value {
        Value::Null => "none".to_owned(),
        Value::String(text) => text.clone(),
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Number(number) => number.to_string(),
        Value::Array(_) | Value::Object(_) => "there".to_owned(),
    }
}

fn figures(told: ChangeTold<'_>) -> Vec<Row> {
    let figures = &told.comparison.figures;
    let moved = |what: &str, moved: &Moved| {
        let show = |side: Option<crate::quantity::shown::Shown>| side.map(|side| side.to_string());
        let both = show(moved.before).zip(show(moved.after));
        both.map(|(before, after)| Row::plain(vec![what.to_owned(), before, after]))
    };
    let verdict = figures
        .verdict
        .before
        .clone()
        .zip(figures.verdict.after.clone());
    let verdict = verdict.map(|(before, after)| {
        let words = |verdict: String| verdict.replace('_', " ");
        Row::plain(vec!["Rules".to_owned(), words(before), words(after)])
    });
    let rows = [
        moved("Concrete in the forms", &figures.concrete_net),
        moved("Bars", &figures.steel),
        moved("Visits", &figures.visits),
        moved(
            "Days from the first visit to the last",
            &figures.calendar_days,
        ),
        verdict,
    ];
    rows.into_iter().flatten().collect()
}

fn slips(told: ChangeTold<'_>) -> Vec<Part> {
    if told.slips.slips.is_empty() {
        return Vec::new();
    }
    let row = |slip: &Slip| {
        let agreed = slip.agreed_by.as_ref().filter(|_| slip.signed);
        let agreed = agreed.map_or_else(
            || "not signed".to_owned(),
            |by| format!("{}, {}", by.name, by.date),
        );
        Row::plain(vec![
            format!("{}: {}", slip.number, slip.reason),
            slip.date.to_string(),
            agreed,
            show(told, slip.total),
        ])
    };
    let rows = told.slips.slips.iter().map(row).collect();
    let amount = match told.contract.is_taxed() {
        true => "Before tax",
        false => "Amount",
    };
    vec![
        Part::Heading("3. Extra work on slips".to_owned()),
        Part::Table(table(&["Slip", "Day", "Signed by", amount], rows)),
    ]
}
