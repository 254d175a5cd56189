//! Keys and the audit on SQLite and on Postgres, from one body.
//!
//! Invariants: both run the same statements in the same order; they differ in how a transaction
//! begins and in nothing else. Absent here: connecting, and what is kept in memory.

use super::{AccessStore, AuditPage, AuditRow, KeyRecord, steps};
use crate::book::{BookError, PostgresStore, SqliteStore};
use async_trait::async_trait;
use chrono::{DateTime, Utc};

/// Writes the same store for each pool.
macro_rules! access_on {
    ($store:ty, $engine:ident, write = $write_begin:literal) => {
        #[async_trait]
        impl AccessStore for $store {
            async fn access_version(&self) -> Result<i64, BookError> {
                let mut on = self.0.acquire().await?;
                steps::$engine::version(&mut on).await
            }

            async fn keys(&self) -> Result<Vec<KeyRecord>, BookError> {
                let mut on = self.0.acquire().await?;
                steps::$engine::keys(&mut on).await
            }

            async fn add_key(&self, key: &KeyRecord, caller: &str) -> Result<(), BookError> {
                let mut writing = self.0.begin_with($write_begin).await?;
                steps::$engine::add_key(&mut writing, key, caller).await?;
                writing.commit().await?;
                Ok(())
            }

            async fn revoke_key(
                &self,
                id: &str,
                at: DateTime<Utc>,
                caller: &str,
            ) -> Result<bool, BookError> {
                let mut writing = self.0.begin_with($write_begin).await?;
                if !steps::$engine::revoke_key(&mut writing, id, (caller, at)).await? {
                    return Ok(false);
                }
                writing.commit().await?;
                Ok(true)
            }

            async fn audit(&self, page: AuditPage<'_>) -> Result<Vec<AuditRow>, BookError> {
                let mut on = self.0.acquire().await?;
                steps::$engine::audit(&mut on, page).await
            }
        }
    };
}

access_on!(SqliteStore, sqlite, write = "BEGIN IMMEDIATE");
access_on!(
    PostgresStore,
    postgres,
    write = "BEGIN ISOLATION LEVEL READ COMMITTED"
);
