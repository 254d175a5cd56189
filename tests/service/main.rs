//! The real service, asked over HTTP, and what it keeps, on both databases.

mod access;
mod bad_input;
mod batch;
mod cells;
mod computing;
mod contract;
mod doors;
mod drawings;
mod faults;
mod forecasts;
mod grade_sheets;
mod key_commands;
mod launched;
mod load_plans;
mod operation;
mod own_routes;
mod pages;
mod price_books;
mod refusals;
mod replicas;
mod roles;
mod rows;
mod rule_sets;
mod secrets;
mod store;
mod surveys;
