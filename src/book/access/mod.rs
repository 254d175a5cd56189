//! Who may call, and what was written by whom: keys, their roles, and the audit.
//!
//! Invariants: a key itself is never kept, only its SHA-256; a key is made once and revoked at most
//! once; every change of the keys counts the version up and writes its audit row in the same
//! transaction. Absent: paths, methods and rates, which belong to the web room.

mod backend;
mod key;
mod ring;
mod role;
mod sql;
mod steps;

pub use key::{KeyHash, NewKey, without_keys};
pub use ring::{Caller, KeyRing};
pub use role::Role;

use super::BookError;
use async_trait::async_trait;
use chrono::{DateTime, Utc};

/// A key as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyRecord {
    /// The public part of the key: twelve hexadecimal digits.
    pub id: String,
    /// Whose it is, in the operator's words.
    pub name: String,
    /// What it opens.
    pub role: Role,
    /// What the key is recognised by.
    pub hash: KeyHash,
    /// Calls a minute, in place of the role's; from 1.
    pub per_minute: Option<u32>,
    /// When it was made.
    pub made_at: DateTime<Utc>,
    /// When it was revoked; none while it holds.
    pub revoked_at: Option<DateTime<Utc>>,
}

/// One thing that was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AuditRow {
    /// Unique; ids order as the instants do.
    pub id: String,
    /// When.
    pub at: DateTime<Utc>,
    /// By whom: the id of a key, `first`, `local` or `command line`.
    pub caller: String,
    /// What was done, such as `key.add`.
    pub action: String,
    /// To what.
    pub target: String,
    /// The book that it made a revision of, and the revision.
    pub revision: Option<(String, i64)>,
    /// Id of the request in which it was done.
    pub request: Option<String>,
}

/// A part of the audit, newest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AuditPage<'a> {
    /// Id of the last row that was read already.
    pub after: Option<&'a str>,
    /// Rows at most.
    pub limit: u32,
}

/// Keeps keys and the audit. Written once for each database, tested once for all.
#[async_trait]
pub trait AccessStore: Send + Sync + std::fmt::Debug {
    /// Counts every change of the keys.
    ///
    /// # Errors
    /// [`BookError::Unavailable`].
    async fn access_version(&self) -> Result<i64, BookError>;

    /// Every key that was ever made, oldest first.
    ///
    /// # Errors
    /// [`BookError::Damaged`], [`BookError::Unavailable`].
    async fn keys(&self) -> Result<Vec<KeyRecord>, BookError>;

    /// Keeps a new key.
    ///
    /// # Errors
    /// [`BookError::Refused`] when its id or hash is there already, [`BookError::Unavailable`].
    /// Nothing is written then.
    async fn add_key(&self, key: &KeyRecord, caller: &str) -> Result<(), BookError>;

    /// Revokes a key for good; false when it is unknown or revoked already, and then nothing is
    /// written.
    ///
    /// # Errors
    /// [`BookError::Unavailable`].
    async fn revoke_key(
        &self,
        id: &str,
        at: DateTime<Utc>,
        caller: &str,
    ) -> Result<bool, BookError>;

    /// What was written, newest first.
    ///
    /// # Errors
    /// [`BookError::Damaged`], [`BookError::Unavailable`].
    async fn audit(&self, page: AuditPage<'_>) -> Result<Vec<AuditRow>, BookError>;
}

/// A new id for an audit row of this instant: ids of later milliseconds are greater as text.
///
/// # Errors
/// [`BookError::NoRandomness`].
pub(in crate::book) fn new_audit_id(at: DateTime<Utc>) -> Result<String, BookError> {
    let millis = at.timestamp_millis().max(0);
    Ok(format!("{millis:012x}{}", key::random_hex::<8>()?))
}
