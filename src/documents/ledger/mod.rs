//! Journals as files: rows of CSV, and the two plain-text forms that open ledger programs read.
//!
//! Invariants: amounts are written as they are, with a point; what a form cannot hold is refused by
//! [`check_accounts`] or written with another sign in its place, never dropped. Absent: what is posted.

mod accounts;
mod beancount;
mod journal;
mod rows;

pub use accounts::check_accounts;
pub use beancount::write_beancount;
pub use journal::write_ledger;
pub use rows::{write_bill_lines, write_postings};

/// A plain-text form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dialect {
    /// Entries that hledger and ledger read.
    Ledger,
    /// Entries that beancount reads.
    Beancount,
}
