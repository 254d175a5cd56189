//! Judges, takes off, schedules and prices small concrete access ramps.

pub mod geometry;
pub mod job;
pub mod quantity;
pub mod rules;
