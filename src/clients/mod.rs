//! Outbound HTTP: what others tell, asked over the network; one folder a partner.
//!
//! Invariants: nobody is asked but whom the operator has named; every wait and every body is bounded;
//! no address, host or token stands in an error or in a log above debug. Absent: status codes, the
//! book, what comes of an answer.

mod door;
pub mod forecast;

pub use door::client;
