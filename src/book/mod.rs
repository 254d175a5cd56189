//! The price book: where prices are kept, the snapshot from which they are read, and who may call.
//!
//! Invariants: every accepted write makes exactly one revision, in one transaction, with its
//! condition checked inside it; what was written is never changed; reading a price list needs no
//! database. Absent here: rules, jobs, status codes, arithmetic with money, choosing the day.

mod demo;
mod error;
pub mod table;

#[cfg(feature = "service")]
mod access;
#[cfg(feature = "service")]
mod asked;
#[cfg(feature = "service")]
mod backend;
#[cfg(feature = "service")]
mod books;
#[cfg(feature = "service")]
mod kept;
#[cfg(feature = "service")]
mod moving;
#[cfg(feature = "service")]
mod open;
#[cfg(feature = "service")]
mod read;
#[cfg(feature = "service")]
mod row;
#[cfg(feature = "service")]
mod sql;
#[cfg(feature = "service")]
mod store;
#[cfg(feature = "service")]
mod write;
#[cfg(feature = "service")]
mod write_rows;

pub use demo::{demo_book, demo_history, demo_since};
pub use error::BookError;

#[cfg(feature = "service")]
pub use access::{
    AccessStore, AuditPage, AuditRow, Caller, KeyHash, KeyRecord, KeyRing, NewKey, Role,
    without_keys,
};
#[cfg(feature = "service")]
pub use asked::Asked;
#[cfg(feature = "service")]
pub use backend::{PostgresStore, SqliteStore};
#[cfg(feature = "service")]
pub use books::{Books, DEMO_BOOK, Frozen, ItemWrite, Written};
#[cfg(feature = "service")]
pub use kept::{Claim, Claimed, Keep, KeptAnswer};
#[cfg(feature = "service")]
pub use moving::{Contents, RAISED, Stored, Whole, copy_all, tables};
#[cfg(feature = "service")]
pub use open::{open_file, open_store};
#[cfg(feature = "service")]
pub use store::{Append, BookStore, Connections, Expected, Guard, Made, Signature};
