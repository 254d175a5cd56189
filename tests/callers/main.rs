//! Real programs that call the service, or read its contract.
//!
//! What is missing fails with the command that installs it; nothing here is passed over.

mod batch;
mod binary;
mod calc;
mod contract;
mod contract_fuzz;
mod drawings;
mod licences;
mod live;
mod oracles;
mod papers;
mod programs;
mod proposals;
mod queries;
mod ubl;
