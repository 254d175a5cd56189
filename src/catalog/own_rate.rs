//! What a task takes this crew, where the office has timed it.
//!
//! Invariant: low is at most likely, and likely at most high. Absent here: the built-in rates, and
//! which tasks there are; `crew` knows both.

use crate::quantity::money::Decimal4;

/// Minutes that a task takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TaskMinutes {
    /// Before the first unit.
    pub setup: Decimal4,
    /// For each unit, when all goes well.
    pub low: Decimal4,
    /// For each unit, as it is reckoned.
    pub likely: Decimal4,
    /// For each unit, when little goes well.
    pub high: Decimal4,
}

/// The crew's own rate of one task.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnRate {
    /// Code of the task, as the built-in rates name it.
    pub task: String,
    /// Its minutes; none gives the built-in rate back.
    pub minutes: Option<TaskMinutes>,
}
