//! The store on SQLite and on Postgres, from one body.
//!
//! Invariants: both run the same statements in the same order; they differ in how a transaction
//! begins and in nothing else. Absent here: connecting, and the snapshot.

use super::{Append, BookError, BookStore, read, sql, write};
use crate::catalog::{Change, Head, History};
use async_trait::async_trait;
use chrono::{DateTime, Utc};

/// A pool on one SQLite file.
#[derive(Clone, Debug)]
pub struct SqliteStore(pub(super) sqlx::SqlitePool);

/// A pool on a Postgres server.
#[derive(Clone, Debug)]
pub struct PostgresStore(pub(super) sqlx::PgPool);

/// Writes the same store for each pool.
macro_rules! store_on {
    ($store:ty, $engine:ident, read = $read_begin:literal, write = $write_begin:literal) => {
        #[async_trait]
        impl BookStore for $store {
            async fn heads(&self) -> Result<Vec<(String, i64)>, BookError> {
                Ok(sqlx::query_as(sql::HEADS).fetch_all(&self.0).await?)
            }

            async fn load(&self, book: &str) -> Result<History, BookError> {
                let mut reading = self.0.begin_with($read_begin).await?;
                let history = read::$engine::load(&mut reading, book).await?;
                reading.commit().await?;
                Ok(history)
            }

            async fn create(
                &self,
                head: &Head,
                made_at: DateTime<Utc>,
                first: &Change,
            ) -> Result<bool, BookError> {
                let mut writing = self.0.begin_with($write_begin).await?;
                if !write::$engine::add_book(&mut writing, head).await? {
                    return Ok(false);
                }
                let append = Append {
                    book: &head.code,
                    made_at,
                    change: first,
                    guard: None,
                };
                write::$engine::append(&mut writing, append).await?;
                writing.commit().await?;
                Ok(true)
            }

            async fn append(&self, append: Append<'_>) -> Result<i64, BookError> {
                let mut writing = self.0.begin_with($write_begin).await?;
                let revision = write::$engine::append(&mut writing, append).await?;
                writing.commit().await?;
                Ok(revision)
            }
        }
    };
}

store_on!(
    SqliteStore,
    sqlite,
    read = "BEGIN",
    write = "BEGIN IMMEDIATE"
);
store_on!(
    PostgresStore,
    postgres,
    read = "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
    write = "BEGIN ISOLATION LEVEL READ COMMITTED"
);
