//! Outbound HTTP: what others tell, and what is sent to them, over the network; one folder a partner.
//!
//! Invariants: nobody is asked but whom the operator has named; every wait and every body is bounded;
//! no address, host or token stands in an error or in a log above debug. Absent: status codes, the
//! book, what comes of an answer.

pub mod delivery;
mod door;
pub mod forecast;
mod setting;

#[cfg(feature = "otel")]
pub use door::blocking_client;
pub use door::client;
