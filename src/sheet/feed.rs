//! Bytes as they come, in UTF-8, with as much held as one record needs.
//!
//! Invariants: what is held is one record and one read beyond it; a byte that is no text of its
//! charset becomes one that is no UTF-8, so that the record it stands in is refused and no other.
//! Absent: where a record ends, and what it means.

use super::{SheetError, charset::named};
use encoding_rs::{Decoder, DecoderResult, Encoding, UTF_8};
use std::io::{self, Read};

/// How much is read at a time, in bytes.
const READ: usize = 64 * 1024;
/// A byte that stands in no UTF-8 text.
const NO_TEXT: u8 = 0xFF;

/// Why a stream ends before its end.
#[derive(Debug, thiserror::Error)]
pub enum StreamError {
    /// The table itself.
    #[error(transparent)]
    Sheet(#[from] SheetError),
    /// What brings it.
    #[error("the table broke off before its end")]
    Broken(#[source] io::Error),
}

/// A stream of bytes and what was read of it beyond the last record.
#[derive(Debug)]
pub(super) struct Feed<R> {
    stream: R,
    decoder: Option<Decoder>,
    raw: Vec<u8>,
    held: Vec<u8>,
    at: usize,
    unfolded: u64,
    limit: u64,
    ended: bool,
    marked: bool,
    charset: &'static str,
    named: bool,
}

impl<R: Read> Feed<R> {
    /// Begins to read: the charset is that of the byte-order mark, else the one of `label`.
    pub(super) fn open(stream: R, label: Option<&str>, limit: u64) -> Result<Self, StreamError> {
        let mut feed = Self {
            stream,
            decoder: None,
            raw: vec![0; READ],
            held: Vec::new(),
            at: 0,
            unfolded: 0,
            limit,
            ended: false,
            marked: false,
            charset: UTF_8.name(),
            named: label.is_some(),
        };
        let head = feed.read_head()?;
        let (charset, mark) = match (Encoding::for_bom(&head), label) {
            (Some((charset, mark)), _) => (charset, mark),
            (None, Some(label)) => (named(label)?, 0),
            (None, None) => (UTF_8, 0),
        };
        feed.marked = mark > 0;
        feed.charset = charset.name();
        feed.decoder = (charset != UTF_8).then(|| charset.new_decoder_without_bom_handling());
        feed.take_in(&head[mark..])?;
        Ok(feed)
    }

    /// Whether it began with a byte-order mark.
    pub(super) const fn marked(&self) -> bool {
        self.marked
    }

    /// The fault of a row that is no text.
    pub(super) const fn no_text(&self, row: u64) -> SheetError {
        SheetError::NotText {
            charset: self.charset,
            row,
            named: self.named || self.marked,
        }
    }

    /// Whether nothing more comes.
    pub(super) const fn ended(&self) -> bool {
        self.ended
    }

    /// What was read and not taken yet.
    pub(super) fn rest(&self) -> &[u8] {
        &self.held[self.at..]
    }

    /// Goes on behind what was taken.
    pub(super) fn skip(&mut self, bytes: usize) {
        self.at += bytes;
    }

    /// Reads on; what was taken is forgotten.
    pub(super) fn read_on(&mut self) -> Result<(), StreamError> {
        self.held.drain(..self.at);
        self.at = 0;
        let mut raw = std::mem::take(&mut self.raw);
        let read = read_some(&mut self.stream, &mut raw);
        let taken = read.and_then(|read| {
            self.ended = read == 0;
            self.take_in(&raw[..read])
        });
        self.raw = raw;
        taken
    }

    /// As many bytes as a byte-order mark may have, or all there are.
    fn read_head(&mut self) -> Result<Vec<u8>, StreamError> {
        let mut head = Vec::new();
        while head.len() < 3 && !self.ended {
            let read = read_some(&mut self.stream, &mut self.raw)?;
            head.extend_from_slice(&self.raw[..read]);
            self.ended = read == 0;
        }
        Ok(head)
    }

    fn take_in(&mut self, bytes: &[u8]) -> Result<(), StreamError> {
        let before = self.held.len();
        match &mut self.decoder {
            None => self.held.extend_from_slice(bytes),
            Some(decoder) => decode(decoder, bytes, (&mut self.held, self.ended)),
        }
        self.unfolded += (self.held.len() - before) as u64;
        if self.unfolded > self.limit {
            return Err(SheetError::TooLarge { limit: self.limit }.into());
        }
        Ok(())
    }
}

fn read_some(stream: &mut impl Read, into: &mut [u8]) -> Result<usize, StreamError> {
    loop {
        match stream.read(into) {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            read => return read.map_err(StreamError::Broken),
        }
    }
}

fn decode(decoder: &mut Decoder, mut bytes: &[u8], (into, last): (&mut Vec<u8>, bool)) {
    loop {
        let room = decoder
            .max_utf8_buffer_length_without_replacement(bytes.len())
            .unwrap_or(READ);
        let filled = into.len();
        into.resize(filled + room.max(16), 0);
        let (result, read, written) =
            decoder.decode_to_utf8_without_replacement(bytes, &mut into[filled..], last);
        into.truncate(filled + written);
        bytes = &bytes[read..];
        match result {
            DecoderResult::InputEmpty => return,
            DecoderResult::OutputFull => {}
            DecoderResult::Malformed(..) => into.push(NO_TEXT),
        }
    }
}
