//! `Idempotency-Key`: a request that is sent again gets the answer of the first.
//!
//! Invariants: a request is claimed before its work begins; its answer is kept in the transaction of
//! the work; a request that was refused may be sent again. Absent: SQL, and what the work is.

use super::ApiError;
use crate::book::{BookError, Books, Claim, Claimed, Keep, KeptAnswer, Signature};
use crate::http::idempotency_key::{self, FORM, KEY};
use actix_web::{HttpRequest, HttpResponse, http::header::HeaderMap};
use chrono::Utc;
use sha2::{Digest as _, Sha256};
use std::fmt::Write as _;

const REPLAYED: &str = "Idempotency-Replayed";

/// A claimed request.
pub(super) struct Claimant {
    caller: String,
    key: String,
    request: String,
    owner: String,
}

/// What a request finds.
pub(super) enum Found {
    /// It is to be done.
    New(Claimant),
    /// It was done; this was the answer.
    Answered(HttpResponse),
}

/// The key of a request that needs one.
///
/// # Errors
/// [`ApiError::BadRequest`] when there is none, or one that cannot be.
pub(super) fn read_key(headers: &HeaderMap) -> Result<String, ApiError> {
    idempotency_key::read(headers)?.ok_or_else(|| {
        ApiError::BadRequest(format!(
            "Send {KEY}: {FORM}, new for each import and the same when it is sent again."
        ))
    })
}

impl Claimant {
    /// Claims a request with this body for its caller and key.
    ///
    /// # Errors
    /// A key that belongs to another request, one that is being done, a database that is away.
    pub(super) async fn claim(
        books: &Books,
        (request, body): (&HttpRequest, &[u8]),
        (key, by): (String, &Signature),
    ) -> Result<Found, ApiError> {
        let claimant = Self {
            caller: by.caller.clone(),
            key,
            request: hash(request, body),
            owner: by.request.clone().unwrap_or_default(),
        };
        match books.store().claim(claimant.as_claim()).await? {
            Claimed::Mine => Ok(Found::New(claimant)),
            Claimed::Answered(answer) => Ok(Found::Answered(send_again(&answer))),
            Claimed::Different => Err(ApiError::KeyUsed(format!(
                "The {KEY} was used for another request; send a new one with a new request."
            ))),
            Claimed::Running => Err(ApiError::Conflict(format!(
                "The request with this {KEY} is being done; send it again in a while."
            ))),
        }
    }

    fn as_claim(&self) -> Claim<'_> {
        Claim {
            caller: &self.caller,
            key: &self.key,
            request: &self.request,
            owner: &self.owner,
            at: Utc::now(),
        }
    }

    /// The answer, to be kept with the work.
    pub(super) fn keep(&self, answer: KeptAnswer) -> Keep {
        Keep {
            caller: self.caller.clone(),
            key: self.key.clone(),
            owner: self.owner.clone(),
            answer,
        }
    }

    /// Gives the claim up, so that the request may be mended and sent again.
    pub(super) async fn release(&self, books: &Books) {
        if let Err(error) = books.store().release(self.as_claim()).await {
            let cause: &BookError = &error;
            tracing::warn!(%cause, "a claim stays until it is taken for abandoned");
        }
    }
}

/// An answer as it is kept and sent; only what was done is kept, and that is always 200.
pub(super) fn send(answer: &KeptAnswer) -> HttpResponse {
    let mut response = HttpResponse::Ok();
    response.content_type("application/json");
    for (name, value) in &answer.headers {
        response.insert_header((name.as_str(), value.as_str()));
    }
    response.body(answer.body.clone())
}

fn send_again(answer: &KeptAnswer) -> HttpResponse {
    let mut again = answer.clone();
    again.headers.push((REPLAYED.to_owned(), "true".to_owned()));
    send(&again)
}

/// SHA-256 over method, path, query and body, each with its length before it.
fn hash(request: &HttpRequest, body: &[u8]) -> String {
    let mut digest = Sha256::new();
    let head = [
        request.method().as_str(),
        request.path(),
        request.query_string(),
    ];
    for part in head.map(str::as_bytes).into_iter().chain([body]) {
        digest.update((part.len() as u64).to_be_bytes());
        digest.update(part);
    }
    digest
        .finalize()
        .iter()
        .fold(String::new(), |mut text, byte| {
            let _ = write!(text, "{byte:02x}");
            text
        })
}
