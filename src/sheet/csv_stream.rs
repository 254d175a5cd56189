//! A CSV text of any length, one record at a time (RFC 4180), as it comes.
//!
//! Invariants: no more is held than one record may have; a record that cannot be read is an answer
//! of its own and the ones after it follow; a quote that is never closed takes no other row with it.
//! Absent: what a cell means.

use super::{
    Dialect, Heading, Limits, SheetError, StreamError,
    csv_reading::{
        cells,
        record::{self, Quotes, Span},
        top::begins_table,
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
        let line = heading_text(&feed.rest()[..found.span.end]).ok_or_else(|| feed.no_text(row))?;
        if let Some(fault) = found.fault(row, &limits) {
            return Err(fault.into());
        }
        feed.skip(found.span.next);
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
            let record = &self.feed.rest()[..found.span.end];
            let fault = found.fault(self.row, &self.limits);
            // A quote alone that stays open is no blank: what it holds is not known.
            if fault.is_none() && is_blank(record, delimiter) {
                self.feed.skip(found.span.next);
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
            self.feed.skip(found.span.next);
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
    span: Span,
    size: Size,
}

/// How much of a record could be held.
#[derive(PartialEq, Eq)]
enum Size {
    /// All of it.
    Whole,
    /// Its first line; it is too long, most likely because a quote was left open.
    FirstLine,
    /// Its first line is too long by itself; only the end of that may be held.
    Part,
}

impl Found {
    fn fault(&self, row: u64, limits: &Limits) -> Option<SheetError> {
        let limit = limits.row_bytes;
        match self.span.quotes {
            _ if self.size != Size::Whole => Some(SheetError::RowTooLong { row, limit }),
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
        if found.size == Size::Part {
            let limit = limits.row_bytes;
            return Err(SheetError::RowTooLong { row, limit }.into());
        }
        // It may hold more lines than the heading has, so it need not be text as a whole.
        let line = String::from_utf8_lossy(&feed.rest()[..found.span.end]);
        if begins_table(&line, found.span.quotes) {
            return Ok((row, Dialect::of(&line)));
        }
        feed.skip(found.span.next);
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
        if ends_within(span, rest) && span.end <= limit {
            let size = Size::Whole;
            return Ok(Some(Found { span, size }));
        }
        if span.end > limit {
            return break_off(feed, span.quotes, limit).map(Some);
        }
        if feed.ended() {
            let open = span.quotes == Quotes::Open;
            let span = if open {
                record::line(rest, span.quotes)
            } else {
                span
            };
            let size = Size::Whole;
            return Ok((!rest.is_empty()).then_some(Found { span, size }));
        }
        feed.read_on()?;
    }
}

/// A record beyond the limit: most likely a quote was left open, and the next line is the next row.
fn break_off<R: Read>(
    feed: &mut Feed<R>,
    quotes: Quotes,
    limit: usize,
) -> Result<Found, StreamError> {
    let mut size = Size::FirstLine;
    loop {
        let rest = feed.rest();
        let span = record::line(rest, quotes);
        if span.end > limit {
            size = Size::Part;
        }
        if ends_within(span, rest) || feed.ended() {
            return Ok(Found { span, size });
        }
        if size == Size::Part {
            // One endless line: all but its end is forgotten.
            let held = rest.len() - usize::from(rest.ends_with(b"\r"));
            feed.skip(held);
        }
        feed.read_on()?;
    }
}

/// Whether the line's end is held too. A CR at the very end may be half of one.
fn ends_within(span: Span, rest: &[u8]) -> bool {
    span.next < rest.len() || (span.next > span.end && rest.ends_with(b"\n"))
}
