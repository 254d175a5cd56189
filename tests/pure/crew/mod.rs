//! Crew hours: published reckonings, rows against the practice they came from, laws, visits and
//! days, and three usual ramps read as an owner would.

mod bent;
mod days;
mod holding;
mod jobs;
mod laws;
mod modifiers;
mod published;
mod rows;
mod scheduling;
mod staying;
mod usual;
mod visits;
