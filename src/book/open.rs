//! Connecting to the database that an address names, and bringing its tables up to date.
//!
//! Invariants: the address, which may hold a password, is in no error text; migrations only go
//! forward; statements are not logged, since a first start alone runs hundreds. Absent here: what is
//! stored, and where an embedded book should stand.

use super::{BookError, BookStore, PostgresStore, SqliteStore};
use sqlx::{
    AssertSqlSafe, ConnectOptions as _, Connection as _, Executor as _, SqliteConnection,
    postgres::{PgConnectOptions, PgListener, PgPool, PgPoolOptions},
    sqlite::{
        SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
    },
};
use std::{
    path::Path,
    str::FromStr,
    sync::{Arc, Weak},
    time::{Duration, Instant},
};
use tokio::sync::Notify;

/// How long a caller waits for a free connection.
const PATIENCE: Duration = Duration::from_secs(5);

/// How long a statement waits for another writer. With the wait for a connection before it, it must
/// stay below the ten seconds in which every call is answered.
const TURN: Duration = Duration::from_secs(4);

/// How long a start waits before it tries again to have the file for itself.
const PAUSE: Duration = Duration::from_millis(20);

/// Connections kept at most: estimates need none, so only the book's own pages and writes count.
const CONNECTIONS: u32 = 5;

/// Channel on which replicas tell one another of writes.
pub(super) const CHANNEL: &str = "crossfall_book";

/// Connects to `sqlite:…` or `postgres:…`, and brings the tables up to date.
///
/// # Errors
/// [`BookError::UnknownAddress`]; [`BookError::Unavailable`] when the database does not answer, the
/// address is malformed, or the tables were made by a newer version.
pub async fn open_store(address: &str) -> Result<Arc<dyn BookStore>, BookError> {
    match address.split(':').next() {
        Some("sqlite") => {
            // A database in memory belongs to its connection: there must be one, for ever.
            let in_memory = address.contains(":memory:") || address.contains("mode=memory");
            let connections = if in_memory { 1 } else { CONNECTIONS };
            open_sqlite(SqliteConnectOptions::from_str(address)?, connections).await
        }
        Some("postgres" | "postgresql") => open_postgres(address).await,
        _ => Err(BookError::UnknownAddress),
    }
}

/// Opens the embedded book in a file, which is made with its folder when it is not there.
///
/// # Errors
/// [`BookError::Unavailable`].
pub async fn open_file(file: &Path) -> Result<Arc<dyn BookStore>, BookError> {
    open_sqlite(SqliteConnectOptions::new().filename(file), CONNECTIONS).await
}

/// A file that is made holds wages, costs and hashes of keys: nobody but its owner reads it.
fn keep_to_owner(file: &Path) -> Result<(), BookError> {
    let name = file.to_string_lossy();
    // These are no files, but names of the library's own.
    if name.is_empty() || name.starts_with(':') || name.starts_with("file:") {
        return Ok(());
    }
    let mut made = std::fs::OpenOptions::new();
    made.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut made, 0o600);
    match made.open(file) {
        Err(error) if error.kind() != std::io::ErrorKind::AlreadyExists => {
            Err(BookError::Unavailable(Box::new(error)))
        }
        _ => Ok(()),
    }
}

async fn open_sqlite(
    options: SqliteConnectOptions,
    connections: u32,
) -> Result<Arc<dyn BookStore>, BookError> {
    if let Some(folder) = options.get_filename().parent() {
        std::fs::create_dir_all(folder).map_err(|error| BookError::Unavailable(Box::new(error)))?;
    }
    keep_to_owner(options.get_filename())?;
    let options = options
        .create_if_missing(true)
        .foreign_keys(true)
        .busy_timeout(TURN)
        .journal_mode(SqliteJournalMode::Wal)
        // Writes are rare, so each can afford to be on the disk before it is acknowledged.
        .synchronous(SqliteSynchronous::Full)
        .disable_statement_logging();
    let pool = connect_in_turn(&options, connections).await?;
    // One transaction around all of them, so that two first starts on one file take turns.
    let mut moving = pool.begin_with("BEGIN IMMEDIATE").await?;
    sqlx::migrate!("migrations/sqlite")
        .run(&mut *moving)
        .await?;
    moving.commit().await?;
    Ok(Arc::new(SqliteStore(pool)))
}

/// Connects, and tries again while another start holds the file: the first switch to a write-ahead
/// log needs the file for itself, and the database does not wait for that by itself.
async fn connect_in_turn(
    options: &SqliteConnectOptions,
    connections: u32,
) -> Result<SqlitePool, sqlx::Error> {
    let begun = Instant::now();
    loop {
        let connecting = SqlitePoolOptions::new()
            .max_connections(connections)
            .min_connections(1)
            .idle_timeout(None)
            .max_lifetime(None)
            .acquire_timeout(PATIENCE)
            .after_release(|on, _| Box::pin(is_usable(on)))
            .connect_with(options.clone());
        match connecting.await {
            Err(error) if is_busy(&error) && begun.elapsed() < PATIENCE => {
                tokio::time::sleep(PAUSE).await;
            }
            ended => return ended,
        }
    }
}

/// True when a connection that was given back can begin a transaction again. Where the disk is full
/// the database itself ends a transaction, the rollback that follows fails, and the connection
/// believes for ever that it is inside of one.
async fn is_usable(on: &mut SqliteConnection) -> Result<bool, sqlx::Error> {
    // Waits for the rollback of a transaction that was dropped.
    on.ping().await?;
    Ok(!on.is_in_transaction())
}

/// True when the file is held by another connection (SQLite's primary result code 5, SQLITE_BUSY).
fn is_busy(error: &sqlx::Error) -> bool {
    let code = error.as_database_error().and_then(|error| error.code());
    let number: Option<i32> = code.and_then(|code| code.parse().ok());
    number.is_some_and(|number| number & 0xff == 5)
}

async fn open_postgres(address: &str) -> Result<Arc<dyn BookStore>, BookError> {
    let options = PgConnectOptions::from_str(address)?.disable_statement_logging();
    let pool = PgPoolOptions::new()
        .max_connections(CONNECTIONS)
        .acquire_timeout(PATIENCE)
        .after_connect(|on, _| {
            // A writer that waits for another gives up in time to say so.
            let patience = format!("SET lock_timeout = {}", TURN.as_millis());
            Box::pin(async move { on.execute(AssertSqlSafe(patience)).await.map(drop) })
        })
        .connect_with(options)
        .await?;
    sqlx::migrate!("migrations/postgres").run(&pool).await?;
    let news = Arc::new(Notify::new());
    tokio::spawn(listen(pool.clone(), Arc::downgrade(&news)));
    Ok(Arc::new(PostgresStore(pool, news)))
}

/// Hears of what other replicas write, for as long as the store is used. Where the server has no
/// such thing, or is away, the regular look at the books goes on without it.
async fn listen(pool: PgPool, news: Weak<Notify>) {
    while news.strong_count() > 0 {
        // Whatever ends the listening, it begins again after a while.
        let _ = pass_on(&pool, &news).await;
        tokio::time::sleep(PATIENCE).await;
    }
}

async fn pass_on(pool: &PgPool, news: &Weak<Notify>) -> Result<(), sqlx::Error> {
    let mut listener = PgListener::connect_with(pool).await?;
    listener.listen(CHANNEL).await?;
    while listener.try_recv().await?.is_some() {
        let Some(news) = news.upgrade() else {
            break;
        };
        news.notify_one();
    }
    Ok(())
}
