//! What the book may refuse, and how it may fail.
//!
//! Invariant: the text is safe to show; what the database said is only in the source. Absent here:
//! status codes.

use crate::catalog::NoSuchRevision;
use std::error::Error;

/// A refusal or a failure of the price book.
#[derive(Debug, thiserror::Error)]
pub enum BookError {
    /// There is no such book, item or supplier.
    #[error("there is no {what} `{key}`")]
    NotFound {
        /// Kind of thing.
        what: &'static str,
        /// Its code.
        key: String,
    },
    /// The book does not inherit from this one, so that no revision of it can be meant.
    #[error("the book does not inherit from `{key}`")]
    NotInherited {
        /// Code of the other book.
        key: String,
    },
    /// Books inherit from one another through too many.
    #[error("books can inherit through at most {most}")]
    TooDeep {
        /// Most books of one chain.
        most: usize,
    },
    /// The book has no such revision.
    #[error("the book `{book}` has no revision {}; they go from 1 to {}", .revision.asked, .revision.latest)]
    NoSuchRevision {
        /// Code of the book.
        book: String,
        /// What was asked for and what there is.
        revision: NoSuchRevision,
    },
    /// What is written is not as the writer saw it: somebody wrote it in between, or it exists.
    #[error("the {what} `{key}` is not as expected: {}", seen(.found))]
    Conflict {
        /// Kind of thing.
        what: &'static str,
        /// Its code.
        key: String,
        /// The revision in which it last changed; none when it does not exist.
        found: Option<i64>,
    },
    /// The request took so long that its repetition was begun; only that one may write.
    #[error("the request was taken over by its repetition")]
    TakenOver,
    /// The database holds a rule that the write breaks; the source says which, for the log only.
    #[error("the write breaks a rule of the price book")]
    Refused(#[source] Box<dyn Error + Send + Sync>),
    /// The address of the database is of no kind that is known here.
    #[error("the database address must begin with `sqlite:` or `postgres:`")]
    UnknownAddress,
    /// Something stored, or the demo book, cannot be read as what it should be.
    #[error("the price book holds something unreadable: {what}")]
    Damaged {
        /// Which thing.
        what: String,
    },
    /// Only an empty database can be filled.
    #[error("the database that should be filled holds something already")]
    NotEmpty,
    /// The system gave no random bytes for a key or an id.
    #[error("the system gives no random bytes: {0}")]
    NoRandomness(String),
    /// The database is unreachable or failed; the source says why, for the log only.
    #[error("the price book's database did not answer")]
    Unavailable(#[source] Box<dyn Error + Send + Sync>),
}

impl BookError {
    /// Something that is not there.
    #[cfg(feature = "service")]
    pub(crate) fn not_found(what: &'static str, key: &str) -> Self {
        Self::NotFound {
            what,
            key: key.to_owned(),
        }
    }

    /// Something that is not as the writer saw it.
    #[cfg(feature = "service")]
    pub(crate) fn conflict(what: &'static str, key: &str, found: Option<i64>) -> Self {
        Self::Conflict {
            what,
            key: key.to_owned(),
            found,
        }
    }

    /// Something stored that cannot be read.
    pub(crate) fn damaged(what: impl Into<String>) -> Self {
        Self::Damaged { what: what.into() }
    }
}

fn seen(found: &Option<i64>) -> String {
    match found {
        Some(revision) => format!("it last changed in revision {revision}"),
        None => "it does not exist".to_owned(),
    }
}

#[cfg(feature = "service")]
impl From<sqlx::Error> for BookError {
    fn from(error: sqlx::Error) -> Self {
        use sqlx::error::ErrorKind;
        let kind = error.as_database_error().map(|error| error.kind());
        match kind {
            Some(
                ErrorKind::CheckViolation
                | ErrorKind::ForeignKeyViolation
                | ErrorKind::NotNullViolation
                | ErrorKind::UniqueViolation,
            ) => Self::Refused(Box::new(error)),
            _ => Self::Unavailable(Box::new(error)),
        }
    }
}

#[cfg(feature = "service")]
impl From<sqlx::migrate::MigrateError> for BookError {
    fn from(error: sqlx::migrate::MigrateError) -> Self {
        Self::Unavailable(Box::new(error))
    }
}
