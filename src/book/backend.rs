//! The store on SQLite and on Postgres, from one body.
//!
//! Invariants: both run the same statements in the same order; they differ in how a transaction
//! begins and in nothing else. Absent here: connecting, and the snapshot.

use super::{
    Append, BookError, BookStore, Claim, Claimed, Connections, Keep, Made, read, sql, write,
};
use crate::catalog::{Head, History};
use async_trait::async_trait;
use std::sync::Arc;
use tokio::sync::Notify;

/// A pool on one SQLite file.
#[derive(Clone, Debug)]
pub struct SqliteStore(pub(super) sqlx::SqlitePool);

/// A pool on a Postgres server, and word of what other replicas wrote.
#[derive(Clone, Debug)]
pub struct PostgresStore(pub(super) sqlx::PgPool, pub(super) Arc<Notify>);

impl SqliteStore {
    /// One file has one process.
    async fn tell(&self) {}

    async fn hear(&self) {
        std::future::pending().await
    }
}

impl PostgresStore {
    /// Tells other replicas that something was written. It is written whether they hear it or not,
    /// and they look by themselves twice a second.
    async fn tell(&self) {
        let told = sqlx::query(sql::TELL).bind(super::open::CHANNEL);
        if let Err(error) = told.execute(&self.0).await {
            tracing::debug!(%error, "other replicas were not told");
        }
    }

    async fn hear(&self) {
        self.1.notified().await;
    }
}

/// Writes the same store for each pool.
macro_rules! store_on {
    ($store:ty, $engine:ident, read = $read_begin:literal, write = $write_begin:literal) => {
        #[async_trait]
        impl BookStore for $store {
            async fn heads(&self) -> Result<Vec<(String, i64)>, BookError> {
                Ok(sqlx::query_as(sql::HEADS).fetch_all(&self.0).await?)
            }

            async fn load(
                &self,
                book: &str,
                known: Option<&History>,
            ) -> Result<History, BookError> {
                let mut reading = self.0.begin_with($read_begin).await?;
                let history = read::$engine::load(&mut reading, book, known).await?;
                reading.commit().await?;
                Ok(history)
            }

            async fn create(
                &self,
                head: &Head,
                first: Append<'_>,
            ) -> Result<Option<Made>, BookError> {
                let mut writing = self.0.begin_with($write_begin).await?;
                if !write::$engine::add_book(&mut writing, head).await? {
                    return Ok(None);
                }
                let made = write::$engine::append(&mut writing, first).await?;
                writing.commit().await?;
                self.tell().await;
                Ok(Some(made))
            }

            async fn append(&self, append: Append<'_>) -> Result<Made, BookError> {
                let mut writing = self.0.begin_with($write_begin).await?;
                let made = write::$engine::append(&mut writing, append).await?;
                writing.commit().await?;
                self.tell().await;
                Ok(made)
            }

            fn connections(&self) -> Connections {
                Connections {
                    open: self.0.size().try_into().unwrap_or(usize::MAX),
                    idle: self.0.num_idle(),
                    most: self
                        .0
                        .options()
                        .get_max_connections()
                        .try_into()
                        .unwrap_or(usize::MAX),
                }
            }

            async fn changed(&self) {
                self.hear().await;
            }

            async fn claim(&self, claim: Claim<'_>) -> Result<Claimed, BookError> {
                let mut writing = self.0.begin_with($write_begin).await?;
                let claimed = write::$engine::claim(&mut writing, claim).await?;
                writing.commit().await?;
                Ok(claimed)
            }

            async fn keep(&self, keep: &Keep) -> Result<(), BookError> {
                let mut writing = self.0.begin_with($write_begin).await?;
                write::$engine::keep(&mut writing, keep).await?;
                Ok(writing.commit().await?)
            }

            async fn release(&self, claim: Claim<'_>) -> Result<(), BookError> {
                let mut writing = self.0.begin_with($write_begin).await?;
                write::$engine::release(&mut writing, claim).await?;
                Ok(writing.commit().await?)
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
    // A writer in line waits for two locks in turn, and `lock_timeout` counts each by itself; a
    // statement that takes longer than another writer may be waited for ends the write in time.
    write = "BEGIN ISOLATION LEVEL READ COMMITTED; SET LOCAL statement_timeout = 4000"
);
