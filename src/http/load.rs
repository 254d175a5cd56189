//! How much there is to do at this moment, and what was turned away for that.
//!
//! Invariants: plain counts that anybody may read at any time; what was counted in is counted out by
//! a value that goes, however a call ends. Absent: what is done about it, which `shed` and
//! `connections` decide.

use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};

/// Connections that are answered; on those beyond only the probes are.
pub const CONNECTIONS: usize = 4_096;

/// Bytes of bodies and answers that may lie in memory before calls are turned away.
pub const HELD_BYTES: usize = 256 * 1024 * 1024;

/// The counts of one service.
#[derive(Debug, Default)]
pub struct Load {
    connections: AtomicUsize,
    held: AtomicUsize,
    shed: AtomicU64,
    cut_off: AtomicU64,
    latest: AtomicU64,
}

/// Bytes that are counted as held until they go.
#[derive(Debug)]
pub(super) struct Held<'a> {
    load: Option<&'a Load>,
    bytes: usize,
}

impl Load {
    /// Connections that stand.
    pub fn connections(&self) -> usize {
        self.connections.load(Ordering::Relaxed)
    }

    /// Bytes of bodies and answers in memory.
    pub fn held(&self) -> usize {
        self.held.load(Ordering::Relaxed)
    }

    /// Calls that were turned away since the start.
    pub fn shed(&self) -> u64 {
        self.shed.load(Ordering::Relaxed)
    }

    /// Connections that were closed because their peer neither sent nor took anything.
    pub fn cut_off(&self) -> u64 {
        self.cut_off.load(Ordering::Relaxed)
    }

    /// How late a worker came to what was due, at the worst since this was last asked, in milliseconds.
    pub fn take_lateness(&self) -> u64 {
        self.latest.swap(0, Ordering::Relaxed)
    }

    /// Counts a connection in; how many stand with it.
    pub fn connect(&self) -> usize {
        self.connections.fetch_add(1, Ordering::Relaxed) + 1
    }

    /// Counts a connection out.
    pub fn disconnect(&self) {
        self.connections.fetch_sub(1, Ordering::Relaxed);
    }

    /// Counts a connection that is closed for its peer's silence.
    pub fn count_cut_off(&self) {
        self.cut_off.fetch_add(1, Ordering::Relaxed);
    }

    pub(super) fn count_shed(&self) {
        self.shed.fetch_add(1, Ordering::Relaxed);
    }

    pub(super) fn note_lateness(&self, millis: u64) {
        self.latest.fetch_max(millis, Ordering::Relaxed);
    }

    pub(super) fn hold(&self, bytes: usize) {
        self.held.fetch_add(bytes, Ordering::Relaxed);
    }

    pub(super) fn release(&self, bytes: usize) {
        self.held.fetch_sub(bytes, Ordering::Relaxed);
    }

    /// Whether more lies in memory than should.
    pub(super) fn is_full(&self) -> bool {
        self.held() > HELD_BYTES
    }
}

impl<'a> Held<'a> {
    /// Counts for a service; nowhere where there is none, as in a test of one part.
    pub(super) const fn by(load: Option<&'a Load>) -> Self {
        Self { load, bytes: 0 }
    }

    /// Counts more bytes; false where that is more than there is room for.
    pub(super) fn add(&mut self, bytes: usize) -> bool {
        let Some(load) = self.load else {
            return true;
        };
        load.hold(bytes);
        self.bytes += bytes;
        !load.is_full()
    }
}

impl Drop for Held<'_> {
    fn drop(&mut self) {
        if let Some(load) = self.load {
            load.release(self.bytes);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_held_is_counted_until_it_goes() {
        let load = Load::default();
        let mut held = Held::by(Some(&load));
        assert!(held.add(HELD_BYTES));
        assert!(!held.add(1), "no more fits");
        assert!(load.is_full());
        drop(held);
        assert_eq!(load.held(), 0);
    }
}
