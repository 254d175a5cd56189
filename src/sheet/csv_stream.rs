//! A CSV text of any length, one record at a time (RFC 4180), as it comes.
//!
//! Invariants: no more is held than one record may have; a record that cannot be read is an answer
//! of its own and the ones after it follow; a quote that is never closed takes no other row with it.
//! Absent: what a cell means.

use super::{
    Dialect, Heading, Limits, SheetError, StreamError,
    csv_reading::{
        cells,
        record::{self, Quotes},
    },
    feed::Feed,
};
use std::io::Read;

/// How a text was written: an answer is written the same.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Style {
    /// What stands between its cells.
    pub dialect: Dialect,
    /// Whether it began with a byte-order mark.
    pub marked: bool,
}

/// A CSV text whose heading has been read.
#[derive(Debug)]
pub struct CsvStream<R> {
    feed: Feed<R>,
    heading: Heading,
    style: Style,
    row: u64,
    left: usize,
    limits: Limits,
}

/// One record below the heading.
#[derive(Debug)]
pub struct CsvRecord {
    /// Its number as a spreadsheet shows it; a heading in the first row is 1.
    pub number: u64,
    bytes: Vec<u8>,
    fault: Option<SheetError>,
}

impl<R: Read> CsvStream<R> {
    /// Reads up to the heading. The charset is that of the byte-order mark, else the one that
    /// `charset` names, else UTF-8; the delimiter the one that stands most often in the heading.
    ///
    /// # Errors
    /// No heading, a heading with faults of its own, a charset that is not known, a broken stream.
    pub fn open(stream: R, charset: Option<&str>, limits: Limits) -> Result<Self, StreamError> {
        let mut feed = Feed::open(stream, charset, limits.unfolded_bytes)?;
        let (row, dialect) = find_heading(&mut feed, &limits)?;
        let delimiter = dialect.delimiter.byte();
        let found = find(&mut feed, |byte| byte == delimiter, limits.row_bytes)?;
        let found = found.ok_or(SheetError::NoHeading)?;
        if let Some(fault) = found.fault(row, &limits) {
            return Err(fault.into());
        }
        let line = heading_text(&feed.rest()[..found.end]).ok_or_else(|| feed.no_text(row))?;
        feed.skip(found.next);
        let heading = Heading::new(cells(&line, delimiter), &limits)?;
        let marked = feed.marked();
        Ok(Self {
            feed,
            heading,
            style: Style { dialect, marked },
            row,
            left: limits.rows,
            limits,
        })
    }

    /// The names of its columns.
    pub const fn heading(&self) -> &Heading {
        &self.heading
    }

    /// How it is written.
    pub const fn style(&self) -> Style {
        self.style
    }

    /// The next record that is not blank; none at the end.
    ///
    /// # Errors
    /// What ends the stream: it broke off, is too large, or has too many rows.
    pub fn next_record(&mut self) -> Result<Option<CsvRecord>, StreamError> {
        let delimiter = self.style.dialect.delimiter.byte();
        loop {
            let limit = self.limits.row_bytes;
            let Some(found) = find(&mut self.feed, |byte| byte == delimiter, limit)? else {
                return Ok(None);
            };
            self.row += 1;
            let record = &self.feed.rest()[..found.end];
            let fault = found.fault(self.row, &self.limits);
            // A quote alone that stays open is no blank: what it holds is not known.
            if fault.is_none() && is_blank(record, delimiter) {
                self.feed.skip(found.next);
                continue;
            }
            if self.left == 0 {
                let limit = self.limits.rows;
                return Err(SheetError::TooManyRows { limit }.into());
            }
            self.left -= 1;
            let no_text = std::str::from_utf8(record).is_err();
            let no_text = no_text.then(|| self.feed.no_text(self.row));
            let record = CsvRecord {
                number: self.row,
                bytes: record.to_vec(),
                fault: fault.or(no_text),
            };
            self.feed.skip(found.next);
            return Ok(Some(record));
        }
    }
}

impl CsvRecord {
    /// How many bytes it has.
    pub const fn size(&self) -> usize {
        self.bytes.len()
    }

    /// Its cells, trimmed and without their guards: as many as the heading has names.
    ///
    /// # Errors
    /// What is wrong with the record as such, and its cells as far as they can be told.
    pub fn cells(
        &self,
        heading: &Heading,
        dialect: Dialect,
    ) -> Result<Vec<String>, (SheetError, Vec<String>)> {
        let columns = heading.names().len();
        let text = String::from_utf8_lossy(&self.bytes);
        let mut found = cells(&text, dialect.delimiter.byte());
        let outside = found.get(columns..).unwrap_or_default();
        let too_many = outside.iter().any(|cell| !cell.is_empty());
        found.resize(columns, String::new());
        let row = self.number;
        let too_many = too_many.then_some(SheetError::TooManyCells { row, columns });
        match self.fault.clone().or(too_many) {
            None => Ok(found),
            Some(fault) => Err((fault, found)),
        }
    }
}

/// Whether nothing stands in any cell. Most records tell by their first byte.
fn is_blank(record: &[u8], delimiter: u8) -> bool {
    // What is no sign of ASCII may still be a blank.
    let marks = |byte: &u8| !byte.is_ascii_graphic() || *byte == delimiter || *byte == b'"';
    record.iter().all(marks) && {
        let text = String::from_utf8_lossy(record);
        cells(&text, delimiter).iter().all(String::is_empty)
    }
}

/// Where the next record ends, in what is held.
struct Found {
    end: usize,
    next: usize,
    quotes: Quotes,
    too_long: bool,
}

impl Found {
    fn fault(&self, row: u64, limits: &Limits) -> Option<SheetError> {
        let limit = limits.row_bytes;
        match self.quotes {
            _ if self.too_long => Some(SheetError::RowTooLong { row, limit }),
            Quotes::Open => Some(SheetError::QuoteOpen { row }),
            Quotes::TextAfter => Some(SheetError::AfterQuote { row }),
            Quotes::Closed => None,
        }
    }
}

/// Goes to the first record in which something stands, and tells its row and its dialect.
fn find_heading<R: Read>(
    feed: &mut Feed<R>,
    limits: &Limits,
) -> Result<(u64, Dialect), StreamError> {
    let mut row = 1;
    loop {
        let found = find(feed, record::any_delimiter, limits.row_bytes)?;
        let found = found.ok_or(SheetError::NoHeading)?;
        let line = heading_text(&feed.rest()[..found.end]).ok_or_else(|| feed.no_text(row))?;
        let marks = |one: char| one.is_whitespace() || "\",;".contains(one);
        if !line.chars().all(marks) {
            return Ok((row, Dialect::of(&line)));
        }
        feed.skip(found.next);
        row += 1;
    }
}

/// The text of a heading's line. UTF-16 without its mark passes for UTF-8 with zeros between the
/// letters.
fn heading_text(line: &[u8]) -> Option<String> {
    let text = std::str::from_utf8(line).ok()?;
    (!text.contains('\0')).then(|| text.to_owned())
}

/// Finds the next record, reading on until its end is held; none where nothing is left.
fn find<R: Read>(
    feed: &mut Feed<R>,
    is_delimiter: impl Fn(u8) -> bool,
    limit: usize,
) -> Result<Option<Found>, StreamError> {
    loop {
        let rest = feed.rest();
        let span = record::find(rest, &is_delimiter);
        // A CR at the very end may be half of a line end.
        let whole = span.next < rest.len() || (span.next > span.end && rest[span.end] == b'\n');
        if whole && span.end <= limit {
            return Ok(Some(found(span)));
        }
        if span.end > limit {
            return break_off(feed, span.quotes).map(Some);
        }
        if feed.ended() {
            return Ok(match rest {
                [] => None,
                _ if span.quotes == Quotes::Open => Some(first_line(rest, span.quotes)),
                _ => Some(found(span)),
            });
        }
        feed.read_on()?;
    }
}

const fn found(span: record::Span) -> Found {
    Found {
        end: span.end,
        next: span.next,
        quotes: span.quotes,
        too_long: false,
    }
}

/// A record beyond the limit: most likely a quote was left open, and the next line is the next row.
fn break_off<R: Read>(feed: &mut Feed<R>, quotes: Quotes) -> Result<Found, StreamError> {
    loop {
        let rest = feed.rest();
        let line = first_line(rest, quotes);
        if line.next > line.end || feed.ended() {
            return Ok(Found {
                // What is repeated of it is what a row may have.
                end: line.end.min(rest.len()),
                too_long: true,
                ..line
            });
        }
        // One endless line: all but its end is forgotten.
        let held = rest.len();
        feed.skip(held);
        feed.read_on()?;
    }
}

/// The record up to the first line end, whatever its quotes say.
fn first_line(rest: &[u8], quotes: Quotes) -> Found {
    let end = rest.iter().position(|byte| matches!(byte, b'\r' | b'\n'));
    let end = end.unwrap_or(rest.len());
    let both = rest[end..].starts_with(b"\r\n");
    let next = end + usize::from(end < rest.len()) + usize::from(both);
    Found {
        end,
        next,
        quotes,
        too_long: false,
    }
}
