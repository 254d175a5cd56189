//! The header `Idempotency-Key`, by which a request that is sent again is known.
//!
//! Invariant: the same form wherever it is read. Absent: what is done with it.

use super::problem::ApiError;
use actix_web::http::header::HeaderMap;

pub(super) const KEY: &str = "Idempotency-Key";
/// Longest key, in characters.
const LONGEST: usize = 255;
/// How a key is written, for the refusals.
pub(super) const FORM: &str = "1 to 255 characters of ASCII, blanks only within, sent once";

/// The key of a request; none where none was sent.
///
/// # Errors
/// [`ApiError::BadRequest`] for one that is written otherwise, and for several.
pub(super) fn read(headers: &HeaderMap) -> Result<Option<String>, ApiError> {
    let mut values = headers.get_all(KEY);
    let Some(value) = values.next() else {
        return Ok(None);
    };
    let text = value.to_str().unwrap_or_default().trim();
    let visible = |byte: u8| byte.is_ascii_graphic() || byte == b' ';
    let fits = (1..=LONGEST).contains(&text.len()) && text.bytes().all(visible);
    if fits && values.next().is_none() {
        return Ok(Some(text.to_owned()));
    }
    Err(ApiError::BadRequest(format!("{KEY} is {FORM}.")))
}
