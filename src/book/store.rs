//! What a store of price books promises, whichever database stands behind it.
//!
//! Invariants: see the promises tested in `tests/service/store`, one list for both databases.
//! Absent here: SQL, and the snapshot.

use super::{AccessStore, BookError, Claim, Claimed, Keep, Whole};
use crate::catalog::{Change, Head, History};
use async_trait::async_trait;
use chrono::{DateTime, Utc};

/// How the writer saw what it writes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Expected {
    /// It does not exist.
    New,
    /// It last changed in this revision.
    Revision(i64),
}

/// The condition of a write.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Guard {
    /// On one item.
    Item {
        /// Its code.
        item: String,
        /// How it must be.
        expected: Expected,
    },
    /// On the whole book: its newest revision must be this one.
    Book(i64),
}

/// Who writes, for the audit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signature {
    /// Who: id of a key, or how somebody came in without one.
    pub caller: String,
    /// What is done, as `item.put`.
    pub action: &'static str,
    /// To what.
    pub target: String,
    /// Id of the request, as logs name it.
    pub request: Option<String>,
}

/// One write: everything in `change` lands in one new revision, or nothing does.
#[derive(Clone, Copy, Debug)]
pub struct Append<'a> {
    /// Code of the book.
    pub book: &'a str,
    /// When it is made; a book's revisions never run back, so it may be taken as the last one's.
    pub made_at: DateTime<Utc>,
    /// What it adds.
    pub change: &'a Change,
    /// Its condition, checked inside the transaction.
    pub guard: Option<&'a Guard>,
    /// Who writes; the audit learns it in the same transaction.
    pub by: &'a Signature,
    /// An answer to be kept for a repeated request, in the same transaction.
    pub keep: Option<&'a Keep>,
}

/// What a write made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Made {
    /// The new revision.
    pub revision: i64,
    /// When it was made, as stored.
    pub made_at: DateTime<Utc>,
}

/// Connections of a store to its database.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Connections {
    /// Open ones.
    pub open: usize,
    /// Open ones that nobody uses.
    pub idle: usize,
    /// Most that are opened.
    pub most: usize,
}

/// Keeps price books. Written once for each database, tested once for all.
#[async_trait]
pub trait BookStore: AccessStore + Whole {
    /// Every book's code and newest revision, by code.
    ///
    /// # Errors
    /// [`BookError::Unavailable`].
    async fn heads(&self) -> Result<Vec<(String, i64)>, BookError>;

    /// All that a book ever held, read as of one instant; what `known` holds already is not read
    /// again.
    ///
    /// # Errors
    /// [`BookError::NotFound`], [`BookError::Damaged`], [`BookError::Unavailable`].
    async fn load(&self, book: &str, known: Option<&History>) -> Result<History, BookError>;

    /// Makes a book whose first revision is the append's; false when its code is taken, and then
    /// nothing is written.
    ///
    /// # Errors
    /// Those of [`BookStore::append`].
    async fn create(&self, head: &Head, first: Append<'_>) -> Result<Option<Made>, BookError>;

    /// Writes one revision.
    ///
    /// # Errors
    /// [`BookError::NotFound`] for an unknown book, or for a price whose item or supplier is
    /// neither known nor in the change; [`BookError::Conflict`] when the condition does not hold;
    /// [`BookError::TakenOver`] when the answer is not this request's to keep any more;
    /// [`BookError::Refused`], [`BookError::Unavailable`]. Nothing is written then.
    async fn append(&self, append: Append<'_>) -> Result<Made, BookError>;

    /// Connections at this moment, from memory.
    fn connections(&self) -> Connections;

    /// Waits until another replica has written; for ever where nobody tells.
    async fn changed(&self);

    /// Claims a request for its caller and key, or says what became of it.
    ///
    /// # Errors
    /// [`BookError::Unavailable`].
    async fn claim(&self, claim: Claim<'_>) -> Result<Claimed, BookError>;

    /// Keeps the answer to a claimed request that wrote nothing.
    ///
    /// # Errors
    /// [`BookError::TakenOver`], [`BookError::Unavailable`].
    async fn keep(&self, keep: &Keep) -> Result<(), BookError>;

    /// Gives up a claim, so that the request may be sent again.
    ///
    /// # Errors
    /// [`BookError::Unavailable`].
    async fn release(&self, claim: Claim<'_>) -> Result<(), BookError>;
}
