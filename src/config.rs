//! Every setting, read once; `crossfall --help` is their documentation.
//!
//! Invariants: flags win over the environment, the environment over defaults; a secret is a
//! `SecretString` and has a twin that names a file; a variable that begins with `CROSSFALL_` and is
//! no setting is an error. Absent: any setting that changes a figure of an estimate.

mod address;
mod lists;
mod parse;
mod shown;
mod stop;

use anyhow::{Context as _, bail, ensure};
use chrono::FixedOffset;
use clap::Args;
use ipnet::IpNet;
use secrecy::{ExposeSecret as _, SecretString};
use std::{
    ffi::OsString,
    net::SocketAddr,
    path::{Path, PathBuf},
    time::Duration,
};

pub use lists::Lists;
use parse::{parse_base_path, parse_block, parse_host, parse_log, parse_span, parse_time_zone};
pub use shown::show;
pub use stop::StopSettings;

/// What every variable of ours begins with.
const PREFIX: &str = "CROSSFALL_";

/// Settings of the running service.
#[derive(Args, Clone, Debug)]
pub struct Config {
    /// Address to listen on; port 0 asks the system for a free one
    #[arg(
        long,
        global = true,
        env = "CROSSFALL_LISTEN",
        default_value = "127.0.0.1:8080",
        value_name = "ADDRESS:PORT"
    )]
    pub listen: SocketAddr,

    /// Where the price book is kept: postgres://… or sqlite://…; by default an embedded file at
    /// $XDG_DATA_HOME/crossfall/book.db or ~/.local/share/crossfall/book.db
    #[arg(
        long,
        global = true,
        env = "CROSSFALL_DATABASE_URL",
        hide_env_values = true,
        value_name = "URL"
    )]
    pub database_url: Option<SecretString>,

    /// File that holds the database address, instead of CROSSFALL_DATABASE_URL
    #[arg(
        long,
        global = true,
        env = "CROSSFALL_DATABASE_URL_FILE",
        value_name = "FILE",
        conflicts_with = "database_url"
    )]
    pub database_url_file: Option<PathBuf>,

    /// Book that prices a job which names none
    #[arg(
        long,
        global = true,
        env = "CROSSFALL_DEFAULT_BOOK",
        default_value = "demo",
        value_name = "CODE"
    )]
    pub default_book: String,

    /// Folder with rule sets of the office's own, one TOML file each, which may extend those that come
    /// with the program
    #[arg(long, global = true, env = "CROSSFALL_RULES", value_name = "FOLDER")]
    pub rules: Option<PathBuf>,

    /// TOML file with what is a list: the forecasts that a job may name, the destinations of documents
    #[arg(long, global = true, env = "CROSSFALL_CONFIG", value_name = "FILE")]
    pub config: Option<PathBuf>,

    /// What to log: error, warn, info, debug, trace, or a list such as info,crossfall=debug
    #[arg(long, global = true, env = "CROSSFALL_LOG", default_value = "info", value_parser = parse_log, value_name = "FILTER")]
    pub log: String,

    /// Where today begins: UTC, or a fixed offset such as -05:00
    #[arg(long, global = true, env = "CROSSFALL_TIME_ZONE", default_value = "UTC", value_parser = parse_time_zone, allow_hyphen_values = true, value_name = "OFFSET")]
    pub time_zone: FixedOffset,

    /// File that holds the first key, of at least 20 characters; it may do everything
    #[arg(
        long,
        global = true,
        env = "CROSSFALL_FIRST_KEY_FILE",
        value_name = "FILE"
    )]
    pub first_key_file: Option<PathBuf>,

    /// Further names a loopback service answers to, separated by commas
    #[arg(long, global = true, env = "CROSSFALL_HOSTS", value_delimiter = ',', value_parser = parse_host, value_name = "NAME")]
    pub hosts: Vec<String>,

    /// Path below which everything is served, such as /ramps, for a proxy that passes it on
    #[arg(long, global = true, env = "CROSSFALL_BASE_PATH", default_value = "", value_parser = parse_base_path, value_name = "PATH")]
    pub base_path: String,

    /// Addresses of the proxies in front, or blocks of them, separated by commas; what they say of a caller's
    /// address is believed, and with any of them every call needs a key
    #[arg(long, global = true, env = "CROSSFALL_TRUSTED_PROXIES", value_delimiter = ',', value_parser = parse_block, value_name = "ADDRESS")]
    pub trusted_proxies: Vec<IpNet>,

    /// Address of its own for /metrics, which then asks for no key
    #[arg(
        long,
        global = true,
        env = "CROSSFALL_METRICS_LISTEN",
        value_name = "ADDRESS:PORT"
    )]
    pub metrics_listen: Option<SocketAddr>,

    /// How long prices and keys are trusted after the database was last read: 24h, 90m, 30s
    #[arg(long, global = true, env = "CROSSFALL_OFFLINE_LIMIT", default_value = "24h", value_parser = parse_span, value_name = "SPAN")]
    pub offline_limit: Duration,

    /// How a stop goes.
    #[command(flatten)]
    pub stop: StopSettings,
}

/// Where the price book is kept.
#[derive(Clone, Debug)]
pub enum Database {
    /// The embedded book, in a file whose folder may have to be made.
    File(PathBuf),
    /// A database named by the operator.
    Url(SecretString),
}

impl Config {
    /// Where the price book is kept.
    ///
    /// # Errors
    /// The file with the address cannot be read, or there is no home to put the default into.
    pub fn database(&self) -> anyhow::Result<Database> {
        let url = match (&self.database_url, &self.database_url_file) {
            (Some(url), _) => url.clone(),
            (None, Some(file)) => read_secret(file)?,
            (None, None) => return Ok(Database::File(default_book()?)),
        };
        let text = url.expose_secret();
        let known = ["sqlite:", "postgres://", "postgresql://"];
        ensure!(
            known.iter().any(|scheme| text.starts_with(scheme)),
            "the database address must begin with sqlite: or postgres://"
        );
        if !text.starts_with("sqlite:") {
            address::check(text)?;
        }
        Ok(Database::Url(url))
    }

    /// The lists of the operator's file; empty where none is named.
    ///
    /// # Errors
    /// The file cannot be read, or is not what it has to be.
    pub fn lists(&self) -> anyhow::Result<Lists> {
        Lists::read(self.config.as_deref())
    }

    /// The text of the first key, where one is given.
    ///
    /// # Errors
    /// The file cannot be read.
    pub fn first_key(&self) -> anyhow::Result<Option<SecretString>> {
        self.first_key_file.as_deref().map(read_secret).transpose()
    }
}

impl Database {
    /// The address by which a database library opens it.
    pub fn url(&self) -> SecretString {
        match self {
            // These three would end the path or be taken for an escape.
            Self::File(path) => {
                let path = path
                    .to_string_lossy()
                    .replace('%', "%25")
                    .replace('?', "%3F")
                    .replace('#', "%23");
                format!("sqlite://{path}").into()
            }
            Self::Url(url) => url.clone(),
        }
    }
}

/// Refuses a variable that begins with `CROSSFALL_` and is no setting of `command`.
///
/// # Errors
/// Names the variable and all that are known.
pub fn check_names(
    command: &clap::Command,
    names: impl Iterator<Item = OsString>,
) -> anyhow::Result<()> {
    let mut known: Vec<&str> = command
        .get_arguments()
        .filter_map(|arg| arg.get_env()?.to_str())
        .collect();
    known.sort_unstable();
    for name in names.map(|name| name.to_string_lossy().into_owned()) {
        if name.starts_with(PREFIX) && !known.contains(&name.as_str()) {
            bail!(
                "the variable {name} is no setting; known are {}",
                known.join(", ")
            );
        }
    }
    Ok(())
}

pub(crate) fn read_secret(file: &Path) -> anyhow::Result<SecretString> {
    let text =
        std::fs::read_to_string(file).with_context(|| format!("reading {}", file.display()))?;
    Ok(text.trim().to_owned().into())
}

fn default_book() -> anyhow::Result<PathBuf> {
    // A relative XDG_DATA_HOME must be ignored (XDG Base Directory Specification 0.8).
    let absolute = |name| {
        std::env::var_os(name)
            .map(PathBuf::from)
            .filter(|path| path.is_absolute())
    };
    let data = absolute("XDG_DATA_HOME")
        .or_else(|| absolute("HOME").map(|home| home.join(".local/share")));
    let data =
        data.context("there is no home folder for the price book: set CROSSFALL_DATABASE_URL")?;
    Ok(data.join("crossfall").join("book.db"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::{CommandFactory as _, Parser};

    #[derive(Debug, Parser)]
    struct Line {
        #[command(flatten)]
        config: Config,
    }

    fn read(words: &[&str]) -> Result<Config, clap::Error> {
        Line::try_parse_from(std::iter::once(&"crossfall").chain(words)).map(|line| line.config)
    }

    #[test]
    fn what_is_not_said_is_the_default() {
        let config = read(&["--time-zone", "-05:00"]).expect("reads");
        assert_eq!(config.time_zone.local_minus_utc(), -18_000);
        assert_eq!(config.offline_limit.as_secs(), 86_400);
        assert!(config.base_path.is_empty() && config.trusted_proxies.is_empty());
        assert_eq!(config.metrics_listen, None);
    }

    #[test]
    fn an_unknown_variable_is_named_with_the_known_ones() {
        let names = |name: &str| [OsString::from(name), "PATH".into()].into_iter();
        let command = Line::command();
        assert!(check_names(&command, names("CROSSFALL_LISTEN")).is_ok());
        assert!(check_names(&command, names("XCROSSFALL_LISTEN")).is_ok());
        let error = check_names(&command, names("CROSSFALL_LISTNE"))
            .expect_err("refused")
            .to_string();
        assert!(
            error.contains("CROSSFALL_LISTNE") && error.contains("CROSSFALL_TIME_ZONE"),
            "{error}"
        );
    }

    #[test]
    fn settings_that_cannot_hold_are_refused() {
        for words in [
            ["--listen", "localhost"],
            ["--log", "crossfall=loud"],
            ["--hosts", "http://ramp.example"],
            ["--hosts", "ramp.example:80"],
        ] {
            assert!(read(&words).is_err(), "{words:?}");
        }
        let hosts = read(&["--hosts", "a.example, b.example,[fd00::1]"])
            .expect("reads")
            .hosts;
        assert_eq!(hosts, ["a.example", "b.example", "[fd00::1]"]);
    }

    #[test]
    fn the_database_is_a_file_or_an_address_and_never_shown() {
        let config = read(&["--database-url", "postgres://u:hidden@db/x"]).expect("reads");
        assert!(!format!("{config:?}").contains("hidden"));
        assert!(matches!(config.database(), Ok(Database::Url(_))));
        assert!(
            read(&["--database-url", "mysql://x"])
                .expect("reads")
                .database()
                .is_err()
        );
        let file = Database::File("/a b/50%?.db".into());
        assert_eq!(file.url().expose_secret(), "sqlite:///a b/50%25%3F.db");
    }
}
