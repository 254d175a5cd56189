//! What a store of price books promises, whichever database stands behind it.
//!
//! Invariants: see the promises tested in `tests/service/store`, one list for both databases.
//! Absent here: SQL, and the snapshot.

use super::{AccessStore, BookError};
use crate::catalog::{Change, Head, History};
use async_trait::async_trait;
use chrono::{DateTime, Utc};

/// How the writer saw the item that it writes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Expected {
    /// It does not exist.
    New,
    /// It last changed in this revision.
    Revision(i64),
}

/// The condition of a write.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Guard {
    /// Code of the item.
    pub item: String,
    /// How it must be.
    pub expected: Expected,
}

/// One write: everything in `change` lands in one new revision, or nothing does.
#[derive(Clone, Copy, Debug)]
pub struct Append<'a> {
    /// Code of the book.
    pub book: &'a str,
    /// When it is made.
    pub made_at: DateTime<Utc>,
    /// What it adds.
    pub change: &'a Change,
    /// Its condition, checked inside the transaction.
    pub guard: Option<&'a Guard>,
}

/// Keeps price books. Written once for each database, tested once for all.
#[async_trait]
pub trait BookStore: AccessStore {
    /// Every book's code and newest revision, by code.
    ///
    /// # Errors
    /// [`BookError::Unavailable`].
    async fn heads(&self) -> Result<Vec<(String, i64)>, BookError>;

    /// All that a book ever held, read as of one instant.
    ///
    /// # Errors
    /// [`BookError::NotFound`], [`BookError::Damaged`], [`BookError::Unavailable`].
    async fn load(&self, book: &str) -> Result<History, BookError>;

    /// Makes a book whose first revision is `first`; false when its code is taken, and then
    /// nothing is written.
    ///
    /// # Errors
    /// Those of [`BookStore::append`].
    async fn create(
        &self,
        head: &Head,
        made_at: DateTime<Utc>,
        first: &Change,
    ) -> Result<bool, BookError>;

    /// Writes one revision and gives its number.
    ///
    /// # Errors
    /// [`BookError::NotFound`] for an unknown book, or for a price whose item or supplier is
    /// neither known nor in the change; [`BookError::Conflict`] when the condition does not hold;
    /// [`BookError::Refused`], [`BookError::Unavailable`]. Nothing is written then.
    async fn append(&self, append: Append<'_>) -> Result<i64, BookError>;
}
