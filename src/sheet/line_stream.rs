//! Lines of a text of any length, as they come: one JSON value a line.
//!
//! Invariants: no more is held than one line may have; a line that is too long is an answer of its
//! own and the ones after it follow. Absent: what a line means.

use super::{Limits, SheetError, StreamError, feed::Feed};
use std::io::Read;

/// A text of lines.
#[derive(Debug)]
pub struct LineStream<R> {
    feed: Feed<R>,
    number: u64,
    left: usize,
    limits: Limits,
}

/// One line that is not blank.
#[derive(Debug)]
pub struct Line {
    /// Its number, from 1.
    pub number: u64,
    /// What stands in it, or why it is not read.
    pub bytes: Result<Vec<u8>, SheetError>,
}

impl<R: Read> LineStream<R> {
    /// Begins to read a text in UTF-8, or in the charset of its byte-order mark.
    ///
    /// # Errors
    /// A broken stream.
    pub fn open(stream: R, limits: Limits) -> Result<Self, StreamError> {
        Ok(Self {
            feed: Feed::open(stream, None, limits.unfolded_bytes)?,
            number: 0,
            left: limits.rows,
            limits,
        })
    }

    /// The next line that is not blank; none at the end.
    ///
    /// # Errors
    /// What ends the stream: it broke off, is too large, or has too many lines.
    pub fn next_line(&mut self) -> Result<Option<Line>, StreamError> {
        loop {
            let limit = self.limits.row_bytes;
            let Some((bytes, too_long)) = self.take_line()? else {
                return Ok(None);
            };
            self.number += 1;
            let number = self.number;
            if bytes.iter().all(u8::is_ascii_whitespace) && !too_long {
                continue;
            }
            if self.left == 0 {
                let limit = self.limits.rows;
                return Err(SheetError::TooManyRows { limit }.into());
            }
            self.left -= 1;
            let fault = SheetError::RowTooLong { row: number, limit };
            let bytes = if too_long { Err(fault) } else { Ok(bytes) };
            return Ok(Some(Line { number, bytes }));
        }
    }

    /// A line without its end, and whether it was longer than may be.
    fn take_line(&mut self) -> Result<Option<(Vec<u8>, bool)>, StreamError> {
        let (mut searched, mut too_long) = (0, false);
        loop {
            let rest = self.feed.rest();
            let end = rest[searched..].iter().position(|byte| *byte == b'\n');
            if let Some(end) = end.map(|end| end + searched) {
                too_long |= end > self.limits.row_bytes;
                let line = rest[..end].to_vec();
                self.feed.skip(end + 1);
                return Ok(Some((line, too_long)));
            }
            if self.feed.ended() {
                let line = rest.to_vec();
                self.feed.skip(line.len());
                let nothing = line.is_empty() && !too_long;
                too_long |= line.len() > self.limits.row_bytes;
                return Ok((!nothing).then_some((line, too_long)));
            }
            searched = rest.len();
            if searched > self.limits.row_bytes {
                too_long = true;
                self.feed.skip(searched);
                searched = 0;
            }
            self.feed.read_on()?;
        }
    }
}
