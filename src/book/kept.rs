//! Answers kept for a repeated request, by caller and `Idempotency-Key`.
//!
//! Invariants: a claim is written before the work begins, and the answer in the transaction of the
//! work itself, so that either both stand or neither does; a claim whose maker is gone can be taken
//! over, and its maker then cannot write any more. Absent here: SQL, status codes, hashing.

use chrono::{DateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

/// How long answers are kept.
pub(super) const KEPT: TimeDelta = TimeDelta::hours(24);

/// After this a claim without an answer is taken for abandoned; longer than any request may take.
pub(super) const ABANDONED: TimeDelta = TimeDelta::seconds(150);

/// A request that is about to be done.
#[derive(Clone, Copy, Debug)]
pub struct Claim<'a> {
    /// Who sends it.
    pub caller: &'a str,
    /// Its key, 1 to 255 characters.
    pub key: &'a str,
    /// SHA-256 over method, path, query and body, in hexadecimal.
    pub request: &'a str,
    /// Unique to this attempt.
    pub owner: &'a str,
    /// Now.
    pub at: DateTime<Utc>,
}

/// What became of a claim.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Claimed {
    /// The request is to be done.
    Mine,
    /// It was done; this was the answer.
    Answered(KeptAnswer),
    /// The key belongs to another request.
    Different,
    /// It is being done at this moment.
    Running,
}

/// An answer as it was sent.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptAnswer {
    /// HTTP status.
    pub status: u16,
    /// Headers of the answer itself, by name.
    pub headers: Vec<(String, String)>,
    /// The whole body.
    pub body: String,
}

/// An answer to be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Keep {
    /// Who sent the request.
    pub caller: String,
    /// Its key.
    pub key: String,
    /// The attempt that holds the claim.
    pub owner: String,
    /// The answer.
    pub answer: KeptAnswer,
}

/// A stored claim, as the database has it.
#[derive(Debug, sqlx::FromRow)]
pub(super) struct ClaimRow {
    pub(super) request: String,
    pub(super) owner: String,
    pub(super) made_at: String,
    pub(super) status: Option<i64>,
    pub(super) headers: Option<String>,
    pub(super) body: Option<String>,
}

impl ClaimRow {
    /// What the row means to `claim`; none when it is abandoned and may be taken over.
    pub(super) fn meaning(self, claim: &Claim<'_>) -> Option<Claimed> {
        if self.owner == claim.owner {
            return Some(Claimed::Mine);
        }
        if self.request != claim.request {
            return Some(Claimed::Different);
        }
        if let (Some(status), Some(headers), Some(body)) = (self.status, self.headers, self.body) {
            return Some(Claimed::Answered(KeptAnswer {
                status: u16::try_from(status).unwrap_or(500),
                headers: serde_json::from_str(&headers).unwrap_or_default(),
                body,
            }));
        }
        let made_at = DateTime::parse_from_rfc3339(&self.made_at).ok()?;
        let abandoned = claim.at.signed_duration_since(made_at) > ABANDONED;
        (!abandoned).then_some(Claimed::Running)
    }
}
