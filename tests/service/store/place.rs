//! A database of its own for one promise.

use crossfall::{
    book::{BookStore, Books, open_store},
    catalog::History,
};
use sqlx::{AssertSqlSafe, Connection as _, Executor as _, PgConnection, SqliteConnection};
use std::{
    path::PathBuf,
    sync::Arc,
    sync::atomic::{AtomicU32, Ordering},
};

static COUNT: AtomicU32 = AtomicU32::new(0);

/// A name that no other test of this machine has.
fn name() -> String {
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    format!("crossfall_test_{}_{count}", std::process::id())
}

enum Kind {
    Sqlite { folder: PathBuf },
    Postgres { server: String, name: String },
}

/// An empty database.
pub(crate) struct Place {
    pub(crate) address: String,
    kind: Kind,
}

impl Place {
    pub(crate) fn sqlite() -> Self {
        let folder = std::env::temp_dir().join(name());
        let address = format!("sqlite:{}/inner/book.db", folder.display());
        Self {
            address,
            kind: Kind::Sqlite { folder },
        }
    }

    pub(crate) async fn postgres() -> Self {
        let server = std::env::var("CROSSFALL_TEST_POSTGRES").expect(
            "CROSSFALL_TEST_POSTGRES names a Postgres server; `.ci/postgres start` makes one",
        );
        let name = name();
        let mut admin = PgConnection::connect(&server)
            .await
            .expect("the server answers");
        let make = format!("CREATE DATABASE {name}");
        admin
            .execute(AssertSqlSafe(make))
            .await
            .expect("a database is made");
        let (base, _) = server
            .rsplit_once('/')
            .expect("the address ends with a database");
        Self {
            address: format!("{base}/{name}"),
            kind: Kind::Postgres { server, name },
        }
    }

    /// True where it is a server that many may use.
    pub(crate) fn is_shared(&self) -> bool {
        matches!(self.kind, Kind::Postgres { .. })
    }

    /// A store on it.
    pub(crate) async fn store(&self) -> Arc<dyn BookStore> {
        open_store(&self.address).await.expect("the store opens")
    }

    /// Books as a first or a later start opens them.
    pub(crate) async fn books(&self) -> Books {
        Books::open(&self.address).await.expect("the books open")
    }

    /// The demo book as the database has it.
    pub(crate) async fn demo(&self) -> History {
        self.store()
            .await
            .load("demo", None)
            .await
            .expect("the demo book is there")
    }

    /// Runs a statement behind the store's back.
    pub(crate) async fn run(&self, statement: String) -> Result<u64, sqlx::Error> {
        let statement = AssertSqlSafe(statement);
        match &self.kind {
            Kind::Sqlite { .. } => {
                let mut on = SqliteConnection::connect(&self.address).await?;
                Ok(on.execute(statement).await?.rows_affected())
            }
            Kind::Postgres { .. } => {
                let mut on = PgConnection::connect(&self.address).await?;
                Ok(on.execute(statement).await?.rows_affected())
            }
        }
    }

    /// The texts that a question behind the store's back gives, a row each.
    pub(crate) async fn texts(&self, question: &str) -> Vec<String> {
        let question = AssertSqlSafe(question.to_owned());
        let found = match &self.kind {
            Kind::Sqlite { .. } => {
                let mut on = SqliteConnection::connect(&self.address)
                    .await
                    .expect("it opens");
                sqlx::query_scalar(question).fetch_all(&mut on).await
            }
            Kind::Postgres { .. } => {
                let mut on = PgConnection::connect(&self.address)
                    .await
                    .expect("it opens");
                sqlx::query_scalar(question).fetch_all(&mut on).await
            }
        };
        found.expect("it answers")
    }

    /// Another empty database of the same kind.
    pub(crate) async fn another(&self) -> Self {
        match self.kind {
            Kind::Sqlite { .. } => Self::sqlite(),
            Kind::Postgres { .. } => Self::postgres().await,
        }
    }

    /// Holds the demo book to what must be true after any promise, then removes the database.
    pub(crate) async fn check_and_remove(self) {
        let demo = self.demo().await;
        let numbers: Vec<i64> = demo
            .revisions()
            .iter()
            .map(|revision| revision.number)
            .collect();
        assert_eq!(
            numbers,
            (1..=demo.latest()).collect::<Vec<_>>(),
            "revisions count without a gap"
        );
        self.remove().await;
    }

    /// Removes the database.
    pub(crate) async fn remove(self) {
        match self.kind {
            Kind::Sqlite { folder } => {
                std::fs::remove_dir_all(folder).expect("the folder is removed");
            }
            Kind::Postgres { server, name } => {
                let mut admin = PgConnection::connect(&server)
                    .await
                    .expect("the server answers");
                let drop = format!("DROP DATABASE {name} WITH (FORCE)");
                admin
                    .execute(AssertSqlSafe(drop))
                    .await
                    .expect("the database is removed");
            }
        }
    }
}
