//! `POST /v1/deliveries`: a document sent to a destination that the operator has set.
//!
//! Invariants: no address comes from a request; what is sent is what came, byte for byte; a delivery that
//! does not come about is an answer that tells why, since the call was done. Absent: signing, retries,
//! and what the document says.

mod answer;
mod sent;

use super::body::Sent;
use super::computing::{AsksFormat, Given};
use super::format::{Format, answer_json, vary};
use super::idempotency_key;
use super::problem::{ApiError, Problem};
use crate::clients::delivery::{Destinations, Message};
use crate::quantity::{Fault, Faults};
use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpRequest, HttpResponse, post, web::Data};
use serde::Deserialize;
use std::convert::Infallible;
use std::future::{Ready, ready};
use std::time::{Duration, Instant};
use utoipa::IntoParams;

pub use answer::DeliveryResponse;
pub use sent::{DeliveryRequest, SentDocument};

/// How long after the call began all attempts have ended: a second before the call's own limit.
const UNTIL: Duration = Duration::from_secs(super::limits::SECONDS - 1);

/// How the answer is wanted.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct DeliveryQuery {
    /// `json`; wins over `Accept`.
    pub format: Option<String>,
}

impl AsksFormat for DeliveryQuery {
    fn format(&self) -> Option<&str> {
        self.format.as_deref()
    }
}

/// When a call began, before its body came.
pub struct Begun(Instant);

impl FromRequest for Begun {
    type Error = Infallible;
    type Future = Ready<Result<Self, Infallible>>;

    fn from_request(_: &HttpRequest, _: &mut Payload) -> Self::Future {
        ready(Ok(Self(Instant::now())))
    }
}

/// Send a document to a destination
///
/// Posts a document to an address that the operator has set under this name, as a message signed by the
/// Standard Webhooks specification: `webhook-id`, `webhook-timestamp`, `webhook-signature` (`v1`; one for each
/// secret, so that a secret can be changed). The body is the document byte for byte: either a JSON document
/// of this service, as it was answered, or `{"text", "media_type"}` for one in another format.
///
/// The id is made from the document: the same document, however its fields are ordered, has the same id, so
/// that a receiver that remembers ids does its work once however often it is sent. The same goes as
/// `Idempotency-Key`, unless the call brings one of its own, which is passed on. Nothing is stored here.
///
/// **An answer of 200 says that it was tried; `delivered` says whether it arrived** (a status of 200 to 299).
/// It is tried again after 408, 425, 429, 500, 502, 503, 504, a lost connection and a time-out: three times
/// unless set otherwise, 0.25 s and then twice as long apart, or as long as `Retry-After` asks, 3 s an attempt
/// unless set otherwise and 8 s in all. Other answers end it, redirects among them, which are not followed. Each
/// attempt tells what was answered: status, up to 32 headers without cookies, up to 64 KiB of the body; where
/// the destination's address is repeated in them it reads `[address]`. Addresses of private networks are
/// refused where the name is resolved, unless the operator allows them.
#[utoipa::path(
    tag = "deliveries",
    operation_id = "deliver",
    params(
        DeliveryQuery,
        ("Idempotency-Key" = Option<String>, Header, description = "1 to 255 characters, passed on; without it the document's id is.", min_length = 1, max_length = 255, pattern = "^[!-~]([ -~]*[!-~])?$"),
    ),
    request_body(content = DeliveryRequest, examples(
        ("a JSON document" = (summary = "a document as it was answered, cut short here, invented", value = json!({
            "destination": "books",
            "document": {"kind": "invoice", "number": "2026-014", "currency": "USD", "total": "7145.00"}
        }))),
        ("a document as text" = (summary = "one in another format, invented", value = json!({
            "destination": "books",
            "document": {"media_type": "text/csv", "text": "account,debit,credit\r\n1100,7145.00,\r\n4000,,7145.00\r\n"}
        })))
    )),
    responses(
        (status = 200, description = "Tried; `delivered` says whether it arrived.", body = DeliveryResponse),
        (status = 400, description = "The body is not JSON, or the Idempotency-Key cannot be passed on.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed. An unknown destination names the known ones.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/deliveries")]
pub(super) async fn post_delivery(
    begun: Begun,
    Sent(sent): Sent<DeliveryRequest>,
    given: Given<DeliveryQuery>,
    destinations: Data<Destinations>,
    request: HttpRequest,
) -> Result<HttpResponse, ApiError> {
    given.choose(&[Format::Json])?;
    let key = idempotency_key::read(request.headers())?;
    let mut faults = Faults::default();
    let destination = destinations.named(&sent.destination);
    if destination.is_none() {
        faults.push(unknown(&sent.destination, &destinations));
    }
    let message = match sent.document.read() {
        Ok(message) => Some(message.with_key(key)),
        Err(found) => {
            faults.0.extend(found.0);
            None
        }
    };
    if let (Some(destination), Some(message)) = (destination, &message) {
        faults.0.extend(untaken(destination.takes(), message));
    }
    let (Some(destination), Some(message), true) = (destination, message, faults.is_empty()) else {
        return Err(ApiError::Faults(faults));
    };
    let delivery = destination.deliver(&message, begun.0 + UNTIL).await;
    let answer = DeliveryResponse::of(sent.destination, message, delivery);
    Ok(vary(answer_json(&answer)?))
}

fn unknown(name: &str, destinations: &Destinations) -> Fault {
    let names: Vec<&str> = destinations.names().collect();
    let accepted = match names.is_empty() {
        true => "none, since the operator has set no destination".to_owned(),
        false => names.join(", "),
    };
    Fault::new("/destination", name, accepted, names.first().copied())
}

/// That a destination does not take what was sent.
fn untaken(takes: &[&'static str], message: &Message) -> Option<Fault> {
    let found = message.media_type;
    let refused = !takes.contains(&found);
    refused.then(|| {
        let accepted = format!("what this destination takes: {}", takes.join(", "));
        Fault::new(
            "/document/media_type",
            found,
            accepted,
            takes.first().copied(),
        )
    })
}
