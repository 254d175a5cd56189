//! Rows into an XLSX workbook of one sheet.
//!
//! Invariants: equal content gives equal bytes, since the date of making is an argument; a text is
//! a text, never a formula; a number that a float cannot hold exactly as written is a text.

use super::{
    Cell, SheetError,
    decimal::{plain, shortest},
};
use chrono::{Datelike, NaiveDate};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};
use std::collections::BTreeMap;

/// Writes a workbook with a heading and rows, as made on a day.
///
/// # Errors
/// Where the sheet's name, a text's length, or the number of rows or columns is more than a
/// workbook can hold.
pub fn write_xlsx<'a>(
    sheet_name: &str,
    made_on: NaiveDate,
    heading: &[&str],
    rows: impl Iterator<Item = Vec<Cell<'a>>>,
) -> Result<Vec<u8>, SheetError> {
    let mut workbook = Workbook::new();
    workbook.set_properties(&properties(made_on)?);
    let mut page = Page {
        sheet: workbook.add_worksheet(),
        formats: BTreeMap::new(),
    };
    page.sheet.set_name(sheet_name).map_err(refusal)?;
    page.sheet.set_freeze_panes(1, 0).map_err(refusal)?;
    let bold = Format::new().set_bold();
    for (column, name) in heading.iter().enumerate() {
        let column = column_number(column)?;
        page.sheet
            .write_string_with_format(0, column, *name, &bold)
            .map_err(refusal)?;
    }
    for (row, cells) in (1_u32..).zip(rows) {
        for (column, cell) in cells.into_iter().enumerate() {
            page.write(row, column_number(column)?, cell)?;
        }
    }
    workbook.save_to_buffer().map_err(refusal)
}

/// A sheet being written, and the number formats it has used so far, by their decimals.
struct Page<'w> {
    sheet: &'w mut Worksheet,
    formats: BTreeMap<usize, Format>,
}

impl Page<'_> {
    fn write(&mut self, row: u32, column: u16, cell: Cell<'_>) -> Result<(), SheetError> {
        let written = match cell {
            Cell::Empty => return Ok(()),
            Cell::Number(number) => match as_float(number) {
                Some(value) => {
                    let format = format_of(&mut self.formats, number);
                    self.sheet
                        .write_number_with_format(row, column, value, format)
                }
                None => self.sheet.write_string(row, column, number),
            },
            Cell::Text(text) => self.sheet.write_string(row, column, text),
        };
        written.map(|_| ()).map_err(refusal)
    }
}

/// A format that shows as many decimals as the number is written with.
fn format_of<'f>(formats: &'f mut BTreeMap<usize, Format>, number: &str) -> &'f Format {
    let places = number.split_once('.').map_or(0, |(_, places)| places.len());
    formats.entry(places).or_insert_with(|| {
        let point = if places == 0 { "" } else { "." };
        Format::new().set_num_format(format!("0{point}{}", "0".repeat(places)))
    })
}

/// A number as a float, where reading the float gives the same number again.
fn as_float(number: &str) -> Option<f64> {
    let plain = plain(number)?;
    let value: f64 = plain.parse().ok()?;
    (shortest(value)? == plain).then_some(value)
}

fn column_number(column: usize) -> Result<u16, SheetError> {
    u16::try_from(column).map_err(|_| SheetError::NotWritable {
        why: "a sheet has at most 16384 columns",
    })
}

fn properties(made_on: NaiveDate) -> Result<DocProperties, SheetError> {
    let year = u16::try_from(made_on.year()).unwrap_or_default();
    let (month, day) = (made_on.month() as u8, made_on.day() as u8);
    let made_on = ExcelDateTime::from_ymd(year, month, day).map_err(refusal)?;
    Ok(DocProperties::new().set_creation_datetime(&made_on))
}

/// The library's refusals in words of our own; its texts repeat what was to be written.
fn refusal(error: XlsxError) -> SheetError {
    let why = match error {
        XlsxError::RowColumnLimitError => "a sheet has at most 1048576 rows and 16384 columns",
        XlsxError::MaxStringLengthExceeded => "a cell holds at most 32767 characters",
        XlsxError::SheetnameCannotBeBlank(_)
        | XlsxError::SheetnameLengthExceeded(_)
        | XlsxError::SheetnameContainsInvalidCharacter(_)
        | XlsxError::SheetnameStartsOrEndsWithApostrophe(_) => {
            "a sheet's name has 1 to 31 characters, none of [ ] : * ? / \\, and no apostrophe at \
             its ends"
        }
        XlsxError::DateTimeRangeError(_) => "a workbook is made between 1899 and 9999",
        _ => "the workbook's library refused it",
    };
    SheetError::NotWritable { why }
}
