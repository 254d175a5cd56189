//! Where a record of a CSV text ends, and what its cells are (RFC 4180, section 2).
//!
//! Invariants: a quote opens a cell only at its beginning, so that an inch mark within one is text;
//! inside quotes a quote is doubled and line ends are text; CR, LF and CRLF each end a record; bytes
//! that matter are ASCII, so that cutting there keeps UTF-8 whole.

/// Where a record ends.
#[derive(Clone, Copy, Debug)]
pub(in crate::sheet) struct Span {
    /// After its last byte, the line's end left out.
    pub(in crate::sheet) end: usize,
    /// Where the next one begins.
    pub(in crate::sheet) next: usize,
    /// What is wrong with its quotes.
    pub(in crate::sheet) quotes: Quotes,
}

/// How a record's quotes stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::sheet) enum Quotes {
    /// Each that opens is closed before its cell ends.
    Closed,
    /// Text follows one that closes.
    TextAfter,
    /// One is open at the end of the text.
    Open,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    CellBegins,
    InText,
    InQuotes,
    AfterQuote,
}

/// Whether a byte could part cells in any dialect.
pub(in crate::sheet) const fn any_delimiter(byte: u8) -> bool {
    matches!(byte, b',' | b';' | b'\t')
}

/// Finds the end of the record that begins the text.
pub(in crate::sheet) fn find(bytes: &[u8], is_delimiter: impl Fn(u8) -> bool) -> Span {
    let mut place = Place::CellBegins;
    let mut quotes = Quotes::Closed;
    for (at, &byte) in bytes.iter().enumerate() {
        if place != Place::InQuotes && matches!(byte, b'\r' | b'\n') {
            let both = byte == b'\r' && bytes.get(at + 1) == Some(&b'\n');
            let next = at + if both { 2 } else { 1 };
            return Span {
                end: at,
                next,
                quotes,
            };
        }
        let delimits = is_delimiter(byte);
        if place == Place::AfterQuote && !delimits && !matches!(byte, b'"' | b' ' | b'\t') {
            quotes = Quotes::TextAfter;
        }
        place = step(place, byte, delimits);
    }
    if place == Place::InQuotes {
        quotes = Quotes::Open;
    }
    Span {
        end: bytes.len(),
        next: bytes.len(),
        quotes,
    }
}

/// The first line that begins the text, whatever its quotes say.
pub(in crate::sheet) fn line(bytes: &[u8], quotes: Quotes) -> Span {
    let end = bytes.iter().position(|byte| matches!(byte, b'\r' | b'\n'));
    let end = end.unwrap_or(bytes.len());
    let both = bytes[end..].starts_with(b"\r\n");
    let next = end + usize::from(end < bytes.len()) + usize::from(both);
    Span { end, next, quotes }
}

/// The place after one more byte that ends no record.
const fn step(place: Place, byte: u8, delimits: bool) -> Place {
    match (place, byte) {
        (Place::InQuotes, b'"') => Place::AfterQuote,
        (Place::InQuotes, _) => Place::InQuotes,
        (Place::CellBegins | Place::AfterQuote, b'"') => Place::InQuotes,
        _ if delimits => Place::CellBegins,
        (Place::AfterQuote, b' ' | b'\t') => Place::AfterQuote,
        _ => Place::InText,
    }
}

/// The cells of a record, as they stand, without their quotes.
pub(in crate::sheet) fn cells(record: &str, delimiter: u8) -> Vec<String> {
    let mut cells = Vec::new();
    let mut place = Place::CellBegins;
    let mut begin = 0;
    for (at, &byte) in record.as_bytes().iter().enumerate() {
        let delimits = byte == delimiter;
        if delimits && place != Place::InQuotes {
            cells.push(unquote(&record[begin..at]));
            begin = at + 1;
        }
        place = step(place, byte, delimits);
    }
    cells.push(unquote(&record[begin..]));
    cells
}

/// How often a byte delimits cells in a record.
pub(in crate::sheet) fn count(record: &str, delimiter: u8) -> usize {
    let mut place = Place::CellBegins;
    let mut found = 0;
    for &byte in record.as_bytes() {
        let delimits = byte == delimiter;
        found += usize::from(delimits && place != Place::InQuotes);
        // A quote after any delimiter opens a cell: which one parts them is only being found out.
        place = step(place, byte, any_delimiter(byte));
    }
    found
}

/// The text inside a cell's quotes, or the cell as it stands.
fn unquote(cell: &str) -> String {
    let Some(inner) = cell.strip_prefix('"') else {
        return cell.to_owned();
    };
    // Blanks after the closing quote are no text.
    let inner = inner.trim_end_matches([' ', '\t']);
    inner
        .strip_suffix('"')
        .unwrap_or(inner)
        .replace("\"\"", "\"")
}
