//! The format of an answer: which one is wanted, and writing it.
//!
//! Invariant: what a query asks for wins over `Accept`, and what is not offered is refused. Absent: what
//! the answer says.

use super::problem::ApiError;
use crate::sheet::{Cell, CsvWriter, Dialect};
use actix_web::HttpResponse;
use actix_web::http::header::{ACCEPT, HeaderMap, HeaderName, HeaderValue, VARY};

/// A format of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// JSON.
    Json,
    /// CSV of the lines.
    Csv,
    /// A workbook.
    Xlsx,
    /// Flat XML.
    Xml,
    /// One value as text.
    Text,
    /// One JSON object a line.
    Lines,
    /// A drawing.
    Svg,
    /// Pages on paper.
    Pdf,
    /// A page for a browser.
    Html,
}

impl Format {
    /// Every format.
    pub const ALL: [Self; 9] = [
        Self::Json,
        Self::Csv,
        Self::Xlsx,
        Self::Xml,
        Self::Text,
        Self::Lines,
        Self::Svg,
        Self::Pdf,
        Self::Html,
    ];

    /// How a query names it; also the ending of a file.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Json => "json",
            Self::Csv => "csv",
            Self::Xlsx => "xlsx",
            Self::Xml => "xml",
            Self::Text => "text",
            Self::Lines => "ndjson",
            Self::Svg => "svg",
            Self::Pdf => "pdf",
            Self::Html => "html",
        }
    }

    /// The media type without parameters.
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Json => "application/json",
            Self::Csv => "text/csv",
            Self::Xlsx => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            Self::Xml => "application/xml",
            Self::Text => "text/plain",
            Self::Lines => "application/x-ndjson",
            Self::Svg => "image/svg+xml",
            Self::Pdf => "application/pdf",
            Self::Html => "text/html",
        }
    }

    /// The media type with its parameters.
    pub const fn content_type(self) -> &'static str {
        match self {
            Self::Csv => "text/csv; charset=utf-8; header=present",
            Self::Xml => "application/xml; charset=utf-8",
            Self::Text => "text/plain; charset=utf-8",
            Self::Html => "text/html; charset=utf-8",
            Self::Json | Self::Xlsx | Self::Lines | Self::Svg | Self::Pdf => self.media_type(),
        }
    }
}

/// The format that a query or else `Accept` asks for, of those offered; the first is the default.
///
/// # Errors
/// [`ApiError::NotAcceptable`] when none fits.
pub fn choose_format(
    asked: Option<&str>,
    headers: &HeaderMap,
    offered: &[Format],
) -> Result<Format, ApiError> {
    let refusal = || {
        let names: Vec<&str> = offered.iter().map(|format| format.name()).collect();
        ApiError::NotAcceptable(format!("This call answers in {}.", names.join(" or ")))
    };
    if let Some(asked) = asked {
        let found = offered.iter().find(|format| format.name() == asked);
        return found.copied().ok_or_else(refusal);
    }
    let accepted = headers.get(ACCEPT).and_then(|value| value.to_str().ok());
    let fits = |format: &Format| accepts(accepted.unwrap_or("*/*"), format.media_type());
    let welcome = offered.iter().copied().filter(|format| fits(format) > 0.0);
    welcome
        .max_by(|a, b| {
            // The earlier of two equally welcome formats wins.
            let by = fits(a).total_cmp(&fits(b));
            by.then(std::cmp::Ordering::Greater)
        })
        .ok_or_else(refusal)
}

/// How welcome a media type is under an `Accept` header (RFC 9110, section 12.5.1), 0 to 1.
fn accepts(accept: &str, media_type: &str) -> f64 {
    let main = media_type.split('/').next().unwrap_or_default();
    let mut best = (0, 0.0);
    for part in accept.split(',') {
        let mut pieces = part.split(';').map(str::trim);
        let range = pieces.next().unwrap_or_default();
        let quality = pieces.find_map(|piece| piece.strip_prefix("q="));
        let quality = quality
            .and_then(|text| text.parse::<f64>().ok())
            .unwrap_or(1.0);
        let precision = if range.eq_ignore_ascii_case(media_type) {
            3
        } else if range.strip_suffix("/*").is_some_and(|range| range == main) {
            2
        } else if range == "*/*" {
            1
        } else {
            continue;
        };
        if precision > best.0 {
            best = (precision, quality);
        }
    }
    best.1
}

/// Rows of text as CSV.
///
/// # Errors
/// [`ApiError::Internal`] when it cannot be written, which writing into memory prevents.
pub fn write_texts(rows: &[Vec<&str>]) -> Result<String, ApiError> {
    let mut writer = CsvWriter::new(Vec::new(), Dialect::default());
    for row in rows {
        // As text, so that an amount keeps its decimals.
        let cells: Vec<Cell<'_>> = row.iter().map(|text| Cell::Text(text)).collect();
        writer.write(&cells).map_err(ApiError::internal)?;
    }
    let bytes = writer.finish().map_err(ApiError::internal)?;
    String::from_utf8(bytes).map_err(ApiError::internal)
}

/// An answer as CSV.
pub fn answer_csv(text: String) -> HttpResponse {
    HttpResponse::Ok()
        .content_type("text/csv; charset=utf-8; header=present")
        .body(text)
}

/// An answer as a file that was written.
pub fn answer_bytes(format: Format, bytes: Vec<u8>) -> HttpResponse {
    HttpResponse::Ok()
        .content_type(format.content_type())
        .body(bytes)
}

/// Bytes of most answers, so that none is moved while it grows.
const USUAL_BYTES: usize = 96 * 1024;

/// An answer as JSON.
///
/// # Errors
/// [`ApiError::Internal`] when a value is not finite, which every room prevents.
pub fn answer_json<T: serde::Serialize>(answer: &T) -> Result<HttpResponse, ApiError> {
    let mut body = Vec::with_capacity(USUAL_BYTES);
    serde_json::to_writer(&mut body, answer).map_err(ApiError::internal)?;
    Ok(HttpResponse::Ok()
        .content_type("application/json")
        .body(body))
}

/// Says how old the book in memory is: seconds since it was last seen to be the database's.
pub fn tell_book_age(mut response: HttpResponse, seconds: u64) -> HttpResponse {
    response.headers_mut().insert(
        HeaderName::from_static("crossfall-book-age"),
        HeaderValue::from(seconds),
    );
    response
}

/// Says that the answer depends on `Accept`.
pub fn vary(mut response: HttpResponse) -> HttpResponse {
    response
        .headers_mut()
        .append(VARY, HeaderValue::from_static("Accept"));
    response
}
