//! How a CSV file is written: what parts its cells, and which mark its decimals have.
//!
//! Invariant: found from the heading line alone, outside of quotes. Absent: thousands marks, which
//! no dialect has.

use super::csv_reading::record;

/// What stands between two cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Delimiter {
    /// `,`
    #[default]
    Comma,
    /// `;`, as where the decimal mark is a comma.
    Semicolon,
    /// A tab.
    Tab,
}

/// The dialect in which a CSV file was written; answers use the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Dialect {
    /// What stands between two cells.
    pub delimiter: Delimiter,
}

impl Delimiter {
    /// Its byte in a file.
    pub const fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
        }
    }
}

impl Dialect {
    /// The decimal mark that goes with it: a comma with semicolons, else a point.
    pub const fn decimal_mark(self) -> char {
        match self.delimiter {
            Delimiter::Semicolon => ',',
            Delimiter::Comma | Delimiter::Tab => '.',
        }
    }

    /// Whichever delimiter stands most often in the heading, outside of quotes; commas win a tie.
    pub(super) fn of(heading: &str) -> Self {
        let count = |delimiter: Delimiter| (record::count(heading, delimiter.byte()), delimiter);
        let mut best = count(Delimiter::Comma);
        for other in [Delimiter::Semicolon, Delimiter::Tab] {
            let counted = count(other);
            if counted.0 > best.0 {
                best = counted;
            }
        }
        Self { delimiter: best.1 }
    }
}
