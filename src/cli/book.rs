//! `crossfall book`: the whole database into an empty one, for a move, a backup, a restore.
//!
//! Invariants: the source is never changed; the target is filled whole or not at all, and read back
//! before anything is said. Absent: SQL, and any address in what is printed.

use crate::{
    book::{
        Books, Contents, DEMO_BOOK, Guard, Signature, Written, copy_all, demo_since, open_file,
        open_store,
    },
    config::{self, Config},
    startup::open_database,
};
use anyhow::{Context as _, ensure};
use secrecy::{ExposeSecret as _, SecretString};
use std::{
    io::{self, Write as _},
    path::{Path, PathBuf},
};

/// What is done with the whole book.
#[derive(Clone, Debug, clap::Subcommand)]
pub(super) enum Command {
    /// Copy everything from the configured database into another, which must be empty
    Move {
        /// Address of the other: postgres://… or sqlite://…
        #[arg(long, value_name = "URL", required_unless_present = "to_file")]
        to: Option<SecretString>,
        /// File that holds the address of the other
        #[arg(long, value_name = "FILE", conflicts_with = "to")]
        to_file: Option<PathBuf>,
    },
    /// Copy everything into a new file
    Backup {
        /// The file to be made
        file: PathBuf,
    },
    /// Copy everything from a backup into the configured database, which must be empty
    Restore {
        /// A file that `book backup` made
        file: PathBuf,
    },
    /// Add to the demo book what came with this program and is not in it yet; what is there stays
    ExtendDemo,
}

/// Does it, and says what was carried.
pub(super) async fn obey(command: &Command, config: &Config) -> anyhow::Result<()> {
    let contents = match command {
        Command::Move { to, to_file } => {
            let to = target(to.as_ref(), to_file.as_deref())?;
            let from = open_database(config).await?;
            let to = open_store(to.expose_secret())
                .await
                .context("opening the target")?;
            copy_all(&*from, &*to).await?
        }
        Command::Backup { file } => {
            ensure!(!file.exists(), "{} is there already", file.display());
            let from = open_database(config).await?;
            let to = open_file(file).await.context("making the backup")?;
            let copied = copy_all(&*from, &*to).await?;
            to.close().await;
            copied
        }
        Command::Restore { file } => {
            ensure!(file.exists(), "{} is not there", file.display());
            let from = open_file(file).await.context("opening the backup")?;
            let to = open_database(config).await?;
            copy_all(&*from, &*to).await?
        }
        Command::ExtendDemo => return extend_demo(config).await,
    };
    Ok(tell(&contents)?)
}

/// Adds to the demo book what this program brings with it.
async fn extend_demo(config: &Config) -> anyhow::Result<()> {
    let books = Books::on(open_database(config).await?).await?;
    let known = books.book(Some(DEMO_BOOK))?;
    let change = demo_since(&known)?;
    if change.is_empty() {
        return Ok(writeln!(io::stdout(), "nothing is missing in it")?);
    }
    let by = Signature {
        caller: "command line".to_owned(),
        action: "book.extend",
        target: DEMO_BOOK.to_owned(),
        request: None,
    };
    let written = Written {
        change: &change,
        guard: Some(&Guard::Book(known.latest())),
        by: &by,
        keep: None,
    };
    let made = books.append(DEMO_BOOK, written).await?;
    let (items, revision) = (change.items.len(), made.revision);
    Ok(writeln!(
        io::stdout(),
        "{items} items were added to it, in revision {revision}"
    )?)
}

/// Brings the tables of the configured database up to date.
pub(super) async fn migrate(config: &Config) -> anyhow::Result<()> {
    open_database(config).await?;
    Ok(writeln!(io::stdout(), "the tables are up to date")?)
}

fn target(url: Option<&SecretString>, file: Option<&Path>) -> anyhow::Result<SecretString> {
    match (url, file) {
        (Some(url), _) => Ok(url.clone()),
        (None, Some(file)) => config::read_secret(file),
        (None, None) => anyhow::bail!("say where to with --to or --to-file"),
    }
}

fn tell(contents: &[Contents]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    for table in contents {
        writeln!(out, "{}: {}", table.table, table.count())?;
    }
    writeln!(out, "copied whole, and read back the same")
}
