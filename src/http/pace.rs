//! How far a worker is behind with what is due.
//!
//! A call is computed on the worker that read it, one after the other, so that a worker with too much
//! to do is late for everything alike. A task that is due every few milliseconds stands in the same
//! queue and tells how late. Invariants: an idle worker does nothing for this; one long call is no
//! overload, only a queue is. Absent: what is done about it.

use super::load::Load;
use actix_web::web::Data;
use std::{
    cell::Cell,
    sync::{Arc, Weak},
    time::Duration,
};
use tokio::time::{Instant, sleep_until};

/// Between two looks at the clock.
const TICK: Duration = Duration::from_millis(25);

/// Looks without a call after which nobody looks any more.
const IDLE_TICKS: u32 = 40;

/// A worker that is later than this is behind: less than a probe is awaited by those who watch a
/// service, more than a spreadsheet's cells take that are all worked out at once.
pub(super) const LATE: Duration = Duration::from_millis(750);

/// Calls that a worker takes while it is late: fewer are no queue, however long each of them takes.
const WHILE_LATE: u32 = 16;

/// The pace of one worker.
#[derive(Debug, Default)]
pub(super) struct Pace {
    /// When the next look is due; none while nobody looks.
    due: Cell<Option<Instant>>,
    /// How late the last look was.
    late: Cell<Duration>,
    /// Calls that were taken since a look was last on time.
    taken: Cell<u32>,
    called: Cell<bool>,
}

impl Pace {
    /// Notes a call; whether it can be taken.
    pub(super) fn take(pace: &Data<Self>, load: &Data<Load>) -> bool {
        pace.called.set(true);
        if pace.due.get().is_none() {
            pace.due.set(Some(Instant::now() + TICK));
            let looked_at = Arc::downgrade(&pace.clone().into_inner());
            actix_web::rt::spawn(look(looked_at, load.clone()));
        }
        if pace.is_behind(Instant::now()) {
            return false;
        }
        pace.taken.set(pace.taken.get().saturating_add(1));
        true
    }

    fn is_behind(&self, now: Instant) -> bool {
        let overdue = self.due.get().map(|due| now.saturating_duration_since(due));
        let late = overdue.unwrap_or_default().max(self.late.get());
        late > LATE && self.taken.get() >= WHILE_LATE
    }

    /// Notes a look at the clock; when the next one is due.
    fn look(&self, now: Instant) -> Instant {
        let due = self.due.get().unwrap_or(now);
        self.late.set(now.saturating_duration_since(due));
        if self.late.get() <= LATE {
            self.taken.set(0);
        }
        let next = now + TICK;
        self.due.set(Some(next));
        next
    }

    fn rest(&self) {
        self.due.set(None);
        self.late.set(Duration::ZERO);
        self.taken.set(0);
    }
}

/// Looks at the clock until nobody calls, or the worker is gone.
async fn look(pace: Weak<Pace>, load: Data<Load>) {
    let mut idle = 0;
    let mut due = Instant::now() + TICK;
    let mut tell_at = Instant::now();
    while idle < IDLE_TICKS {
        sleep_until(due).await;
        let Some(pace) = pace.upgrade() else {
            return;
        };
        due = pace.look(Instant::now());
        load.note_lateness(pace.late.get());
        idle = if pace.called.replace(false) {
            0
        } else {
            idle + 1
        };
        // Once a second, not once a call: a log must not be what there is too much of.
        if tell_at.elapsed() > Duration::from_secs(1) {
            tell_at = Instant::now();
            let calls = load.take_untold();
            if calls > 0 {
                tracing::warn!(calls, "turned away: too much to do");
            }
        }
    }
    if let Some(pace) = pace.upgrade() {
        pace.rest();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn take(pace: &Pace, calls: u32) {
        pace.taken.set(pace.taken.get() + calls);
    }

    #[test]
    fn a_late_worker_with_a_queue_is_behind_until_it_is_on_time() {
        let (pace, start) = (Pace::default(), Instant::now());
        let at = |millis: u64| start + Duration::from_millis(millis);
        pace.look(start);
        take(&pace, WHILE_LATE);
        assert!(!pace.is_behind(at(700)), "late, but not too late");
        assert!(pace.is_behind(at(800)));
        pace.look(at(800));
        assert!(pace.is_behind(at(801)), "as late as it last was");
        pace.look(at(830));
        assert!(!pace.is_behind(at(831)));
    }

    #[test]
    fn one_long_call_is_no_overload() {
        let (pace, start) = (Pace::default(), Instant::now());
        pace.look(start);
        take(&pace, 1);
        assert!(!pace.is_behind(start + Duration::from_secs(5)));
        take(&pace, WHILE_LATE);
        assert!(pace.is_behind(start + Duration::from_secs(5)));
    }

    #[test]
    fn a_worker_that_rests_is_not_late() {
        let (pace, start) = (Pace::default(), Instant::now());
        pace.look(start);
        take(&pace, WHILE_LATE);
        pace.rest();
        assert!(!pace.is_behind(start + Duration::from_secs(5)));
    }
}
