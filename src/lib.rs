//! Judges, takes off, schedules and prices small concrete access ramps.
//!
//! | room | what lives there |
//! | --- | --- |
//! | [`quantity`] | lengths, volumes, slopes, money; faults of an input |
//! | [`sheet`] | tables as offices send them (CSV, XLSX), into rows of text cells, and back |
//! | [`job`] | what a job is: as it is sent, and with every question answered |
//! | [`catalog`] | what can be bought, in what sizes, and what it costs, as values |
//! | [`loads`] | ready-mix loads shared between small pours |
//! | [`geometry`] | a job solved in space: surfaces, edges, joints |
//! | [`takeoff`] | what to order, what the crew handles, what others must supply |
//! | [`rules`] | rule sets as rows, and what they say of a job |
//! | [`setting`] | how fresh concrete dries, sets and gains strength, by weather and mix |
//! | [`crew`] | tasks, people, visits and days; hours on site and hours paid |
//! | [`answered`] | the answer of an estimate, sent back and checked for a document |
//! | [`handover`] | a finished ramp handed over: what was built, measured and delivered, and how to care for it |
//! | [`billing`] | what is billed and posted: schedule of values, applications, invoices, journals |
//! | [`proposal`] | a priced estimate as an offer, section by section |
//! | [`figures`] | one estimate as single figures, for a cell or a row |
//! | [`batch`] | many jobs together: counts, totals, weeks, one order list |
//! | [`change`] | what changed between two estimates, and what that is worth |
//! | [`cost`] | what a job really cost beside its estimate |
//! | `book` | the store of price books, on SQLite and Postgres |
//! | `clients` | outbound HTTP: forecasts and destinations of documents, by name |
//! | `meter` | what is counted for the operator, in the text form of Prometheus |
//! | `http` | thin: one file a resource, and the one place with status codes |
//! | `cli`, `config`, `local_rules`, `telemetry`, `startup` | the command line, the settings, an office's own rule sets, the logs, and the only place that knows every room |
//!
//! Rooms above `book` are pure: no I/O, clock, logging, web or database types. The rest stands
//! behind the feature `service`. Start reading at `startup`, then follow one handler down.

pub mod answered;
pub mod batch;
pub mod billing;
pub mod book;
pub mod catalog;
pub mod change;
pub mod cost;
pub mod crew;
pub mod documents;
pub mod estimate;
pub mod figures;
pub mod geometry;
pub mod handover;
pub mod job;
pub mod loads;
pub mod pour;
pub mod price;
pub mod proposal;
pub mod quantity;
pub mod rules;
pub mod setting;
pub mod sheet;
pub mod takeoff;

#[cfg(feature = "service")]
pub mod cli;
#[cfg(feature = "service")]
pub mod clients;
#[cfg(feature = "service")]
pub mod config;
#[cfg(feature = "service")]
pub mod http;
#[cfg(feature = "service")]
mod local_rules;
#[cfg(feature = "service")]
pub mod meter;
#[cfg(feature = "service")]
pub mod startup;
#[cfg(feature = "service")]
pub mod telemetry;
