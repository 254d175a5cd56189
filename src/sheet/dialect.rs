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
    pub(super) fn of(text: &str) -> Self {
        let heading = first_line(text);
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

/// The first record in which something stands.
fn first_line(text: &str) -> &str {
    let mut rest = text;
    while !rest.is_empty() {
        let span = record::find(rest.as_bytes(), record::any_delimiter);
        let line = &rest[..span.end];
        if line.contains(|one: char| !one.is_whitespace() && !"\",;".contains(one)) {
            return line;
        }
        rest = &rest[span.next..];
    }
    ""
}
