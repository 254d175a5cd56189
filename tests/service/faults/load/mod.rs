//! More to do than can be done, peers that are slow or gone, bodies made to hurt; the real service.
//!
//! Invariants: whatever is asked, each call that was sent whole is answered with 200, 429 or 503, the
//! latter two saying when to come again; the probes are answered throughout; memory and descriptors
//! stay under fixed bounds; soon after, a call is answered as ever. Nothing here asserts a speed.
//! Absent: faults of the database.

mod bodies;
mod caller;
mod held;
mod many;
mod measured;
mod offered;
mod over;
mod peers;

use std::time::Duration;

/// How long a load lasts.
fn lasting() -> Duration {
    // One tenth of a second for each time that a fault is tried: 1 s, or 10 s.
    Duration::from_millis(100) * u32::try_from(super::times()).expect("a small number")
}
