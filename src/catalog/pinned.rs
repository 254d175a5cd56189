//! A book at a revision, and what a job wants of it beside the day.
//!
//! Invariant: the revision exists. Absent here: prices.

use super::{History, Item};
use std::sync::Arc;

/// A revision that the book does not have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there is no revision {asked}; they go from 1 to {latest}")]
pub struct NoSuchRevision {
    /// What was asked for.
    pub asked: i64,
    /// The newest that there is; 0 when nothing was written yet.
    pub latest: i64,
}

/// A book at a revision.
#[derive(Clone, Debug)]
pub struct Pinned {
    /// The book through time.
    pub history: Arc<History>,
    /// The revision as known at which it is read.
    pub revision: i64,
}

/// What a job wants of its book, beside the day.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wanted {
    /// Name of the job, for prices that were quoted for it.
    pub job: Option<String>,
    /// Zone to which suppliers deliver.
    pub zone: Option<String>,
    /// Wage schedule; the crew's own where none is named.
    pub wages: Option<String>,
    /// True to bring prices forward by their price index.
    pub escalate: bool,
}

impl Pinned {
    /// The book at `revision`, or else at its newest.
    ///
    /// # Errors
    /// [`NoSuchRevision`] when the book has no such revision, or none at all.
    pub fn new(history: Arc<History>, revision: Option<i64>) -> Result<Self, NoSuchRevision> {
        let latest = history.latest();
        let asked = revision.unwrap_or(latest);
        if asked < 1 || asked > latest {
            return Err(NoSuchRevision { asked, latest });
        }
        Ok(Self {
            history,
            revision: asked,
        })
    }

    /// Code of the book.
    pub fn code(&self) -> &str {
        &self.history.head().code
    }

    /// The item with this code, as the book has it.
    pub(super) fn item(&self, code: &str) -> Option<&Item> {
        self.history.item(code)?.item(self.revision)
    }
}
