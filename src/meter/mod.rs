//! What is counted for the operator, in the text form of Prometheus.
//!
//! Invariants: base units and the names that Prometheus recommends; a label takes few values, all ours: a
//! route's template, never a path that was sent; what is read from elsewhere is read when it is asked for.
//! Absent: what is counted, which the web room says, and who may read it.

mod label;
mod observed;
mod process;
mod tell;

use crate::batch::Status;
use label::{Answer, JobLabel, Route};
use prometheus_client::{
    encoding::prometheus_text,
    metrics::{counter::Counter, family::Family, gauge::Gauge, histogram::Histogram, info::Info},
    registry::{Registry, Unit},
};
use std::{fmt, time::Duration};

pub use observed::{BookState, LoadState, Observed};

/// Media type of the text form that Prometheus reads (version 0.0.4).
pub const TEXT_FORM: &str = "text/plain; version=0.0.4; charset=utf-8";

/// Upper bounds of the durations, in seconds: an estimate takes about a millisecond, a batch minutes.
const BOUNDS: [f64; 14] = [
    0.000_5, 0.001, 0.002_5, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 10.0, 60.0,
];

/// A request that was answered, or broken off.
#[derive(Clone, Copy, Debug)]
pub struct Answered<'a> {
    /// Its method; an unusual one as `other`.
    pub method: &'static str,
    /// Template of the route; `none` where nothing stands.
    pub route: &'a str,
    /// Status of the answer; none where the caller had gone before there was one.
    pub status: Option<u16>,
    /// From the head of the request to the end of the answer.
    pub took: Duration,
}

/// Counters of one process.
#[derive(Debug)]
pub struct Meter {
    registry: Registry,
    answers: Family<Answer, Counter>,
    durations: Family<Route, Histogram, fn() -> Histogram>,
    under_way: Gauge,
    jobs: Family<JobLabel, Counter>,
}

impl Default for Meter {
    fn default() -> Self {
        let mut meter = Self {
            registry: Registry::default(),
            answers: Family::default(),
            durations: Family::new_with_constructor(|| Histogram::new(BOUNDS)),
            under_way: Gauge::default(),
            jobs: Family::default(),
        };
        meter.register();
        meter
    }
}

impl Meter {
    /// A meter that also tells what `observe` finds each time it is read.
    pub fn observing(observe: impl Fn() -> Observed + Send + Sync + 'static) -> Self {
        let mut meter = Self::default();
        let seen = observed::Seen::by(observe);
        meter.registry.register_collector(Box::new(seen));
        meter
    }

    fn register(&mut self) {
        let registry = &mut self.registry;
        registry.register(
            "http_server_requests",
            "Requests answered, by route template",
            self.answers.clone(),
        );
        registry.register_with_unit(
            "http_server_request_duration",
            "From the head of a request to the end of its answer",
            Unit::Seconds,
            self.durations.clone(),
        );
        registry.register(
            "http_server_active_requests",
            "Requests under way",
            self.under_way.clone(),
        );
        registry.register(
            "crossfall_jobs",
            "Jobs priced by estimates, cells, rows and batches: ok, incomplete while a line has no price, error where the job has faults",
            self.jobs.clone(),
        );
        let version = ("version", env!("CARGO_PKG_VERSION"));
        registry.register(
            "crossfall_build",
            "What was built",
            Info::new([version, ("profile", profile())]),
        );
        registry.register_collector(Box::new(process::Process::started()));
        // A counter that stands at naught from the start can be watched for its first step.
        for outcome in [Status::Ok, Status::Incomplete, Status::Error] {
            drop(self.jobs.get_or_create(&JobLabel(outcome)));
        }
    }

    /// Notes a request that begins; it is under way until what is returned goes.
    pub fn begin(&self) -> UnderWay {
        self.under_way.inc();
        UnderWay(self.under_way.clone())
    }

    /// True while a request is under way.
    pub fn is_busy(&self) -> bool {
        self.under_way.get() > 0
    }

    /// Notes a request that has ended.
    pub fn note(&self, answered: Answered<'_>) {
        let route = Route::of(&answered);
        self.durations
            .get_or_create(&route)
            .observe(answered.took.as_secs_f64());
        let answer = Answer {
            route,
            status: answered.status,
        };
        self.answers.get_or_create(&answer).inc();
    }

    /// Notes jobs that were priced.
    pub fn note_jobs(&self, outcome: Status, count: u64) {
        self.jobs.get_or_create(&JobLabel(outcome)).inc_by(count);
    }

    /// All of it, as Prometheus reads it.
    ///
    /// # Errors
    /// Something cannot be written; there is nothing a caller could do about it.
    pub fn text(&self) -> Result<String, fmt::Error> {
        let mut text = String::new();
        prometheus_text::encode(&mut text, &self.registry)?;
        Ok(text)
    }
}

/// A request under way.
#[derive(Debug)]
pub struct UnderWay(Gauge);

impl Drop for UnderWay {
    fn drop(&mut self) {
        self.0.dec();
    }
}

const fn profile() -> &'static str {
    if cfg!(debug_assertions) {
        "debug"
    } else {
        "release"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answered(route: &str, status: u16, milliseconds: u64) -> Answered<'_> {
        Answered {
            method: "POST",
            route,
            status: Some(status),
            took: Duration::from_millis(milliseconds),
        }
    }

    #[test]
    fn what_was_noted_is_told_in_base_units() {
        let meter = Meter::default();
        meter.note(answered("/v1/estimates", 200, 2));
        meter.note(answered("/v1/estimates", 200, 400));
        meter.note(answered("/v1/estimates", 422, 1));
        meter.note_jobs(Status::Ok, 299);
        let _under_way = meter.begin();
        let text = meter.text().expect("it can be written");
        for line in [
            "http_server_requests_total{method=\"POST\",route=\"/v1/estimates\",status=\"200\"} 2",
            "http_server_requests_total{method=\"POST\",route=\"/v1/estimates\",status=\"422\"} 1",
            "http_server_request_duration_seconds_bucket{method=\"POST\",route=\"/v1/estimates\",le=\"0.0025\"} 2",
            "http_server_request_duration_seconds_bucket{method=\"POST\",route=\"/v1/estimates\",le=\"+Inf\"} 3",
            "http_server_active_requests 1",
            "crossfall_jobs_total{outcome=\"ok\"} 299",
            "crossfall_jobs_total{outcome=\"incomplete\"} 0",
        ] {
            assert!(text.lines().any(|found| found == line), "{line}\n{text}");
        }
    }

    #[test]
    fn a_label_cannot_break_out_of_its_line() {
        let meter = Meter::default();
        meter.note(answered("a\"b\\c\nd", 200, 1));
        let text = meter.text().expect("it can be written");
        assert!(text.contains("route=\"a\\\"b\\\\c\\nd\""), "{text}");
    }
}
