//! The process itself, by the names that Prometheus gives to the figures of every process.
//!
//! Invariant: what the system does not tell is left out, not guessed. Absent: systems without `/proc`,
//! where only the start is told.
//!
//! # Source
//! Prometheus, "Writing client libraries", section "Process metrics"; Linux, proc(5).

use super::tell::Tell;
use prometheus_client::{
    collector::Collector,
    encoding::DescriptorEncoder,
    metrics::{counter::ConstCounter, gauge::ConstGauge},
};
use std::{
    fmt, fs,
    time::{SystemTime, UNIX_EPOCH},
};

/// This process.
#[derive(Debug)]
pub(super) struct Process {
    /// Seconds since the epoch.
    started: f64,
}

impl Process {
    /// A process that starts now.
    pub(super) fn started() -> Self {
        let since = SystemTime::now().duration_since(UNIX_EPOCH);
        Self {
            started: since.unwrap_or_default().as_secs_f64(),
        }
    }
}

impl Collector for Process {
    fn encode(&self, encoder: DescriptorEncoder<'_>) -> fmt::Result {
        let mut tell = Tell(encoder);
        tell.gauge(
            (
                "process_start_time_seconds",
                "When it started, in seconds since 1970-01-01 UTC",
            ),
            ConstGauge::new(self.started),
        )?;
        if let Some(seconds) = cpu_seconds() {
            let about = ("process_cpu_seconds", "User and system time spent");
            tell.counter(about, ConstCounter::new(seconds))?;
        }
        for (name, help, found) in [
            (
                "process_resident_memory_bytes",
                "Memory that is resident",
                resident_bytes(),
            ),
            (
                "process_open_fds",
                "Open file descriptors",
                open_descriptors(),
            ),
            (
                "process_max_fds",
                "Most file descriptors that may be open",
                most_descriptors(),
            ),
            ("process_threads", "Threads", threads()),
        ] {
            if let Some(found) = found {
                tell.gauge((name, help), ConstGauge::new(found))?;
            }
        }
        Ok(())
    }
}

/// A field of `/proc/self/status`, without its unit.
fn status(field: &str) -> Option<i64> {
    let text = fs::read_to_string("/proc/self/status").ok()?;
    let line = text.lines().find_map(|line| line.strip_prefix(field))?;
    let number = line.strip_prefix(':')?.split_whitespace().next()?;
    number.parse().ok()
}

fn resident_bytes() -> Option<i64> {
    // The file tells kibibytes and calls them kB.
    status("VmRSS")?.checked_mul(1024)
}

fn threads() -> Option<i64> {
    status("Threads")
}

fn open_descriptors() -> Option<i64> {
    let entries = fs::read_dir("/proc/self/fd").ok()?;
    // One of them is the folder that is being read.
    i64::try_from(entries.count())
        .ok()
        .map(|open| (open - 1).max(0))
}

fn most_descriptors() -> Option<i64> {
    let text = fs::read_to_string("/proc/self/limits").ok()?;
    let line = text
        .lines()
        .find_map(|line| line.strip_prefix("Max open files"))?;
    line.split_whitespace().next()?.parse().ok()
}

fn cpu_seconds() -> Option<f64> {
    let text = fs::read_to_string("/proc/self/stat").ok()?;
    // The name of the program may hold anything, so that counting begins behind it.
    let (_, rest) = text.rsplit_once(") ")?;
    let mut fields = rest.split_whitespace().skip(11);
    let user: f64 = fields.next()?.parse().ok()?;
    let system: f64 = fields.next()?.parse().ok()?;
    Some((user + system) / TICKS)
}

/// Clock ticks of a second in what `/proc` tells: 100 on every architecture of Linux that this is built for.
const TICKS: f64 = 100.0;

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;

    #[test]
    fn what_proc_tells_is_read() {
        let resident = resident_bytes().expect("it is told");
        assert!((1 << 20..1 << 40).contains(&resident), "{resident}");
        let (open, most) = (open_descriptors(), most_descriptors());
        assert!(open >= Some(3) && most >= open, "{open:?} of {most:?}");
        assert!(threads() >= Some(1));
        let before = cpu_seconds().expect("it is told");
        let began = std::time::Instant::now();
        while began.elapsed().as_millis() < 60 {
            std::hint::spin_loop();
        }
        let spent = cpu_seconds().expect("it is told") - before;
        // Other tests spin in the same process, on as many cores as there are.
        assert!((0.0..60.0).contains(&spent) && spent > 0.0, "{spent}");
    }
}
