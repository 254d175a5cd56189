//! One attempt: signed for its moment, sent, answered or not.
//!
//! Invariants: it ends in its time, whatever the other side does; an answer that has begun counts, even
//! where its body hangs. Absent: whether to try again.
//!
//! Source: Standard Webhooks 1.0.0, "Webhook headers": each attempt has its own time.

use super::answer::Answer;
use super::deliver::Outcome;
use super::destination::Destination;
use super::fault::Failure;
use super::message::Message;
use super::signature::sign;
use reqwest::header::CONTENT_TYPE;
use secrecy::ExposeSecret as _;
use tokio::time::{Instant, timeout_at};

impl Destination {
    /// Sends a message once, at a Unix time.
    pub(super) async fn send(&self, message: &Message, at: i64, until: Instant) -> Outcome {
        let signature = sign(&self.secrets, (&message.id, at), &message.body);
        let request = self
            .client
            .post(self.address.expose_secret())
            .header(CONTENT_TYPE, message.content_type())
            .header("webhook-id", &message.id)
            .header("webhook-timestamp", at)
            .header("webhook-signature", signature)
            .header("idempotency-key", &message.key)
            .body(message.body.clone());
        let answer = match timeout_at(until, request.send()).await {
            Err(_) => return Outcome::Failed(Failure::TimedOut),
            Ok(Err(error)) => {
                let failure = Failure::of(&error);
                tracing::debug!(cause = ?error.without_url(), "nothing was delivered");
                return Outcome::Failed(failure);
            }
            Ok(Ok(answer)) => answer,
        };
        Outcome::Answered(Answer::read(answer, until, &self.hidden).await)
    }
}
