//! A body read up to its first row: what can be refused as a whole is refused here.
//!
//! Invariant: what cannot be read piece by piece, an array or a workbook, is held only up to a bound.
//! Absent: what a row means.

use super::body::{Form, LIMITS, Record, Source, WHOLE_BYTES};
use super::plan::Columns;
use crate::http::problem::ApiError;
use crate::quantity::{Fault, Faults};
use crate::sheet::{CsvStream, Limits, Line, LineStream, StreamError, Style, read_xlsx};
use serde_json::{error::Category, value::RawValue};
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
            Ok((Source::Sheet(Box::new(table.rows())), Some(columns)))
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
    let jobs: Vec<&RawValue> = serde_json::from_slice(bytes).map_err(|error| {
        if error.classify() == Category::Data {
            let accepted = "an array of jobs, one object each";
            let found = "a JSON value that is no array";
            return Faults(vec![Fault::new(
                "",
                found,
                accepted,
                Some("[{\"rise_in\": 28}]"),
            )])
            .into();
        }
        ApiError::Unreadable(format!("The body is not JSON: {error}."))
    })?;
    let records = jobs.into_iter().zip(1..).map(|(job, number)| {
        let bytes = Ok(job.get().as_bytes().to_vec());
        Record::Json(Line { number, bytes })
    });
    Ok(records.collect())
}
