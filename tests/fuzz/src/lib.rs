//! What a coverage-guided fuzzer runs: bodies that take any bytes, and a mutator that knows the contract.
//!
//! Invariant: the bodies run without a fuzzer too; the ordinary tests put every kept input through them.
//! Absent: the targets themselves, a few lines each, in `targets`.

pub mod bodies;
pub mod contract;
