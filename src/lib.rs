//! Judges, takes off, schedules and prices small concrete access ramps.

pub mod job;
pub mod quantity;
