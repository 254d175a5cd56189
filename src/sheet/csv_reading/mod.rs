//! CSV texts into rows, one at a time (RFC 4180).
//!
//! Invariants: the input and one row are all that is held; a row's number counts records as a
//! spreadsheet does, so that a line end inside quotes begins no row and a blank row has a number.
//! Absent: what a cell means, and a guess at thousands marks or dates.

pub(super) mod record;
pub(super) mod top;

use self::{record::Quotes, top::Top};
use super::{Heading, Limits, Row, SheetError, Source, Table, charset::decode, guard::unguard};
use std::borrow::Cow;

/// Reads a CSV text up to its heading. Its charset is that of its byte-order mark, else the one that
/// `charset` names (a label as in `Content-Type`), else UTF-8; its delimiter the one that stands
/// most often in the heading.
///
/// # Errors
/// Where the bytes are no text of that charset, or there is no heading, or it has faults of its own.
pub fn read_csv<'a>(
    bytes: &'a [u8],
    charset: Option<&str>,
    limits: &Limits,
) -> Result<Table<'a>, SheetError> {
    let (text, no_text) = decode(bytes, charset, limits)?;
    let Top { at, row, dialect } = Top::of(&text, limits.row_bytes);
    let mut records = Records {
        text,
        at,
        row: row - 1,
        delimiter: dialect.delimiter.byte(),
        row_bytes: limits.row_bytes,
    };
    let read = records.next().ok_or(SheetError::NoHeading)?;
    // UTF-16 without its mark passes for UTF-8 with zeros between the letters.
    if records.text[at..records.at].contains('\0') {
        return Err(no_text(row));
    }
    let heading = Heading::new(read?, limits)?;
    let rows = Rows {
        records,
        columns: heading.names().len(),
        left: limits.rows,
        limit: limits.rows,
    };
    Ok(Table {
        heading,
        dialect,
        rows: Source::Csv(rows),
    })
}

/// How many records end in a text; the number of the one that it breaks off in is one more.
pub(super) fn records_in(text: &str, row_bytes: usize) -> u64 {
    let top = Top::of(text, row_bytes);
    let delimiter = top.dialect.delimiter.byte();
    let (mut rest, mut found) = (&text[top.at..], top.row - 1);
    while !rest.is_empty() {
        let span = record::find(rest.as_bytes(), |byte| byte == delimiter);
        found += u64::from(span.next > span.end);
        rest = &rest[span.next..];
    }
    found
}

/// Records as they come, blank ones too.
#[derive(Debug)]
struct Records<'a> {
    text: Cow<'a, str>,
    at: usize,
    row: u64,
    delimiter: u8,
    row_bytes: usize,
}

impl Records<'_> {
    /// The cells of the next record, trimmed and without their guards.
    fn next(&mut self) -> Option<Result<Vec<String>, SheetError>> {
        let rest = &self.text[self.at..];
        if rest.is_empty() {
            return None;
        }
        let span = record::find(rest.as_bytes(), |byte| byte == self.delimiter);
        self.at += span.next;
        self.row += 1;
        let row = self.row;
        let limit = self.row_bytes;
        Some(match span.quotes {
            Quotes::Open => Err(SheetError::QuoteOpen { row }),
            _ if span.end > limit => Err(SheetError::RowTooLong { row, limit }),
            Quotes::TextAfter => Err(SheetError::AfterQuote { row }),
            Quotes::Closed => Ok(cells(&rest[..span.end], self.delimiter)),
        })
    }
}

/// The cells of a record, trimmed and without their guards.
pub(super) fn cells(record: &str, delimiter: u8) -> Vec<String> {
    let mut cells = record::cells(record, delimiter);
    for cell in &mut cells {
        let plain = unguard(cell.trim());
        if plain.len() < cell.len() {
            *cell = plain.to_owned();
        }
    }
    cells
}

/// The rows below a heading.
#[derive(Debug)]
pub(super) struct Rows<'a> {
    records: Records<'a>,
    columns: usize,
    left: usize,
    limit: usize,
}

impl Rows<'_> {
    pub(super) fn next(&mut self) -> Option<Result<Row, SheetError>> {
        loop {
            let read = self.records.next()?;
            let blank = |cells: &Vec<String>| cells.iter().all(String::is_empty);
            if read.as_ref().is_ok_and(blank) {
                continue;
            }
            if self.left == 0 {
                return Some(Err(SheetError::TooManyRows { limit: self.limit }));
            }
            self.left -= 1;
            return Some(read.and_then(|cells| self.fit(cells)));
        }
    }

    /// As many cells as the heading has names.
    fn fit(&self, mut cells: Vec<String>) -> Result<Row, SheetError> {
        let number = self.records.row;
        let outside = cells.get(self.columns..).unwrap_or_default();
        if outside.iter().any(|cell| !cell.is_empty()) {
            return Err(SheetError::TooManyCells {
                row: number,
                columns: self.columns,
            });
        }
        cells.resize(self.columns, String::new());
        Ok(Row { number, cells })
    }
}
