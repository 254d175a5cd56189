//! Where a CSV table begins: the first record in which something stands, and the dialect it tells.
//!
//! Invariants: found before it is known what parts the cells, so a quote after any delimiter opens one;
//! a whole text and a stream begin at the same record. Absent: the names of the columns.

use super::record::{self, Quotes, Span};
use crate::sheet::Dialect;

/// Where the record with the heading begins.
pub(in crate::sheet) struct Top {
    /// How many bytes stand before it; all of them where nothing is said.
    pub(in crate::sheet) at: usize,
    /// Its number as a spreadsheet shows it.
    pub(in crate::sheet) row: u64,
    /// What its cells are parted by.
    pub(in crate::sheet) dialect: Dialect,
}

impl Top {
    /// Looks through a text whose records have so many bytes at most.
    pub(in crate::sheet) fn of(text: &str, row_bytes: usize) -> Self {
        let (mut at, mut row) = (0, 1);
        while at < text.len() {
            let rest = &text[at..];
            let span = head(rest.as_bytes(), row_bytes);
            let line = &rest[..span.end];
            if begins_table(line, span.quotes) {
                let dialect = Dialect::of(line);
                return Self { at, row, dialect };
            }
            row += u64::from(span.next > span.end);
            at += span.next;
        }
        let dialect = Dialect::default();
        Self { at, row, dialect }
    }
}

/// Whether a record is the heading: something stands in it, or nobody can tell what does.
pub(in crate::sheet) fn begins_table(line: &str, quotes: Quotes) -> bool {
    let says = |one: char| !one.is_whitespace() && !"\",;".contains(one);
    quotes != Quotes::Closed || line.contains(says)
}

/// The record that begins the text, or its first line where a quote stays open.
fn head(bytes: &[u8], row_bytes: usize) -> Span {
    let span = record::find(bytes, record::any_delimiter);
    if span.quotes == Quotes::Open || span.end > row_bytes {
        return record::line(bytes, span.quotes);
    }
    span
}
