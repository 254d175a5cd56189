//! A delivery: attempts until one is answered well, or until there is no use in another.
//!
//! Invariants: never more attempts than the destination has, and none after the delivery's time; pauses
//! double, are at least what the other side asks for, and hang on nothing drawn at random: one caller sends
//! one document, so that there is no crowd to spread. Departs: the specification recommends retries over
//! days and an answer time of 15 s or more, which a service that stores nothing and answers its caller
//! within 10 s cannot give; the caller sends again, and the id stays.
//!
//! Source: Standard Webhooks 1.0.0, "Deliverability and reliability"; RFC 9110, section 10.2.3.

use super::answer::Answer;
use super::destination::Destination;
use super::fault::Failure;
use super::message::Message;
use chrono::{DateTime, Utc};
use std::time::Duration;
use tokio::time::{Instant, sleep};

/// Longest time of all attempts of a delivery together.
pub const LASTS: Duration = Duration::from_secs(8);

/// Before the second attempt; each further pause is twice as long.
const PAUSE: Duration = Duration::from_millis(250);

/// An attempt that has less time than this is not begun.
const LEAST: Duration = Duration::from_millis(250);

/// What became of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Delivery {
    /// Every attempt, in order; at least one.
    pub attempts: Vec<Attempt>,
    /// Why there is no further one.
    pub end: End,
}

/// Why a delivery ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The document has arrived.
    Delivered,
    /// What came will not change in a moment.
    Refused,
    /// Every attempt was used.
    NoAttemptLeft,
    /// No time was left for another.
    NoTimeLeft,
    /// The other side asks to be left alone for longer than there is time.
    LeftAlone(Duration),
}

/// One attempt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attempt {
    /// When it began.
    pub at: DateTime<Utc>,
    /// How long after the first one.
    pub after: Duration,
    /// How long it took.
    pub took: Duration,
    /// What became of it.
    pub outcome: Outcome,
}

/// What became of an attempt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// An answer, friendly or not.
    Answered(Answer),
    /// None.
    Failed(Failure),
}

impl Outcome {
    fn delivers(&self) -> bool {
        matches!(self, Self::Answered(answer) if answer.delivers())
    }

    fn passes(&self) -> bool {
        match self {
            Self::Answered(answer) => answer.passes(),
            Self::Failed(failure) => failure.passes(),
        }
    }

    fn leave_alone(&self) -> Duration {
        match self {
            Self::Answered(answer) => answer.leave_alone.unwrap_or_default(),
            Self::Failed(_) => Duration::ZERO,
        }
    }
}

impl Destination {
    /// Sends a message and, where that may help, sends it again, within [`LASTS`] and before `until`.
    pub async fn deliver(&self, message: &Message, until: std::time::Instant) -> Delivery {
        let begun = Instant::now();
        let until = (begun + LASTS).min(until.into());
        let mut attempts = Vec::new();
        let mut pause = PAUSE;
        let end = loop {
            let attempt = self.attempt(message, begun, until).await;
            let next = self.next(&attempt, (attempts.len() + 1, pause), until);
            attempts.push(attempt);
            match next {
                Ok(wait) => sleep(wait).await,
                Err(end) => break end,
            }
            pause *= 2;
        };
        let (name, id, tried) = (self.name.as_str(), message.id.as_str(), attempts.len());
        tracing::info!(destination = name, id, tried, ?end, "sent a document");
        Delivery { attempts, end }
    }

    async fn attempt(&self, message: &Message, begun: Instant, until: Instant) -> Attempt {
        let (at, now) = (Utc::now(), Instant::now());
        let until = (now + self.wait).min(until);
        let outcome = self.send(message, at.timestamp(), until).await;
        Attempt {
            at,
            after: now - begun,
            took: now.elapsed(),
            outcome,
        }
    }

    /// How long to wait for the next attempt, or why there is none.
    fn next(
        &self,
        last: &Attempt,
        (made, pause): (usize, Duration),
        until: Instant,
    ) -> Result<Duration, End> {
        let asked = last.outcome.leave_alone();
        let wait = pause.max(asked);
        let left = until.saturating_duration_since(Instant::now());
        if last.outcome.delivers() {
            Err(End::Delivered)
        } else if !last.outcome.passes() {
            Err(End::Refused)
        } else if made >= self.attempts {
            Err(End::NoAttemptLeft)
        } else if wait.saturating_add(LEAST) <= left {
            Ok(wait)
        } else if asked > pause {
            Err(End::LeftAlone(asked))
        } else {
            Err(End::NoTimeLeft)
        }
    }
}
