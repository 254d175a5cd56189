//! What was wrong with a table, in one sentence that says what to do.
//!
//! Invariant: safe to show to whoever sent the table: the caller's own text is shortened, and no
//! text of a library is passed on. Absent: status codes.

use std::fmt;

/// Longest piece of the table's own text that is repeated back, in characters.
const SHOWN_AT_MOST: usize = 60;

/// Why a table, or one row of it, cannot be read or written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SheetError {
    /// Bytes that are no text in the file's charset.
    #[error("row {row} is not text in {charset}: {}", charset_advice(*.named))]
    NotText {
        /// The charset that was tried.
        charset: &'static str,
        /// The row in which the first such byte stands.
        row: u64,
        /// Whether the caller or the file's own mark named the charset.
        named: bool,
    },
    /// A charset that no reader is known for.
    #[error("the charset {} is not known: save the file as CSV UTF-8", quoted(.label))]
    UnknownCharset {
        /// What was asked for.
        label: String,
    },
    /// No row with anything in it.
    #[error("there is no heading: the first row has to name the columns")]
    NoHeading,
    /// More columns than may be.
    #[error("the heading has {found} columns, and {limit} is the most")]
    TooManyColumns {
        /// How many there are.
        found: usize,
        /// How many there may be.
        limit: usize,
    },
    /// Two columns that are called the same, capitals and blanks aside.
    #[error("two columns are called {}: rename one of them", quoted(.name))]
    NameTwice {
        /// The name, as the second one is written.
        name: String,
    },
    /// A heading that is merged with other cells, so that its columns cannot be told.
    #[error("the heading {} is merged with other cells ({range}): unmerge it", quoted(.name))]
    MergedHeading {
        /// What stands in the merged cells.
        name: String,
        /// Which cells, like `B1:C1`.
        range: String,
    },
    /// More rows than may be.
    #[error("there are more than {limit} rows: send them in parts")]
    TooManyRows {
        /// How many there may be.
        limit: usize,
    },
    /// A row that is longer than may be.
    #[error("row {row} is longer than {limit} bytes; in a CSV file, look for a quote left open")]
    RowTooLong {
        /// Its number.
        row: u64,
        /// How many bytes it may have.
        limit: usize,
    },
    /// A row with text outside of the columns that the heading names.
    #[error("row {row} has more cells than the heading's {columns}: is a mark unquoted in it?")]
    TooManyCells {
        /// Its number.
        row: u64,
        /// How many the heading names.
        columns: usize,
    },
    /// A quote that is open at the end of the file.
    #[error("a quote in row {row} is never closed")]
    QuoteOpen {
        /// The row in which it opens.
        row: u64,
    },
    /// Text between a closing quote and the end of its cell.
    #[error("row {row} has text after a closing quote: double each quote inside a quoted cell")]
    AfterQuote {
        /// Its number.
        row: u64,
    },
    /// Not a workbook, or a damaged one.
    #[error("this is not a readable XLSX workbook: {why}")]
    NotXlsx {
        /// What was missing or wrong.
        why: &'static str,
    },
    /// A workbook behind a password, or one in the format before XLSX.
    #[error(
        "the workbook has a password or is an old XLS file: save it as XLSX without a password"
    )]
    Locked,
    /// More bytes than may be, once unfolded.
    #[error("the table is larger than {limit} bytes when it is unfolded: send it in parts")]
    TooLarge {
        /// How many there may be.
        limit: u64,
    },
    /// Cells of one row that cannot be read, all of them.
    #[error("{}", all(.cells))]
    BadCells {
        /// The row's number.
        row: u64,
        /// The cells, from left to right.
        cells: Vec<BadCell>,
    },
    /// Something that a file of this kind cannot hold.
    #[error("the table cannot be written: {why}")]
    NotWritable {
        /// What it is.
        why: &'static str,
    },
}

/// One cell that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadCell {
    /// Where it stands, like `C7`.
    pub cell: String,
    /// What is wrong with it.
    pub fault: CellFault,
}

/// What is wrong with a cell.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CellFault {
    /// A formula without the value that it gave when the file was saved.
    #[error("a formula without a saved value; open the file in a spreadsheet and save it again")]
    NoSavedValue,
    /// The mark of an error, like `#N/A`.
    #[error("the error {0}")]
    Error(String),
    /// A number with a date format that is no day of its calendar.
    #[error("a date that no calendar has")]
    NoSuchDate,
    /// A number that is not one.
    #[error("a number that cannot be read")]
    NotANumber,
    /// A text that the workbook refers to and does not have.
    #[error("a text that the workbook does not have")]
    NoSuchText,
}

impl SheetError {
    /// The row it speaks of, where it speaks of one.
    pub const fn row(&self) -> Option<u64> {
        match self {
            Self::NotText { row, .. }
            | Self::RowTooLong { row, .. }
            | Self::TooManyCells { row, .. }
            | Self::QuoteOpen { row }
            | Self::AfterQuote { row }
            | Self::BadCells { row, .. } => Some(*row),
            _ => None,
        }
    }

    /// Whether no row follows it; the others are faults of their own row alone.
    pub const fn ends(&self) -> bool {
        !matches!(
            self,
            Self::RowTooLong { .. }
                | Self::TooManyCells { .. }
                | Self::AfterQuote { .. }
                | Self::BadCells { .. }
        )
    }
}

/// Text of the table, shortened and between quotes.
pub(super) fn quoted(text: &str) -> String {
    let mut head: String = text.chars().take(SHOWN_AT_MOST).collect();
    if head.len() < text.len() {
        head.push('…');
    }
    format!("“{head}”")
}

const fn charset_advice(named: bool) -> &'static str {
    if named {
        "save the file as CSV UTF-8"
    } else {
        "save the file as CSV UTF-8, or name its charset, as in \
         Content-Type: text/csv; charset=windows-1252"
    }
}

fn all(cells: &[BadCell]) -> String {
    let said: Vec<String> = cells.iter().map(ToString::to_string).collect();
    said.join("; ")
}

impl fmt::Display for BadCell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "cell {} holds {}", self.cell, self.fault)
    }
}
