//! Postings and bills as CSV (RFC 4180), for a program that imports tables.
//!
//! Invariants: one row a posting or a line; debit and credit are never both filled and never negative; a text that a
//! spreadsheet would run is guarded.

use crate::billing::{Bill, Journal};
use crate::quantity::money::Amount;
use crate::sheet::{Cell, CsvWriter, Dialect};
use std::io;

/// Columns of a journal.
const POSTINGS: [&str; 12] = [
    "entry_id",
    "date",
    "account",
    "description",
    "debit",
    "credit",
    "currency",
    "tax_code",
    "cost_code",
    "job",
    "document_ref",
    "payee",
];

/// Columns of a bill.
const LINES: [&str; 14] = [
    "document",
    "kind",
    "date",
    "due_date",
    "buyer",
    "job",
    "line",
    "line_kind",
    "item",
    "description",
    "amount",
    "currency",
    "tax_code",
    "cost_code",
];

/// A journal, one row a posting.
///
/// # Errors
/// None that writing into memory gives.
pub fn write_postings(journal: &Journal) -> io::Result<Vec<u8>> {
    let mut writer = CsvWriter::new(Vec::new(), Dialect::default());
    writer.write(&POSTINGS.map(Cell::Text))?;
    for entry in &journal.entries {
        let date = entry.date.to_string();
        for posting in &entry.postings {
            let (debit, credit) = (print(posting.debit), print(posting.credit));
            writer.write(&[
                Cell::Text(&entry.id),
                Cell::Text(&date),
                Cell::Text(&posting.account),
                Cell::Text(&posting.description),
                number(&debit),
                number(&credit),
                Cell::Text(entry.currency.code()),
                Cell::Text(posting.tax_code.as_deref().unwrap_or_default()),
                Cell::Text(posting.cost_code.as_deref().unwrap_or_default()),
                Cell::Text(&entry.job),
                Cell::Text(&entry.document),
                Cell::Text(&entry.payee),
            ])?;
        }
    }
    writer.finish()
}

/// A bill, one row a line; what is held back and the tax are rows of their own, so that the rows
/// add up to the sum with tax.
///
/// # Errors
/// None that writing into memory gives.
pub fn write_bill_lines(bill: &Bill) -> io::Result<Vec<u8>> {
    let mut writer = CsvWriter::new(Vec::new(), Dialect::default());
    writer.write(&LINES.map(Cell::Text))?;
    for line in &bill.lines {
        let told = [
            line.id.as_str(),
            line.kind.word(),
            line.item.as_deref().unwrap_or_default(),
            &line.description,
            line.cost_code.as_deref().unwrap_or_default(),
        ];
        write_row(&mut writer, bill, (told, line.amount))?;
    }
    for held in &bill.allowances {
        let told = ["", "retainage", "", held.reason.as_str(), ""];
        write_row(&mut writer, bill, (told, -held.amount))?;
    }
    let tax = format!("Tax, {}", bill.tax.rate);
    write_row(
        &mut writer,
        bill,
        (["", "tax", "", &tax, ""], bill.tax.amount),
    )?;
    writer.finish()
}

fn write_row(
    writer: &mut CsvWriter<Vec<u8>>,
    bill: &Bill,
    ([line, kind, item, description, cost_code], amount): ([&str; 5], Amount),
) -> io::Result<()> {
    let (date, amount) = (bill.issue_date.to_string(), amount.to_string());
    let due = bill.due_date.map(|due| due.to_string()).unwrap_or_default();
    writer.write(&[
        Cell::Text(&bill.number),
        Cell::Text(bill.kind.word()),
        Cell::Text(&date),
        Cell::Text(&due),
        Cell::Text(&bill.buyer.name),
        Cell::Text(&bill.job),
        Cell::Text(line),
        Cell::Text(kind),
        Cell::Text(item),
        Cell::Text(description),
        Cell::Number(&amount),
        Cell::Text(bill.currency.code()),
        Cell::Text(bill.tax.category.word()),
        Cell::Text(cost_code),
    ])
}

fn print(amount: Option<Amount>) -> String {
    amount.map(|amount| amount.to_string()).unwrap_or_default()
}

fn number(text: &str) -> Cell<'_> {
    if text.is_empty() {
        Cell::Empty
    } else {
        Cell::Number(text)
    }
}
