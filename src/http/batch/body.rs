//! The body of a batch: taken in as it comes, unfolded, cut into records.
//!
//! Invariants: a body that stands still has broken off, one that moves is awaited to its end; what is unfolded is bounded as it is read, so that a small body cannot unfold to any
//! size; a record keeps the number that its sender sees. Absent: what a record means.

use super::spool::{self, SpoolReader, SpoolWriter};
use crate::http::media::{MediaType, coding};
use crate::http::problem::ApiError;
use crate::sheet::{
    CsvRecord, CsvStream, Limits, Line, LineStream, Row, Rows, StreamError, Untold,
};
use actix_web::body::{BodyStream, MessageBody as _};
use actix_web::dev::Payload;
use actix_web::http::header::HeaderMap;
use std::{future::poll_fn, io::Read, pin::Pin, time::Duration};
use tokio::time::{Instant, timeout_at};

/// What a batch may hold.
pub(super) const LIMITS: Limits = Limits {
    rows: 1_000_000,
    row_bytes: 64 * 1024,
    columns: 300,
    unfolded_bytes: 256 * 1024 * 1024,
};

/// Largest JSON array or workbook in bytes; these are held whole.
pub(super) const WHOLE_BYTES: u64 = 16 * 1024 * 1024;

/// A form in which a batch may come.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// A CSV table, with the charset that the caller names.
    Csv(Option<String>),
    /// One JSON object a line.
    Lines,
    /// One JSON array.
    Array,
    /// A workbook.
    Xlsx,
}

/// How a body is folded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Coding {
    Plain,
    Gzip,
    Deflate,
    Brotli,
}

/// One job as it was sent.
#[derive(Debug)]
pub(super) enum Record {
    /// A record of a CSV table.
    Csv(CsvRecord),
    /// A row of a workbook: its number and its cells.
    Cells(u64, Result<Vec<String>, Untold>),
    /// A JSON object.
    Json(Line),
}

impl Record {
    /// About how many bytes it was sent in.
    pub(super) fn size(&self) -> usize {
        match self {
            Self::Csv(record) => record.size(),
            Self::Cells(_, Ok(cells) | Err((_, cells))) => cells.iter().map(String::len).sum(),
            Self::Json(line) => line.bytes.as_ref().map_or(0, Vec::len),
        }
    }
}

/// Where records come from.
pub(super) enum Source {
    Csv(Box<CsvStream<Box<dyn Read + Send>>>),
    Lines(Box<LineStream<Box<dyn Read + Send>>>),
    Sheet(Box<Rows<'static>>),
    Held(std::vec::IntoIter<Record>),
}

impl Source {
    pub(super) fn next(&mut self) -> Result<Option<Record>, StreamError> {
        match self {
            Self::Csv(rows) => Ok(rows.next_record()?.map(Record::Csv)),
            Self::Lines(lines) => Ok(lines.next_line()?.map(Record::Json)),
            Self::Sheet(rows) => rows.next_told().map(of_sheet).transpose(),
            Self::Held(records) => Ok(records.next()),
        }
    }
}

/// A fault of one row is its answer; any other ends the table.
fn of_sheet(told: Result<Row, Untold>) -> Result<Record, StreamError> {
    match told {
        Ok(row) => Ok(Record::Cells(row.number, Ok(row.cells))),
        Err((fault, cells)) => match fault.row() {
            Some(number) => Ok(Record::Cells(number, Err((fault, cells)))),
            None => Err(fault.into()),
        },
    }
}

impl Form {
    /// How many usual batches one weighs: a workbook is held in memory while its rows are answered.
    pub(super) const fn weight(&self) -> usize {
        match self {
            Self::Xlsx => 8,
            Self::Csv(_) | Self::Lines | Self::Array => 1,
        }
    }

    /// The form that the headers name.
    ///
    /// # Errors
    /// [`ApiError::UnsupportedMediaType`].
    pub(super) fn of(headers: &HeaderMap) -> Result<Self, ApiError> {
        let kind = MediaType::of(headers);
        match kind.essence.as_str() {
            "text/csv" | "text/tab-separated-values" => Ok(Self::Csv(kind.charset)),
            "application/x-ndjson" | "application/ndjson" | "application/jsonl" => Ok(Self::Lines),
            "application/json" => Ok(Self::Array),
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet" => Ok(Self::Xlsx),
            _ => Err(ApiError::UnsupportedMediaType(format!(
                "A batch is sent as text/csv, application/x-ndjson, application/json (an array) or XLSX; the Content-Type found: {}.",
                kind.found()
            ))),
        }
    }
}

impl Coding {
    /// The coding that the headers name.
    ///
    /// # Errors
    /// [`ApiError::UnsupportedMediaType`].
    pub(super) fn of(headers: &HeaderMap) -> Result<Self, ApiError> {
        match coding(headers).as_str() {
            "" => Ok(Self::Plain),
            "gzip" | "x-gzip" => Ok(Self::Gzip),
            "deflate" => Ok(Self::Deflate),
            "br" => Ok(Self::Brotli),
            other => Err(ApiError::UnsupportedMediaType(format!(
                "A body may be coded as gzip, br or deflate, or not at all; found: {other}."
            ))),
        }
    }

    /// The bytes that were folded.
    pub(super) fn unfold(self, body: SpoolReader) -> Box<dyn Read + Send> {
        match self {
            Self::Plain => Box::new(body),
            Self::Gzip => Box::new(flate2::read::MultiGzDecoder::new(body)),
            Self::Deflate => Box::new(flate2::read::ZlibDecoder::new(body)),
            Self::Brotli => Box::new(brotli::Decompressor::new(body, 4096)),
        }
    }
}

/// Less than this is no moving, in bytes: one who sends a byte now and then holds a place as one does
/// who sends nothing.
const MOVING: usize = 1024;

/// Until when the next part of a body is awaited.
struct Awaited {
    patience: Duration,
    until: Instant,
    since_then: usize,
}

impl Awaited {
    fn from_now(patience: Duration) -> Self {
        Self {
            patience,
            until: Instant::now() + patience,
            since_then: 0,
        }
    }

    fn note(&mut self, bytes: usize) {
        self.since_then += bytes;
        if self.since_then >= MOVING {
            *self = Self::from_now(self.patience);
        }
    }
}

/// Takes in a body while it is read; at most the bytes that a batch may unfold to. A body
/// that stands still for as long as `patience` has broken off.
pub(super) fn take_in(payload: Payload, patience: Duration) -> SpoolReader {
    let (writer, reader) = spool::open();
    actix_web::rt::spawn(pump(payload, writer, Awaited::from_now(patience)));
    reader
}

async fn pump(payload: Payload, writer: SpoolWriter, mut awaited: Awaited) {
    let mut body = BodyStream::new(payload);
    let mut taken = 0;
    loop {
        let next = poll_fn(|context| Pin::new(&mut body).poll_next(context));
        let chunk = match timeout_at(awaited.until, next).await {
            Ok(Some(Ok(chunk))) => chunk,
            Ok(None) => break,
            // Broken off by its sender, or for standing still.
            Ok(Some(Err(_))) | Err(_) => return,
        };
        awaited.note(chunk.len());
        taken += chunk.len() as u64;
        match writer.write(&chunk) {
            // One piece beyond the bound is taken in, so that the reader sees that it is too large.
            Ok(wanted) if wanted && taken <= LIMITS.unfolded_bytes => {}
            Ok(_) => return,
            Err(error) => {
                tracing::error!(%error, "a batch could not be put aside");
                return;
            }
        }
    }
    writer.finish();
}
