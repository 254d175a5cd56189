//! Crew hours: published reckonings, rows against the practice they came from, laws, visits and
//! days, and three usual ramps read as an owner would.

mod bent;
mod days;
mod jobs;
mod laws;
mod modifiers;
mod published;
mod rows;
mod usual;
mod visits;
