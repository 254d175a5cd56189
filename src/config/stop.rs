//! The settings of a stop.
//!
//! Absent: what happens in a stop, which `startup` holds.

use super::parse::parse_span;
use clap::Args;
use std::time::Duration;

/// How a stop goes.
#[derive(Args, Clone, Copy, Debug)]
pub struct StopSettings {
    /// How long a service told to stop by SIGTERM goes on answering while /readyz says 503, so that
    /// a proxy turns elsewhere; longer than the proxy takes to notice
    #[arg(id = "stop_notice", long = "stop-notice", global = true, env = "CROSSFALL_STOP_NOTICE", default_value = "5s", value_parser = parse_span, value_name = "SPAN")]
    pub notice: Duration,

    /// How long requests under way may then take; what is not done by that time is broken off
    #[arg(id = "stop_limit", long = "stop-limit", global = true, env = "CROSSFALL_STOP_LIMIT", default_value = "30s", value_parser = parse_span, value_name = "SPAN")]
    pub limit: Duration,
}
