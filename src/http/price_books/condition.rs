//! The condition under which a write holds, from the headers (RFC 9110, section 13).
//!
//! Invariant: a write without a condition is refused. Absent: whether the condition holds, which
//! the book decides inside its transaction.

use super::ApiError;
use crate::book::Expected;
use actix_web::http::header::{self, HeaderMap, HeaderName};

/// A revision as an entity tag.
pub(super) fn etag(revision: i64) -> String {
    format!("\"{revision}\"")
}

/// Reads `If-None-Match: *` or `If-Match: "7"`.
///
/// # Errors
/// [`ApiError::PreconditionRequired`] for neither, [`ApiError::BadRequest`] for both or for a form
/// that is not one of these, [`ApiError::PreconditionFailed`] for a tag that no revision has.
pub(super) fn read_condition(headers: &HeaderMap) -> Result<Expected, ApiError> {
    let (changes, makes) = (
        text(headers, header::IF_MATCH)?,
        text(headers, header::IF_NONE_MATCH)?,
    );
    match (changes, makes) {
        (None, None) => Err(ApiError::PreconditionRequired(
            "Send If-None-Match: * to make an item, or If-Match with the quoted revision to change it."
                .to_owned(),
        )),
        (Some(_), Some(_)) => Err(bad("Send If-Match or If-None-Match, not both.")),
        (None, Some("*")) => Ok(Expected::New),
        (None, Some(_)) => Err(bad("If-None-Match is only read as *, to make an item.")),
        (Some(tag), None) => read_tag(tag),
    }
}

fn read_tag(tag: &str) -> Result<Expected, ApiError> {
    let inner = tag
        .strip_prefix('"')
        .and_then(|rest| rest.strip_suffix('"'));
    let Some(inner) = inner.filter(|inner| !inner.contains('"')) else {
        // A weak tag can never match here (RFC 9110, section 8.8.3.2).
        return Err(
            match tag.starts_with("W/\"") && tag.matches('"').count() == 2 {
                true => unmatched(tag),
                false => {
                    bad("If-Match takes one quoted revision, as the ETag gave it, like \"7\".")
                }
            },
        );
    };
    match inner.parse() {
        Ok(revision) if etag(revision) == tag => Ok(Expected::Revision(revision)),
        _ => Err(unmatched(tag)),
    }
}

fn text(headers: &HeaderMap, name: HeaderName) -> Result<Option<&str>, ApiError> {
    let mut values = headers.get_all(&name);
    let Some(value) = values.next() else {
        return Ok(None);
    };
    if values.next().is_some() {
        return Err(bad(&format!("{name} was sent more than once.")));
    }
    let text = value
        .to_str()
        .map_err(|_| bad(&format!("{name} is not plain text.")))?;
    Ok(Some(text.trim()))
}

fn unmatched(tag: &str) -> ApiError {
    ApiError::PreconditionFailed(format!("No revision has the tag {tag}."))
}

fn bad(detail: &str) -> ApiError {
    ApiError::BadRequest(detail.to_owned())
}
