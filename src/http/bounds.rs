//! What the service bears before it turns calls away or lets go of a peer.
//!
//! Absent: the bounds of one request, which `limits` holds, and those of a key, which `rate` holds.

use std::time::Duration;

/// The bounds of one service; a test sets smaller ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bounds {
    /// Connections that are answered; on those beyond only the probes are.
    pub connections: usize,
    /// Bytes of bodies that may lie in memory before larger ones are refused.
    pub body_bytes: usize,
    /// Bytes of answers that may lie in memory, not taken by their callers, before calls are turned away.
    pub answer_bytes: usize,
    /// How long a call is awaited, from the end of the last one.
    pub for_call: Duration,
    /// How long a caller is awaited who takes nothing of an answer.
    pub for_taking: Duration,
    /// How long a batch is awaited that does not move.
    pub for_more: Duration,
}

impl Default for Bounds {
    fn default() -> Self {
        Self {
            connections: 4_096,
            body_bytes: 128 * 1024 * 1024,
            answer_bytes: 256 * 1024 * 1024,
            for_call: Duration::from_secs(10),
            for_taking: Duration::from_secs(60),
            for_more: Duration::from_secs(30),
        }
    }
}
