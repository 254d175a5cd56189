//! A change order on paper: who, why, what changes, what it is worth, the new sum, signatures.
//!
//! Invariants: every figure is one of the comparison; what it costs us is none of a customer's
//! business, so no line and no step of the build-up stands here. Absent: what a change is.

use super::paper::{Document, Letterhead, Panel, Part, Prose, Row, Side, Signature, Sum, Table};
use crate::billing::Party;
use crate::change::{
    Cause, CauseStep, ChangeOrder, Changed, Comparison, ContractSum, Method, Moved, Slip, Slips,
};
use crate::proposal::money_in_figures;
use crate::quantity::money::Amount;
use serde_json::Value;

/// Lines of a signature.
const SIGNED: [&str; 2] = ["Signature and date", "Name and title"];
/// Values that are told of a change, at most.
const VALUES_AT_MOST: usize = 40;

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

/// A change order as a document; `seller` and `customer` sign it.
pub fn compose_change_order(
    told: ChangeTold<'_>,
    (seller, customer): (&Party, &Party),
) -> Document {
    let number = told.order.number.clone().unwrap_or_default();
    let mut parts = head(told, seller, customer);
    parts.extend(body(told));
    parts.push(Part::Signatures(vec![sign(seller), sign(customer)]));
    Document {
        title: format!("Change order {number}: {}", told.comparison.before.name),
        foot: format!("Change order {number}, {}", seller.name),
        stamp: None,
        parts,
    }
}

fn sign(party: &Party) -> Signature {
    Signature {
        party: format!("For {}", party.name),
        lines: SIGNED.map(str::to_owned).to_vec(),
    }
}

fn head(told: ChangeTold<'_>, seller: &Party, customer: &Party) -> Vec<Part> {
    let order = told.order;
    let mut facts = Vec::new();
    facts.extend(
        order
            .number
            .clone()
            .map(|number| ("Number".to_owned(), number)),
    );
    facts.extend(order.date.map(|date| ("Date".to_owned(), date.to_string())));
    let letterhead = Letterhead {
        logo: None,
        name: seller.name.clone(),
        lines: vec![seller.address().join(", ")]
            .into_iter()
            .filter(|line| !line.is_empty())
            .collect(),
        kind: "Change order".to_owned(),
        facts,
    };
    let mut who = vec![Prose::bold(&customer.name)];
    who.extend(customer.address().into_iter().map(Prose::from));
    let panel = |heading: &str, lines| Panel {
        heading: heading.to_owned(),
        lines,
    };
    let job = vec![Prose::bold(&told.comparison.before.name)];
    vec![
        Part::Letterhead(letterhead),
        Part::Beside(vec![panel("FOR", who), panel("JOB", job)]),
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
    if !told.contract.unsigned_slips.is_zero() {
        let unsigned = format!("{}.", show(told, told.contract.unsigned_slips));
        words.push(Prose::led(
            "Slips without a signature, no part of this sum:",
            &unsigned,
        ));
    }
    Sum {
        name: "New contract sum".to_owned(),
        figures: told
            .contract
            .new
            .map_or_else(String::new, |new| show(told, new)),
        words,
    }
}

fn show(told: ChangeTold<'_>, amount: Amount) -> String {
    money_in_figures(amount, &told.comparison.currency)
}

fn body(told: ChangeTold<'_>) -> Vec<Part> {
    let mut parts = vec![
        Part::Heading("1. What it comes to".to_owned()),
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

/// From the earlier sum to the new one.
fn sums(told: ChangeTold<'_>) -> Table {
    let row = |what: &str, amount: Option<Amount>| {
        let figures = amount.map_or_else(String::new, |amount| show(told, amount));
        Row::plain(vec![what.to_owned(), figures])
    };
    let contract = told.contract;
    let mut rows = vec![row("Sum before this change", contract.original)];
    if told.comparison.method == Method::Sections {
        let steps = told.comparison.causes.iter();
        let moving = steps.filter(|step| step.amount.is_some_and(|amount| !amount.is_zero()));
        rows.extend(moving.map(|step| row(&name_of(step), step.amount)));
    } else {
        rows.push(row("Change of the work", contract.change));
    }
    rows.push(row(
        "Extra work on signed slips",
        Some(contract.signed_slips),
    ));
    rows.push(Row {
        is_sum: true,
        ..row("New contract sum", contract.new)
    });
    table(&["", "Amount"], rows)
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
    vec![
        Part::Heading("3. Extra work on slips".to_owned()),
        Part::Table(table(&["Slip", "Day", "Signed by", "Amount"], rows)),
    ]
}
