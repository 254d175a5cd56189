//! Rows into CSV (RFC 4180): CRLF after each, quotes where they are needed, in a dialect.
//!
//! Invariants: a text that a spreadsheet would run as a formula gets an apostrophe before it; a
//! number gets the decimal mark of the dialect and nothing else. Absent: a byte-order mark, which is
//! whoever sends the file's to write.

use super::{Dialect, decimal::plain, guard::guarded};
use std::io::{self, Write};

/// A cell to be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cell<'a> {
    /// A text, never run as a formula.
    Text(&'a str),
    /// A decimal number with a point, like `-12.50`; anything else is written as text.
    Number(&'a str),
    /// Nothing.
    Empty,
}

/// Writes rows to a stream.
#[derive(Debug)]
pub struct CsvWriter<W: Write> {
    records: csv::Writer<W>,
    dialect: Dialect,
}

impl<W: Write> CsvWriter<W> {
    /// A writer of one dialect.
    pub fn new(stream: W, dialect: Dialect) -> Self {
        let records = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .delimiter(dialect.delimiter.byte())
            .flexible(true)
            .from_writer(stream);
        Self { records, dialect }
    }

    /// Writes one row; the heading is a row of texts.
    ///
    /// # Errors
    /// What the stream gives.
    pub fn write(&mut self, cells: &[Cell<'_>]) -> io::Result<()> {
        for cell in cells {
            let written = self.text_of(*cell);
            self.records.write_field(written.as_bytes())?;
        }
        self.records.write_record(None::<&[u8]>)?;
        Ok(())
    }

    /// Writes whatever is still held back, and gives the stream back.
    ///
    /// # Errors
    /// What the stream gives.
    pub fn finish(self) -> io::Result<W> {
        self.records
            .into_inner()
            .map_err(csv::IntoInnerError::into_error)
    }

    /// Sends on what is held back.
    ///
    /// # Errors
    /// What the stream gives.
    pub fn flush(&mut self) -> io::Result<()> {
        self.records.flush()
    }

    fn text_of(&self, cell: Cell<'_>) -> String {
        match cell {
            Cell::Empty => String::new(),
            Cell::Number(number) if plain(number).is_some() => {
                number.replace('.', &self.dialect.decimal_mark().to_string())
            }
            Cell::Text(text) | Cell::Number(text) => guarded(text).into_owned(),
        }
    }
}
