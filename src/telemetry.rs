//! Logs: one line a request and whatever the rooms say, to standard error.
//!
//! Invariants: JSON lines unless standard error is a terminal; a request is logged by its path
//! only, so that no query string, header or key gets into a log, and what only asks after our health is
//! logged at `debug`. Absent: standard output, which belongs to the line that names the address.

#[cfg(feature = "otel")]
mod traces;

use crate::book::{Caller, without_keys};
use crate::http::{proxies::Proxies, request_id::RequestName};
use actix_web::{
    Error, HttpMessage as _, HttpRequest,
    body::MessageBody,
    dev::{ServiceRequest, ServiceResponse},
    web::Data,
};
use std::{
    io::{self, IsTerminal as _},
    net::IpAddr,
    time::Instant,
};
use tracing::{
    Span,
    field::{Empty, display},
};
use tracing_actix_web::{RequestId, RootSpanBuilder};
use tracing_subscriber::{
    EnvFilter, Layer, layer::SubscriberExt as _, util::SubscriberInitExt as _,
};

/// Paths that a supervisor asks again and again.
const QUIET: [&str; 3] = ["/livez", "/readyz", "/metrics"];

/// What is done at the end of a process, so that nothing that was noted is lost.
#[derive(Debug)]
pub struct Telemetry {
    #[cfg(feature = "otel")]
    _traces: Option<traces::Traces>,
}

/// Starts logging by `filter`; a second call changes nothing.
///
/// # Errors
/// Traces are wanted and cannot be sent.
pub fn start(filter: &str) -> anyhow::Result<Telemetry> {
    #[cfg(feature = "otel")]
    let (traces, traced) = traces::start()?;
    #[cfg(not(feature = "otel"))]
    let traced: Option<Box<dyn Layer<tracing_subscriber::Registry> + Send + Sync>> = None;
    let logged = logs().with_filter(filtered(filter));
    // A second start fails, which is what is wanted: the first one holds.
    let _ = tracing_subscriber::registry()
        .with(traced)
        .with(logged)
        .try_init();
    std::panic::set_hook(Box::new(|panic| tracing::error!(%panic, "panicked")));
    Ok(Telemetry {
        #[cfg(feature = "otel")]
        _traces: traces,
    })
}

/// What is logged. A peer that speaks no HTTP is an error to the library and none of ours: anybody could
/// fill the log with it, so that it is told only where its name is asked for.
fn filtered(filter: &str) -> EnvFilter {
    let asked_for = filter.contains("actix_http");
    let peers = if asked_for {
        ""
    } else {
        ",actix_http::h1::dispatcher=off"
    };
    EnvFilter::new(format!("{filter}{peers}"))
}

/// Lines on standard error, for a person or for a program.
fn logs<S>() -> Box<dyn Layer<S> + Send + Sync>
where
    S: tracing::Subscriber + for<'a> tracing_subscriber::registry::LookupSpan<'a>,
{
    let lines = tracing_subscriber::fmt::layer().with_writer(io::stderr);
    if io::stderr().is_terminal() {
        return lines.boxed();
    }
    let json = lines.with_ansi(false).json();
    json.flatten_event(true).with_span_list(false).boxed()
}

/// The span around each request; closed by one line with the outcome.
#[derive(Debug)]
pub struct RequestSpan;

/// When a request began.
#[derive(Clone, Copy)]
struct Began(Instant);

impl RootSpanBuilder for RequestSpan {
    fn on_request_start(request: &ServiceRequest) -> Span {
        request.extensions_mut().insert(Began(Instant::now()));
        let made = request.extensions().get::<RequestId>().copied();
        let name = made.map(|made| RequestName::give(request, made));
        let name = name.as_ref().map(RequestName::as_str);
        let client = caller(request).map(display);
        let (method, path) = (request.method().as_str(), request.uri().path());
        let shown = without_keys(path);
        let shown = &*shown;
        macro_rules! span {
            ($level:expr) => {
                tracing::span!(
                    $level,
                    "request",
                    id = name,
                    method,
                    path = shown,
                    client,
                    key = Empty,
                    status = Empty,
                    ms = Empty
                )
            };
        }
        let span = match is_quiet(path) {
            true => span!(tracing::Level::DEBUG),
            false => span!(tracing::Level::INFO),
        };
        #[cfg(feature = "otel")]
        traces::continue_from(request, &span);
        span
    }

    fn on_request_end<B: MessageBody>(span: Span, outcome: &Result<ServiceResponse<B>, Error>) {
        let status = match outcome {
            Ok(answer) => answer.status(),
            Err(error) => error.as_response_error().status_code(),
        };
        span.record("status", status.as_u16());
        if let Ok(answer) = outcome {
            note_caller(&span, answer.request());
        }
        if outcome
            .as_ref()
            .is_ok_and(|answer| is_quiet(answer.request().path()))
        {
            return span.in_scope(|| tracing::debug!("answered"));
        }
        span.in_scope(|| tracing::info!("answered"));
    }
}

fn is_quiet(path: &str) -> bool {
    QUIET.contains(&path)
}

/// Adds whose key it was, and how long the answer took to begin.
fn note_caller(span: &Span, request: &HttpRequest) {
    let noted = request.extensions();
    if let Some(caller) = noted.get::<Caller>() {
        span.record("key", &*caller.id);
    }
    if let Some(Began(at)) = noted.get::<Began>() {
        // Thousandths tell enough, and a float of them reads well.
        let thousandths = u32::try_from(at.elapsed().as_micros()).unwrap_or(u32::MAX);
        span.record("ms", f64::from(thousandths) / 1000.0);
    }
}

fn caller(request: &ServiceRequest) -> Option<IpAddr> {
    request.app_data::<Data<Proxies>>()?.caller(request)
}
