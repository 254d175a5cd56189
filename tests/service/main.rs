//! The real service, asked over HTTP.

mod contract;
mod doors;
mod launched;
mod operation;
mod own_routes;
mod pages;
mod refusals;
