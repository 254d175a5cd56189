//! How late workers came to what was due, at the worst of the last one to two minutes.
//!
//! Invariant: to read it changes nothing, so that several may watch. Absent: who is late, which `pace` knows.

use std::{
    sync::{Mutex, PoisonError},
    time::{Duration, Instant},
};

/// Two of these are told of: the running one, and the one before it.
const SPAN: Duration = Duration::from_secs(60);

/// The worst of two spans of time.
#[derive(Debug)]
pub(super) struct Lateness(Mutex<Worst>);

#[derive(Debug)]
struct Worst {
    since: Instant,
    running: Duration,
    before: Duration,
}

impl Default for Lateness {
    fn default() -> Self {
        Self(Mutex::new(Worst {
            since: Instant::now(),
            running: Duration::ZERO,
            before: Duration::ZERO,
        }))
    }
}

impl Lateness {
    pub(super) fn note(&self, late: Duration, now: Instant) {
        self.with(now, |worst| worst.running = worst.running.max(late));
    }

    pub(super) fn worst(&self, now: Instant) -> Duration {
        self.with(now, |worst| worst.running.max(worst.before))
    }

    fn with<T>(&self, now: Instant, ask: impl FnOnce(&mut Worst) -> T) -> T {
        // A time that was noted is whole between any two statements.
        let mut worst = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        worst.go_on_to(now);
        ask(&mut worst)
    }
}

impl Worst {
    fn go_on_to(&mut self, now: Instant) {
        let passed = now.saturating_duration_since(self.since);
        if passed < SPAN {
            return;
        }
        let next = passed < 2 * SPAN;
        self.before = if next { self.running } else { Duration::ZERO };
        self.running = Duration::ZERO;
        self.since = now;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worst_is_told_to_all_who_ask_and_forgotten_in_the_end() {
        let (lateness, start) = (Lateness::default(), Instant::now());
        let at = |seconds: u64| start + Duration::from_secs(seconds);
        let late = Duration::from_millis;
        lateness.note(late(900), at(1));
        lateness.note(late(20), at(2));
        assert_eq!(lateness.worst(at(2)), late(900));
        assert_eq!(lateness.worst(at(3)), late(900), "whoever asks second");
        assert_eq!(lateness.worst(at(59)), late(900));
        lateness.note(late(30), at(61));
        assert_eq!(lateness.worst(at(62)), late(900), "of the span before");
        assert_eq!(lateness.worst(at(122)), late(30));
        assert_eq!(lateness.worst(at(500)), Duration::ZERO);
    }
}
