//! A quotation on paper: the price, and line by line what it is for.
//!
//! Invariant: every figure is one of the quotation. Absent: what work is offered, which a proposal says.

use super::bill::{references, tax_words};
use super::drawing::Bitmap;
use super::paper::{Document, Part, Prose, Row, Side, Sum, Table};
use super::parties::{Kind, addressee, letterhead, list, panel};
use crate::billing::{Quotation, QuotationLine};
use crate::proposal::{grouped, money_in_figures};
use crate::quantity::money::Amount;

/// A quotation as a document.
pub fn compose_quotation(quotation: &Quotation, logo: Option<Bitmap>) -> Document {
    let kind = Kind {
        name: "Quotation",
        facts: facts(quotation),
    };
    let mut about = vec![Prose::bold(&quotation.job)];
    about.extend(quotation.references.iter().flat_map(references));
    let reason = quotation.tax.reason.iter();
    let mut parts = vec![
        Part::Letterhead(letterhead(&quotation.seller, kind, logo)),
        Part::Beside(vec![
            addressee("FOR", &quotation.buyer),
            panel("JOB", about),
        ]),
        Part::Sum(Sum {
            name: "Price".to_owned(),
            figures: money_in_figures(quotation.totals.total, &quotation.currency),
            words: reason.map(|why| Prose::from(why.as_str())).collect(),
        }),
        Part::Table(lines(quotation)),
    ];
    parts.extend(list("Notes", quotation.notes.clone().unwrap_or_default()));
    let (number, date) = (&quotation.number, quotation.issue_date);
    Document {
        title: format!("Quotation {number}: {}", quotation.job),
        foot: format!("Quotation {number} of {date}, {}", quotation.seller.name),
        stamp: None,
        parts,
    }
}

fn facts(quotation: &Quotation) -> Vec<(&'static str, String)> {
    let mut facts = vec![
        ("Number", quotation.number.clone()),
        ("Date", quotation.issue_date.to_string()),
    ];
    let until = quotation.valid_until;
    facts.extend(until.map(|last| ("Good until", last.to_string())));
    facts
}

fn lines(quotation: &Quotation) -> Table {
    let sum = |words: &str, amount: Amount| {
        let empty = String::new;
        vec![empty(), words.to_owned(), empty(), grouped(amount)]
    };
    let mut rows: Vec<Row> = quotation.lines.iter().map(row).collect();
    let (tax, totals) = (&quotation.tax, &quotation.totals);
    rows.push(Row::sum(sum("Before tax", totals.before_tax)));
    let told = tax_words(tax.rate, tax.category.word());
    rows.push(Row::plain(sum(&told, totals.tax)));
    rows.push(Row::sum(sum("Price", totals.total)));
    let columns = [
        ("No.", Side::Left),
        ("What", Side::Left),
        ("Quantity", Side::Right),
    ];
    let columns = columns.map(|(name, side)| (name.to_owned(), side));
    let money = (quotation.currency.to_string(), Side::Right);
    Table {
        columns: columns.into_iter().chain([money]).collect(),
        rows,
    }
}

fn row(line: &QuotationLine) -> Row {
    let unit = line.unit.as_deref().unwrap_or_default();
    let quantity = line.quantity.map(|quantity| format!("{quantity} {unit}"));
    Row::plain(vec![
        line.id.clone(),
        line.description.clone(),
        quantity.unwrap_or_default().trim_end().to_owned(),
        grouped(line.amount),
    ])
}
