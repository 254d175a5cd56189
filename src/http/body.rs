//! A JSON body, read strictly, with every fault listed when it is refused.
//!
//! Invariants: the strict typed reader decides; only a body it refuses is read a second time, by
//! the collecting reader, which cannot turn the refusal around, and one with lists that may stand for
//! objects, which that reader refuses. Not JSON is 400, JSON with faults
//! is 422. Absent: compressed bodies, since a small one can unfold to any size.

use super::{
    limits::{self, Arrival},
    media::{MediaType, coding},
    problem::ApiError,
};
use crate::quantity::{Fault, Faults};
use actix_web::{
    FromRequest, HttpMessage as _, HttpRequest, dev::Payload, http::header::HeaderMap,
};
use serde::de::{DeserializeOwned, IgnoredAny};
use serde_json::error::Category;
use std::{future::Future, pin::Pin};

mod collecting;
mod lists;

pub(super) use collecting::read_value;

/// A request body of type `T`.
#[derive(Debug)]
pub struct Sent<T>(pub T);

impl<T> FromRequest for Sent<T>
where
    T: DeserializeOwned + deserr::Deserr<Faults> + 'static,
{
    type Error = ApiError;
    type Future = Pin<Box<dyn Future<Output = Result<Self, ApiError>>>>;

    fn from_request(request: &HttpRequest, payload: &mut Payload) -> Self::Future {
        let verdict = check_headers(request.headers());
        let arrival = request
            .extensions()
            .get::<Arrival>()
            .cloned()
            .unwrap_or_default();
        let (request, payload) = (request.clone(), payload.take());
        Box::pin(async move {
            if let Err(refusal) = verdict {
                limits::drain(payload).await;
                return Err(refusal);
            }
            let bytes = limits::read_body(&request, payload, limits::BODY_BYTES).await?;
            arrival.complete();
            parse_body(&bytes).map(Self)
        })
    }
}

/// Refuses what does not say it is plain JSON.
fn check_headers(headers: &HeaderMap) -> Result<(), ApiError> {
    let kind = MediaType::of(headers);
    let bare = kind.essence.as_str();
    let is_json =
        bare == "application/json" || (bare.starts_with("application/") && bare.ends_with("+json"));
    if !is_json {
        let detail = format!(
            "The body must be sent as application/json; the Content-Type found: {}.",
            kind.found()
        );
        return Err(ApiError::UnsupportedMediaType(detail));
    }
    if !coding(headers).is_empty() {
        return Err(ApiError::UnsupportedMediaType(
            "The body must be sent uncompressed.".to_owned(),
        ));
    }
    Ok(())
}

/// Reads one JSON body.
///
/// # Errors
/// [`ApiError::Unreadable`] when it is not JSON, [`ApiError::Faults`] with every fault else.
pub fn parse_body<T>(bytes: &[u8]) -> Result<T, ApiError>
where
    T: DeserializeOwned + deserr::Deserr<Faults>,
{
    // Some editors begin a file with this mark; it is not part of the JSON (RFC 8259, section 8.1).
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if bytes.trim_ascii().is_empty() {
        return Err(ApiError::Unreadable(
            "The body is empty; a JSON object is needed.".to_owned(),
        ));
    }
    if nesting(bytes) > limits::NESTING {
        return Err(refuse_nesting(bytes));
    }
    match serde_json::from_slice(bytes) {
        Ok(value) if lists::stand_for_objects(bytes) => list_positions::<T>(bytes).map(|()| value),
        Ok(value) => Ok(value),
        Err(error) if error.classify() == Category::Data => Err(list_faults::<T>(bytes, &error)),
        Err(error) => Err(unreadable(&error)),
    }
}

fn unreadable(error: &serde_json::Error) -> ApiError {
    ApiError::Unreadable(format!("The body is not JSON: {error}."))
}

/// Refuses a body in which a list stands for an object.
fn list_positions<T: deserr::Deserr<Faults>>(bytes: &[u8]) -> Result<(), ApiError> {
    let (value, mut faults) = collecting::read_value(bytes).map_err(|error| unreadable(&error))?;
    if let Err(found) = deserr::deserialize::<T, _, Faults>(value) {
        faults.0.extend(found.0);
        return Err(ApiError::Faults(faults));
    }
    Ok(())
}

/// Every fault of a body that the strict reader refused for `first`.
fn list_faults<T: deserr::Deserr<Faults>>(bytes: &[u8], first: &serde_json::Error) -> ApiError {
    let (value, mut faults) = match collecting::read_value(bytes) {
        Ok(read) => read,
        Err(error) => return unreadable(&error),
    };
    if let Err(found) = deserr::deserialize::<T, _, Faults>(value) {
        faults.0.extend(found.0);
    }
    if faults.is_empty() {
        faults.push(Fault::new(
            "",
            "a body that is refused",
            first.to_string(),
            None,
        ));
    }
    ApiError::Faults(faults)
}

/// Deep nesting is a fault of a JSON body; of anything else we only say that it is not JSON.
fn refuse_nesting(bytes: &[u8]) -> ApiError {
    match serde_json::from_slice::<IgnoredAny>(bytes) {
        Err(error) => unreadable(&error),
        Ok(_) => {
            let accepted = format!("arrays and objects nested at most {} deep", limits::NESTING);
            let found = format!("{} levels", nesting(bytes));
            ApiError::Faults(Faults(vec![Fault::new("", found, accepted, None)]))
        }
    }
}

/// Deepest nesting of brackets outside of strings.
fn nesting(bytes: &[u8]) -> usize {
    let (mut depth, mut deepest, mut in_text, mut escaped) = (0usize, 0, false, false);
    for byte in bytes {
        match byte {
            _ if escaped => escaped = false,
            b'\\' if in_text => escaped = true,
            b'"' => in_text = !in_text,
            b'[' | b'{' if !in_text => {
                depth += 1;
                deepest = deepest.max(depth);
            }
            b']' | b'}' if !in_text => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    deepest
}

#[cfg(test)]
mod tests;
