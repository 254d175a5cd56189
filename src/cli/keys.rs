//! Making, listing and revoking keys.
//!
//! Invariants: a key is shown once, alone on its line, when it is made; a list never shows a key or
//! its hash; every change is in the audit as made by the command line. Absent: changing a key.

use crate::{
    book::{KeyRecord, NewKey, Role},
    config::Config,
    startup::open_database,
};
use anyhow::ensure;
use chrono::{DateTime, SubsecRound as _, Utc};
use clap::{Args, Subcommand};
use secrecy::ExposeSecret as _;
use std::io::{self, Write as _};

/// Who makes changes here, as the audit names it.
const CALLER: &str = "command line";

/// Longest name of a key, in characters.
const LONGEST_NAME: usize = 64;

/// What is done with keys.
#[derive(Clone, Debug, Subcommand)]
pub(super) enum Command {
    /// Make a key: it is printed once, and its id goes to standard error
    Add(Add),
    /// List every key that was ever made
    List,
    /// Revoke a key for good
    Revoke {
        /// Id of the key, as `keys list` shows it
        id: String,
    },
}

/// What a new key is to be.
#[derive(Args, Clone, Debug)]
pub(super) struct Add {
    /// Whose key it is: 1 to 64 characters
    #[arg(long, value_parser = parse_name)]
    name: String,
    /// What it opens: cell, estimate, prices, deliver or admin
    #[arg(long, value_parser = parse_role)]
    role: Role,
    /// Calls a minute, in place of the role's rate; also the most at once
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    per_minute: Option<u32>,
}

/// Does what was asked.
pub(super) async fn obey(command: Command, config: &Config) -> anyhow::Result<()> {
    match command {
        Command::Add(add) => add_key(add, config).await,
        Command::List => {
            let keys = open_database(config).await?.keys().await?;
            Ok(io::stdout().write_all(table(&keys).as_bytes())?)
        }
        Command::Revoke { id } => {
            let store = open_database(config).await?;
            let revoked = store.revoke_key(&id, now(), CALLER).await?;
            ensure!(revoked, "there is no key `{id}`, or it is revoked already");
            Ok(())
        }
    }
}

async fn add_key(add: Add, config: &Config) -> anyhow::Result<()> {
    let store = open_database(config).await?;
    let new = NewKey {
        name: add.name,
        role: add.role,
        per_minute: add.per_minute,
    };
    let (record, text) = new.make()?;
    store.add_key(&record, CALLER).await?;
    writeln!(io::stderr(), "id {}", record.id)?;
    Ok(writeln!(io::stdout(), "{}", text.expose_secret())?)
}

fn now() -> DateTime<Utc> {
    Utc::now().trunc_subsecs(3)
}

/// One line a key, below a heading; the name comes last, since it may hold anything.
fn table(keys: &[KeyRecord]) -> String {
    let mut text = line(["id", "role", "a minute", "made", "revoked", "name"]);
    for key in keys {
        let per_minute = key.per_minute.map(|number| number.to_string());
        let revoked = key.revoked_at.map(show_instant);
        text += &line([
            &key.id,
            key.role.word(),
            per_minute.as_deref().unwrap_or("-"),
            &show_instant(key.made_at),
            revoked.as_deref().unwrap_or("-"),
            &key.name,
        ]);
    }
    text
}

fn line([id, role, rate, made, revoked, name]: [&str; 6]) -> String {
    format!("{id:<12}  {role:<8}  {rate:>8}  {made:<20}  {revoked:<20}  {name}\n")
}

fn show_instant(instant: DateTime<Utc>) -> String {
    instant.format("%Y-%m-%dT%H:%M:%SZ").to_string()
}

fn parse_role(text: &str) -> Result<Role, String> {
    let refused = || {
        let words = Role::ALL.map(Role::word).join(", ");
        format!("the roles are {words}")
    };
    Role::from_word(text).ok_or_else(refused)
}

fn parse_name(text: &str) -> Result<String, String> {
    let name = text.trim();
    let length = name.chars().count();
    if !(1..=LONGEST_NAME).contains(&length) || name.chars().any(char::is_control) {
        return Err(format!(
            "a name has 1 to {LONGEST_NAME} characters, on one line"
        ));
    }
    Ok(name.to_owned())
}
