//! Quantities of the trade: lengths, volumes, slopes, money; how they are read and printed.
//!
//! Invariants: a stored number is SI and finite; the field is private, so a bare number cannot
//! become a quantity without naming its unit. Absent here: any other room, any I/O.

mod fault;

pub use fault::{Fault, Faults, pointer_part};
