//! Tables as offices send them, into rows of text cells, and back: CSV and XLSX.
//!
//! Invariants: nothing is evaluated, guessed or reordered; a row keeps the number that a spreadsheet
//! shows beside it; every size is bounded by [`Limits`] before memory is spent on it; what is
//! written here is read here as the same cells. Absent: files, the clock, and what a cell means.

mod charset;
mod csv_reading;
mod csv_stream;
mod csv_writing;
mod decimal;
mod dialect;
mod error;
mod feed;
mod guard;
mod heading;
mod line_stream;
mod workbook;
mod xlsx_writing;

pub use self::csv_reading::read_csv;
pub use self::csv_stream::{CsvRecord, CsvStream, Style};
pub use self::csv_writing::{Cell, CsvWriter};
pub use self::decimal::{NumberFault, plain_number};
pub use self::dialect::{Delimiter, Dialect};
pub use self::error::{BadCell, CellFault, SheetError};
pub use self::feed::StreamError;
pub use self::guard::guarded;
pub use self::heading::Heading;
pub use self::line_stream::{Line, LineStream};
pub use self::workbook::read_xlsx;
pub use self::xlsx_writing::write_xlsx;

/// One row below the heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Its number as a spreadsheet shows it; a heading in the first row is 1.
    pub number: u64,
    /// Its cells as text, trimmed; as many as the heading has names, empty where nothing stands.
    pub cells: Vec<String>,
}

/// What is wrong with a row, and its cells as far as they can be told.
pub type Untold = (SheetError, Vec<String>);

/// How much a table may hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Most rows below the heading, blank ones aside.
    pub rows: usize,
    /// Most bytes of one row, as it stands in a CSV file or as the text of its cells.
    pub row_bytes: usize,
    /// Most names in the heading.
    pub columns: usize,
    /// Most bytes of everything unfolded: an XLSX file's parts, the text of its cells, or a CSV
    /// text converted to UTF-8.
    pub unfolded_bytes: u64,
}

/// A table whose heading has been read and whose rows have not been asked for yet.
#[derive(Debug)]
pub struct Table<'a> {
    /// The names of its columns.
    pub heading: Heading,
    /// How it was written; for XLSX the default, since numbers there have no decimal mark.
    pub dialect: Dialect,
    rows: Source<'a>,
}

#[derive(Debug)]
enum Source<'a> {
    Csv(csv_reading::Rows<'a>),
    Xlsx(workbook::Rows),
}

impl<'a> Table<'a> {
    /// The rows below the heading, one at a time; blank ones are skipped, and counted in the
    /// numbers. After an error of one row the next ones follow, unless [`SheetError::ends`].
    pub fn rows(self) -> Rows<'a> {
        Rows {
            source: self.rows,
            ended: false,
        }
    }
}

/// The rows of a table, see [`Table::rows`].
#[derive(Debug)]
pub struct Rows<'a> {
    source: Source<'a>,
    ended: bool,
}

impl Rows<'_> {
    /// The next row; of one that cannot be read, as far as they can be told, its cells too.
    pub fn next_told(&mut self) -> Option<Result<Row, Untold>> {
        if self.ended {
            return None;
        }
        let next = match &mut self.source {
            Source::Csv(rows) => rows
                .next()
                .map(|row| row.map_err(|error| (error, Vec::new()))),
            Source::Xlsx(rows) => rows.next(),
        };
        self.ended = match &next {
            None => true,
            Some(Err((error, _))) => error.ends(),
            Some(Ok(_)) => false,
        };
        next
    }
}

impl Iterator for Rows<'_> {
    type Item = Result<Row, SheetError>;

    fn next(&mut self) -> Option<Self::Item> {
        let next = self.next_told()?;
        Some(next.map_err(|(error, _)| error))
    }
}
