//! Connecting to the database that an address names, and bringing its tables up to date.
//!
//! Invariants: the address, which may hold a password, is in no error text; migrations only go
//! forward. Absent here: what is stored, and where an embedded book should stand.

use super::{BookError, BookStore, PostgresStore, SqliteStore};
use sqlx::{
    postgres::{PgConnectOptions, PgPoolOptions},
    sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous},
};
use std::{str::FromStr, sync::Arc, time::Duration};

/// How long a statement waits for another writer, and a caller for a free connection.
const PATIENCE: Duration = Duration::from_secs(5);

/// Connections kept at most: estimates need none, so only the book's own pages and writes count.
const CONNECTIONS: u32 = 4;

/// Connects to `sqlite:…` or `postgres:…`, and brings the tables up to date.
///
/// # Errors
/// [`BookError::UnknownAddress`]; [`BookError::Unavailable`] when the database does not answer, the
/// address is malformed, or the tables were made by a newer version.
pub async fn open_store(address: &str) -> Result<Arc<dyn BookStore>, BookError> {
    match address.split(':').next() {
        Some("sqlite") => open_sqlite(address).await,
        Some("postgres" | "postgresql") => open_postgres(address).await,
        _ => Err(BookError::UnknownAddress),
    }
}

async fn open_sqlite(address: &str) -> Result<Arc<dyn BookStore>, BookError> {
    let options = SqliteConnectOptions::from_str(address)?
        .create_if_missing(true)
        .foreign_keys(true)
        .busy_timeout(PATIENCE)
        .journal_mode(SqliteJournalMode::Wal)
        // Writes are rare, so each can afford to be on the disk before it is acknowledged.
        .synchronous(SqliteSynchronous::Full);
    if let Some(folder) = options.get_filename().parent() {
        std::fs::create_dir_all(folder).map_err(|error| BookError::Unavailable(Box::new(error)))?;
    }
    // A database in memory belongs to its connection: there must be one, for ever.
    let in_memory = address.contains(":memory:") || address.contains("mode=memory");
    let pool = SqlitePoolOptions::new()
        .max_connections(if in_memory { 1 } else { CONNECTIONS })
        .min_connections(u32::from(in_memory))
        .idle_timeout(None)
        .max_lifetime(None)
        .acquire_timeout(PATIENCE)
        .connect_with(options)
        .await?;
    sqlx::migrate!("migrations/sqlite").run(&pool).await?;
    Ok(Arc::new(SqliteStore(pool)))
}

async fn open_postgres(address: &str) -> Result<Arc<dyn BookStore>, BookError> {
    let pool = PgPoolOptions::new()
        .max_connections(CONNECTIONS)
        .acquire_timeout(PATIENCE)
        .connect_with(PgConnectOptions::from_str(address)?)
        .await?;
    sqlx::migrate!("migrations/postgres").run(&pool).await?;
    Ok(Arc::new(PostgresStore(pool)))
}
