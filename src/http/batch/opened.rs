//! A body read up to its first row: what can be refused as a whole is refused here.
//!
//! Invariant: what cannot be read piece by piece, an array or a workbook, is held only up to a bound.
//! Absent: what a row means.

use super::body::{Form, LIMITS, Record, Source, WHOLE_BYTES};
use super::plan::Columns;
use crate::http::problem::ApiError;
use crate::quantity::{Fault, Faults};
use crate::sheet::{CsvStream, Limits, Line, LineStream, StreamError, Style, read_xlsx};
use serde_json::Value;
use std::io::Read;

/// What a workbook may hold.
const XLSX_LIMITS: Limits = Limits {
    rows: 100_000,
    ..LIMITS
};

/// Reads a body up to its first row.
///
/// # Errors
/// What refuses the body as a whole.
pub(super) fn open(
    form: &Form,
    body: Box<dyn Read + Send>,
) -> Result<(Source, Option<Columns>), ApiError> {
    match form {
        Form::Csv(charset) => {
            let rows = CsvStream::open(body, charset.as_deref(), LIMITS).map_err(refuse)?;
            let columns = Columns::of(rows.heading(), rows.style());
            Ok((Source::Csv(Box::new(rows)), Some(columns)))
        }
        Form::Lines => {
            let lines = LineStream::open(body, LIMITS).map_err(refuse)?;
            Ok((Source::Lines(Box::new(lines)), None))
        }
        Form::Array => Ok((
            Source::Held(read_array(&read_whole(body)?)?.into_iter()),
            None,
        )),
        Form::Xlsx => {
            let bytes = read_whole(body)?;
            let table = read_xlsx(&bytes, &XLSX_LIMITS)?;
            let columns = Columns::of(&table.heading, Style::default());
            let rows: Result<Vec<_>, _> = table.rows().collect();
            let records: Vec<Record> = rows?.into_iter().map(Record::Cells).collect();
            Ok((Source::Held(records.into_iter()), Some(columns)))
        }
    }
}

fn refuse(error: StreamError) -> ApiError {
    match error {
        StreamError::Sheet(error) => error.into(),
        StreamError::Broken(_) => ApiError::Unreadable(
            "The body broke off before its first row, or is not coded as Content-Encoding says."
                .to_owned(),
        ),
    }
}

/// A body that is held whole.
fn read_whole(body: Box<dyn Read + Send>) -> Result<Vec<u8>, ApiError> {
    let mut bytes = Vec::new();
    let read = body.take(WHOLE_BYTES + 1).read_to_end(&mut bytes);
    read.map_err(|error| refuse(StreamError::Broken(error)))?;
    if bytes.len() as u64 > WHOLE_BYTES {
        let limit = WHOLE_BYTES as usize;
        return Err(ApiError::TooLarge { limit });
    }
    Ok(bytes)
}

/// The elements of an array, as if each stood on a line of its own.
fn read_array(bytes: &[u8]) -> Result<Vec<Record>, ApiError> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let value = serde_json::from_slice(bytes)
        .map_err(|error| ApiError::Unreadable(format!("The body is not JSON: {error}.")))?;
    let Value::Array(jobs) = value else {
        let accepted = "an array of jobs, one object each";
        let fault = Fault::new(
            "",
            "a JSON value that is no array",
            accepted,
            Some("[{\"rise_in\": 28}]"),
        );
        return Err(Faults(vec![fault]).into());
    };
    let records = jobs.iter().zip(1..).map(|(job, number)| {
        let bytes = serde_json::to_vec(job).map_err(ApiError::internal)?;
        Ok(Record::Json(Line {
            number,
            bytes: Ok(bytes),
        }))
    });
    records.collect()
}
