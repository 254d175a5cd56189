//! The commands of the one binary.
//!
//! Invariants: standard output carries only what was asked for (the document, the address); the
//! one error a person sees is a line on standard error. Absent: settings, which `config` holds.

mod book;
mod keys;

use crate::{
    clients,
    config::{self, Config},
    http::{self, document},
    startup::{self, Service, reachable},
    telemetry,
};
use anyhow::{Context as _, ensure};
use clap::{CommandFactory as _, FromArgMatches as _, Parser, Subcommand};
use std::{
    io::{self, Write as _},
    process::ExitCode,
    time::Duration,
};

/// Longest wait of the health check; shorter than the usual interval of a container's check.
const HEALTH_WAIT: Duration = Duration::from_secs(3);

/// Judges, takes off, schedules and prices small concrete access ramps over HTTP.
#[derive(Debug, Parser)]
#[command(version, about)]
struct Line {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    config: Config,
    /// Print every setting as it holds and where it comes from, without secrets, and do nothing else
    #[arg(long, global = true)]
    print_config: bool,
}

/// What the operator asks for.
#[derive(Clone, Debug, Subcommand)]
enum Command {
    /// Answer requests until told to stop; this is also the default
    Serve,
    /// Print the OpenAPI document
    Openapi,
    /// Ask the service at the configured address whether it is ready; exit code 0 when it is
    Healthcheck,
    /// Make, list and revoke keys
    Keys {
        #[command(subcommand)]
        command: keys::Command,
    },
    /// Copy the whole price book: to another database, into a backup, from one
    Book {
        #[command(subcommand)]
        command: book::Command,
    },
    /// Bring the tables of the database up to date, and do nothing else
    Migrate,
}

/// Reads the command line and the environment, and does what they say.
pub async fn run() -> ExitCode {
    match obey().await {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            // Nothing can be said where standard error is closed.
            let _ = writeln!(io::stderr(), "crossfall: {}", told(&error));
            ExitCode::FAILURE
        }
    }
}

/// An error and what it comes from; a library often says the same again.
fn told(error: &anyhow::Error) -> String {
    let mut told = String::new();
    for cause in error.chain().map(ToString::to_string) {
        if !told.contains(&cause) {
            let mark = if told.is_empty() { "" } else { ": " };
            told += &format!("{mark}{cause}");
        }
    }
    told
}

async fn obey() -> anyhow::Result<()> {
    config::check_names(&Line::command(), std::env::vars_os().map(|(name, _)| name))?;
    let matches = Line::command().get_matches();
    let line = Line::from_arg_matches(&matches)?;
    if line.print_config {
        let shown = config::show(&Line::command(), &matches, &line.config)?;
        io::stdout().write_all(shown.as_bytes())?;
        return startup::check(&line.config).context("a start would fail");
    }
    match line.command.unwrap_or(Command::Serve) {
        Command::Serve => serve(line.config).await,
        Command::Openapi => {
            let text = document::print(&document::document(http::routes));
            Ok(io::stdout().write_all(text.as_bytes())?)
        }
        Command::Healthcheck => ask_ready(&line.config).await,
        Command::Keys { command } => keys::obey(command, &line.config).await,
        Command::Book { command } => book::obey(&command, &line.config).await,
        Command::Migrate => book::migrate(&line.config).await,
    }
}

async fn serve(config: Config) -> anyhow::Result<()> {
    let _telemetry = telemetry::start(&config.log)?;
    Service::build(config).await?.run().await
}

async fn ask_ready(config: &Config) -> anyhow::Result<()> {
    let url = format!(
        "http://{}{}/readyz",
        reachable(config.listen),
        config.base_path
    );
    let client = clients::client().timeout(HEALTH_WAIT).build()?;
    let answer = client.get(url).send().await?;
    ensure!(
        answer.status().is_success(),
        "not ready: {}",
        answer.status()
    );
    Ok(())
}
