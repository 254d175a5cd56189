//! How much there is to do at this moment, and what was turned away for that.
//!
//! Invariants: plain counts that anybody may read at any time; what was counted in is counted out by
//! a value that goes, however a call ends. Absent: what is done about it, which `shed` and
//! `connections` decide.

mod lateness;

use super::bounds::Bounds;
use lateness::Lateness;
use std::{
    sync::atomic::{AtomicU64, AtomicUsize, Ordering},
    time::{Duration, Instant},
};

/// A body up to this is read all the same, in bytes: all connections together cannot bring much so.
const SMALL_BODY: usize = 32 * 1024;

/// The counts of one service.
#[derive(Debug, Default)]
pub struct Load {
    bounds: Bounds,
    connections: AtomicUsize,
    bodies: AtomicUsize,
    answers: AtomicUsize,
    shed: AtomicU64,
    told: AtomicU64,
    cut_off: AtomicU64,
    lateness: Lateness,
}

/// A body in memory, counted until it goes.
#[derive(Debug)]
pub(super) struct HeldBody<'a> {
    load: Option<&'a Load>,
    bytes: usize,
}

impl Load {
    /// None yet, within these bounds.
    pub fn within(bounds: Bounds) -> Self {
        Self {
            bounds,
            ..Self::default()
        }
    }

    /// What is borne.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Connections that stand.
    pub fn connections(&self) -> usize {
        self.connections.load(Ordering::Relaxed)
    }

    /// Bytes of bodies in memory.
    pub fn bodies(&self) -> usize {
        self.bodies.load(Ordering::Relaxed)
    }

    /// Bytes of answers in memory that their callers have not taken.
    pub fn answers(&self) -> usize {
        self.answers.load(Ordering::Relaxed)
    }

    /// Calls that were turned away since the start.
    pub fn shed(&self) -> u64 {
        self.shed.load(Ordering::Relaxed)
    }

    /// Connections that were closed because their peer took nothing of its answer.
    pub fn cut_off(&self) -> u64 {
        self.cut_off.load(Ordering::Relaxed)
    }

    /// How late a worker came to what was due, at the worst of the last one to two minutes.
    pub fn lateness(&self) -> Duration {
        self.lateness.worst(Instant::now())
    }

    /// Counts a connection in; whether it has a seat.
    pub fn connect(&self) -> bool {
        self.connections.fetch_add(1, Ordering::Relaxed) < self.bounds.connections
    }

    /// Counts a connection out.
    pub fn disconnect(&self) {
        self.connections.fetch_sub(1, Ordering::Relaxed);
    }

    /// Counts a connection that is closed although its answer was not taken.
    pub fn count_cut_off(&self) {
        self.cut_off.fetch_add(1, Ordering::Relaxed);
    }

    pub(super) fn count_shed(&self) {
        self.shed.fetch_add(1, Ordering::Relaxed);
    }

    /// Calls that were turned away and not told of yet, for whoever tells of them first.
    pub(super) fn take_untold(&self) -> u64 {
        let shed = self.shed();
        shed.saturating_sub(self.told.fetch_max(shed, Ordering::Relaxed))
    }

    pub(super) fn note_lateness(&self, late: Duration) {
        self.lateness.note(late, Instant::now());
    }

    pub(super) fn hold_answer(&self, bytes: usize) {
        self.answers.fetch_add(bytes, Ordering::Relaxed);
    }

    pub(super) fn release_answer(&self, bytes: usize) {
        self.answers.fetch_sub(bytes, Ordering::Relaxed);
    }

    /// Whether more answers lie in memory than should.
    pub(super) fn is_full(&self) -> bool {
        self.answers() > self.bounds.answer_bytes
    }
}

impl<'a> HeldBody<'a> {
    /// Counts for a service; nowhere where there is none, as in a test of one part.
    pub(super) const fn by(load: Option<&'a Load>) -> Self {
        Self { load, bytes: 0 }
    }

    /// Counts more bytes; false where that is more than there is room for.
    pub(super) fn add(&mut self, bytes: usize) -> bool {
        let Some(load) = self.load else {
            return true;
        };
        load.bodies.fetch_add(bytes, Ordering::Relaxed);
        self.bytes += bytes;
        self.bytes <= SMALL_BODY || load.bodies() <= load.bounds.body_bytes
    }
}

impl Drop for HeldBody<'_> {
    fn drop(&mut self) {
        if let Some(load) = self.load {
            load.bodies.fetch_sub(self.bytes, Ordering::Relaxed);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bodies_are_counted_until_they_go_and_small_ones_find_room() {
        let load = Load::default();
        let mut large = HeldBody::by(Some(&load));
        assert!(large.add(load.bounds.body_bytes));
        assert!(!large.add(1), "no more fits");
        assert!(HeldBody::by(Some(&load)).add(SMALL_BODY));
        assert!(!HeldBody::by(Some(&load)).add(SMALL_BODY + 1));
        drop(large);
        assert_eq!(load.bodies(), 0);
    }

    #[test]
    fn seats_are_counted_and_given_back() {
        let load = Load::within(Bounds {
            connections: 1,
            ..Bounds::default()
        });
        assert!(load.connect());
        assert!(!load.connect());
        load.disconnect();
        load.disconnect();
        assert!(load.connect());
    }

    #[test]
    fn what_was_turned_away_is_told_once() {
        let load = Load::default();
        load.count_shed();
        load.count_shed();
        assert_eq!(load.take_untold(), 2);
        assert_eq!(load.take_untold(), 0, "another worker");
        load.count_shed();
        assert_eq!(load.take_untold(), 1);
    }

    #[test]
    fn answers_that_nobody_takes_fill_it() {
        let load = Load::default();
        load.hold_answer(load.bounds.answer_bytes + 1);
        assert!(load.is_full());
        load.release_answer(1);
        assert!(!load.is_full());
    }
}
