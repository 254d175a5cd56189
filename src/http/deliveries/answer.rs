//! What became of a document, as a caller reads it.
//!
//! Invariant: what the other side said stands there as it said it, within its bounds. Absent: addresses
//! and secrets.

use crate::clients::delivery::{Answer, Attempt, Delivery, End, Failure, Message, Outcome};
use chrono::SecondsFormat;
use serde::Serialize;
use std::time::Duration;
use utoipa::ToSchema;

/// What became of a document.
#[derive(Debug, Serialize, ToSchema)]
pub struct DeliveryResponse {
    /// Where it was sent.
    pub destination: String,
    /// Whether it arrived: the other side answered with a status of 200 to 299.
    pub delivered: bool,
    /// Why there was no further attempt.
    pub why: String,
    /// The document's id, sent as `webhook-id`; the same for the same document.
    pub id: String,
    /// What was sent as `Idempotency-Key`.
    pub idempotency_key: String,
    /// What it was sent as.
    pub media_type: &'static str,
    /// Bytes of the document.
    pub bytes: usize,
    /// Where the other side asks to be left alone: whole seconds until it may be tried again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub try_again_after_seconds: Option<u64>,
    /// Every attempt, in order.
    pub attempts: Vec<AttemptAnswer>,
}

/// One attempt: `answer`, or `failure`.
#[derive(Debug, Serialize, ToSchema)]
pub struct AttemptAnswer {
    /// When it began (RFC 3339, UTC).
    #[schema(format = "date-time")]
    pub at: String,
    /// Milliseconds after the first attempt began.
    pub after_ms: u64,
    /// Milliseconds that it took.
    pub took_ms: u64,
    /// What was answered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub answer: Option<AnswerTold>,
    /// Why nothing was answered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub failure: Option<FailureTold>,
}

/// What the other side answered.
#[derive(Debug, Serialize, ToSchema)]
pub struct AnswerTold {
    /// Its status.
    #[schema(minimum = 100, maximum = 999)]
    pub status: u16,
    /// Its headers, without cookies; at most 32, each of at most 512 characters.
    pub headers: Vec<HeaderTold>,
    /// The first 64 KiB of its body; bytes that are no UTF-8 are replaced.
    pub body: String,
    /// True where not all of it is told, or it did not end in time.
    pub truncated: bool,
}

/// A header of an answer.
#[derive(Debug, Serialize, ToSchema)]
pub struct HeaderTold {
    /// In small letters.
    pub name: String,
    /// As it came.
    pub value: String,
}

/// Why nothing was answered.
#[derive(Debug, Serialize, ToSchema)]
pub struct FailureTold {
    /// `unreachable`, `timed_out`, `no_answer`, `untrusted` or `address_refused`.
    pub kind: &'static str,
    /// The same in a sentence.
    pub detail: &'static str,
}

impl DeliveryResponse {
    pub(super) fn of(destination: String, message: Message, delivery: Delivery) -> Self {
        Self {
            destination,
            delivered: delivery.end == End::Delivered,
            why: tell_end(&delivery),
            id: message.id,
            idempotency_key: message.key,
            media_type: message.media_type,
            bytes: message.body.len(),
            try_again_after_seconds: match delivery.end {
                End::LeftAlone(wait) => Some(whole_seconds(wait)),
                _ => None,
            },
            attempts: delivery.attempts.into_iter().map(Into::into).collect(),
        }
    }
}

fn tell_end(delivery: &Delivery) -> String {
    let last = delivery.attempts.last().map(|attempt| &attempt.outcome);
    let last = match last {
        Some(Outcome::Answered(answer)) => format!("The other side answered {}", answer.status),
        Some(Outcome::Failed(failure)) => failure.sentence().trim_end_matches('.').to_owned(),
        None => "Nothing was tried".to_owned(),
    };
    match delivery.end {
        End::Delivered => format!("{last}: the document has arrived."),
        End::Refused => format!("{last}, which trying again does not change."),
        End::NoAttemptLeft => format!("{last}, and every attempt is used."),
        End::NoTimeLeft => format!("{last}, and no time is left for another attempt."),
        End::LeftAlone(wait) => format!(
            "{last} and asks to be left alone for {} s, longer than this call lasts.",
            whole_seconds(wait)
        ),
    }
}

/// Rounded up, so that nobody comes too early.
fn whole_seconds(wait: Duration) -> u64 {
    wait.as_secs() + u64::from(wait.subsec_nanos() > 0)
}

fn milliseconds(span: Duration) -> u64 {
    u64::try_from(span.as_millis()).unwrap_or(u64::MAX)
}

impl From<Attempt> for AttemptAnswer {
    fn from(attempt: Attempt) -> Self {
        let (answer, failure) = match attempt.outcome {
            Outcome::Answered(answer) => (Some(answer.into()), None),
            Outcome::Failed(failure) => (None, Some(failure.into())),
        };
        Self {
            at: attempt.at.to_rfc3339_opts(SecondsFormat::Millis, true),
            after_ms: milliseconds(attempt.after),
            took_ms: milliseconds(attempt.took),
            answer,
            failure,
        }
    }
}

impl From<Answer> for AnswerTold {
    fn from(answer: Answer) -> Self {
        let headers = answer.headers.into_iter();
        Self {
            status: answer.status,
            headers: headers
                .map(|(name, value)| HeaderTold { name, value })
                .collect(),
            body: answer.body,
            truncated: answer.truncated,
        }
    }
}

impl From<Failure> for FailureTold {
    fn from(failure: Failure) -> Self {
        Self {
            kind: failure.word(),
            detail: failure.sentence(),
        }
    }
}
