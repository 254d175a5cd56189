//! The span of each request, sent to an OpenTelemetry collector; only where it was built in and is asked for.
//!
//! Invariants: without `OTEL_EXPORTER_OTLP_ENDPOINT` or `OTEL_EXPORTER_OTLP_TRACES_ENDPOINT` nothing is sent
//! anywhere; a span holds what the log line holds and no more; a collector that does not answer delays no
//! request. Absent: the meaning of the `OTEL_` variables, which is that of the OpenTelemetry specification.

use crate::clients;
use actix_web::{dev::ServiceRequest, http::header::HeaderMap};
use anyhow::{Context as _, anyhow};
use opentelemetry::{
    propagation::{Extractor, TextMapPropagator as _},
    trace::TracerProvider as _,
};
use opentelemetry_otlp::{Protocol, SpanExporter, WithExportConfig as _, WithHttpConfig as _};
use opentelemetry_sdk::{
    Resource,
    propagation::TraceContextPropagator,
    trace::{SdkTracer, SdkTracerProvider},
};
use std::{env, thread};
use tracing::Span;
use tracing_opentelemetry::{OpenTelemetryLayer, OpenTelemetrySpanExt as _};
use tracing_subscriber::{Layer as _, Registry, filter::Filtered, filter::LevelFilter};

/// Either says where to send.
const ENDPOINTS: [&str; 2] = [
    "OTEL_EXPORTER_OTLP_ENDPOINT",
    "OTEL_EXPORTER_OTLP_TRACES_ENDPOINT",
];

/// Sends what is left when it goes.
#[derive(Debug)]
pub(super) struct Traces(SdkTracerProvider);

impl Drop for Traces {
    fn drop(&mut self) {
        if let Err(error) = self.0.shutdown() {
            tracing::warn!(%error, "the last traces were not sent");
        }
    }
}

/// What turns spans of the log into spans of a trace.
pub(super) type Traced = Filtered<OpenTelemetryLayer<Registry, SdkTracer>, LevelFilter, Registry>;

/// Begins to send, where somebody is named to send to.
pub(super) fn start() -> anyhow::Result<(Option<Traces>, Option<Traced>)> {
    if ENDPOINTS.iter().all(|name| env::var_os(name).is_none()) {
        return Ok((None, None));
    }
    // What blocks may not be made on a thread that answers requests.
    let made = thread::spawn(exporter).join();
    let exporter = made.map_err(|_| anyhow!("the client for traces could not be made"))??;
    let about = Resource::builder().with_service_name("crossfall");
    let provider = SdkTracerProvider::builder()
        .with_batch_exporter(exporter)
        .with_resource(about.build())
        .build();
    let layer = tracing_opentelemetry::layer().with_tracer(provider.tracer("crossfall"));
    let traced = layer.with_filter(LevelFilter::INFO);
    Ok((Some(Traces(provider)), Some(traced)))
}

fn exporter() -> anyhow::Result<SpanExporter> {
    let client = clients::blocking_client().build();
    SpanExporter::builder()
        .with_http()
        .with_protocol(Protocol::HttpBinary)
        .with_http_client(client.context("making the client for traces")?)
        .build()
        .context("reading the OTEL_ variables")
}

/// Headers, as the propagator reads them.
struct Headers<'a>(&'a HeaderMap);

impl Extractor for Headers<'_> {
    fn get(&self, key: &str) -> Option<&str> {
        self.0.get(key)?.to_str().ok()
    }

    fn keys(&self) -> Vec<&str> {
        self.0.keys().map(|name| name.as_str()).collect()
    }
}

/// Puts the span of a request into the trace that its caller began.
pub(super) fn continue_from(request: &ServiceRequest, span: &Span) {
    let parent = TraceContextPropagator::new().extract(&Headers(request.headers()));
    // It fails only where nothing is traced.
    drop(span.set_parent(parent));
}
