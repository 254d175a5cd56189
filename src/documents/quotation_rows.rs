//! A quotation as rows: one a line, and one for the tax, so that the amounts add up to the price.
//!
//! Invariant: amounts are numbers with the decimals of their currency, everything else is text. Absent: XML.

use crate::billing::{Quotation, QuotationLine};
use crate::sheet::{Cell, CsvWriter, Dialect};
use std::io;

const COLUMNS: [&str; 14] = [
    "quotation",
    "date",
    "valid_until",
    "buyer",
    "job",
    "line",
    "kind",
    "description",
    "quantity",
    "unit",
    "amount",
    "currency",
    "tax_category",
    "cost_code",
];

/// The lines of a quotation as CSV.
///
/// # Errors
/// When it cannot be written, which writing into memory prevents.
pub fn write_quotation_lines(quotation: &Quotation) -> io::Result<Vec<u8>> {
    let mut writer = CsvWriter::new(Vec::new(), Dialect::default());
    writer.write(&COLUMNS.map(Cell::Text))?;
    for line in &quotation.lines {
        write_row(&mut writer, quotation, ("line", line))?;
    }
    let tax = QuotationLine {
        id: String::new(),
        description: format!("Tax, {}", quotation.tax.rate),
        amount: quotation.tax.amount,
        quantity: None,
        unit: None,
        cost_code: None,
    };
    write_row(&mut writer, quotation, ("tax", &tax))?;
    writer.finish()
}

fn write_row(
    writer: &mut CsvWriter<Vec<u8>>,
    quotation: &Quotation,
    (kind, line): (&str, &QuotationLine),
) -> io::Result<()> {
    let told = |text: Option<String>| text.unwrap_or_default();
    let date = quotation.issue_date.to_string();
    let until = told(quotation.valid_until.map(|day| day.to_string()));
    let quantity = told(line.quantity.map(|quantity| quantity.to_string()));
    let amount = line.amount.to_string();
    writer.write(&[
        Cell::Text(&quotation.number),
        Cell::Text(&date),
        Cell::Text(&until),
        Cell::Text(&quotation.buyer.name),
        Cell::Text(&quotation.job),
        Cell::Text(&line.id),
        Cell::Text(kind),
        Cell::Text(&line.description),
        Cell::Number(&quantity),
        Cell::Text(line.unit.as_deref().unwrap_or_default()),
        Cell::Number(&amount),
        Cell::Text(quotation.currency.code()),
        Cell::Text(quotation.tax.category.word()),
        Cell::Text(line.cost_code.as_deref().unwrap_or_default()),
    ])
}
