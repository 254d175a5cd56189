//! One body a target: any bytes in, and a panic where a promise is broken.
//!
//! Invariants: what is not readable is passed over; what is read is held to more than not to panic; no
//! body keeps anything between two inputs but what never changes. Absent: the fuzzer.

mod bill;
mod flow;
mod job;
mod papers;
mod quantity;
mod rules;
mod sent_back;
mod short_row;
mod table;

pub use bill::bill;
pub use job::job;
pub use papers::papers;
pub use quantity::quantity;
pub use rules::rules;
pub use sent_back::sent_back;
pub use short_row::short_row;
pub use table::{csv_table, xlsx_table};

/// Takes any bytes; panics where a promise is broken.
pub type Body = fn(&[u8]);

/// Every body by the name of its target.
pub const BODIES: &[(&str, Body)] = &[
    ("quantity", quantity),
    ("job", job),
    ("papers", papers),
    ("short_row", short_row),
    ("csv_table", csv_table),
    ("xlsx_table", xlsx_table),
    ("rules", rules),
    ("bill", bill),
    ("sent_back", sent_back),
];
