//! Logs: one line a request and whatever the rooms say, to standard error.
//!
//! Invariants: JSON lines unless standard error is a terminal; a request is logged by its path
//! only, so that no query string, header or key gets into a log. Absent: standard output, which
//! belongs to the line that names the address.

use actix_web::{
    Error, HttpMessage as _,
    body::MessageBody,
    dev::{ServiceRequest, ServiceResponse},
};
use std::io::{self, IsTerminal as _};
use tracing::{Span, field::Empty};
use tracing_actix_web::{RequestId, RootSpanBuilder};
use tracing_subscriber::EnvFilter;

/// Starts logging by `filter`; a second call changes nothing.
pub fn start(filter: &str) {
    let builder = tracing_subscriber::fmt()
        .with_env_filter(EnvFilter::new(filter))
        .with_writer(io::stderr);
    // A second start fails, which is what is wanted: the first one holds.
    let _ = if io::stderr().is_terminal() {
        builder.try_init()
    } else {
        builder
            .with_ansi(false)
            .json()
            .flatten_event(true)
            .with_span_list(false)
            .try_init()
    };
    std::panic::set_hook(Box::new(|panic| tracing::error!(%panic, "panicked")));
}

/// The span around each request; closed by one line with the outcome.
#[derive(Debug)]
pub struct RequestSpan;

impl RootSpanBuilder for RequestSpan {
    fn on_request_start(request: &ServiceRequest) -> Span {
        let id = request
            .extensions()
            .get::<RequestId>()
            .map(ToString::to_string);
        tracing::info_span!(
            "request",
            id,
            method = %request.method(),
            path = request.uri().path(),
            status = Empty,
        )
    }

    fn on_request_end<B: MessageBody>(span: Span, outcome: &Result<ServiceResponse<B>, Error>) {
        let status = match outcome {
            Ok(answer) => answer.status(),
            Err(error) => error.as_response_error().status_code(),
        };
        span.record("status", status.as_u16());
        span.in_scope(|| tracing::info!("answered"));
    }
}
