//! Puts the service together and runs it: the only place that knows every room.
//!
//! Invariants: all that can fail fails in [`Service::build`], before the first request; beyond
//! loopback nothing starts without a key; the address goes to standard output on one line. Absent:
//! how it stops (`stopping`), arithmetic, SQL.

mod counters;
mod door;
mod observed;
mod peer;
mod serving;
mod stopping;

use crate::{
    book::{BookStore, Books, DEMO_BOOK, KeyRing, demo_since, open_file, open_store},
    clients::{delivery::Destinations, forecast::Forecasts},
    config::{Config, Database},
    http::{
        self, Surroundings, base_path::BasePath, bounds::Bounds, gate::Gate, health::Readiness,
        keys::Keys, load::Load, metrics::Place, origin::Hosts, proxies::Proxies, today::Today,
    },
    local_rules,
    meter::Meter,
};
use actix_web::dev::Server;
use anyhow::{Context as _, anyhow, ensure};
use chrono::{FixedOffset, Utc};
use door::Door;
use observed::Watched;
use secrecy::ExposeSecret as _;
use std::{
    io::{self, Write as _},
    net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr, TcpListener},
    sync::Arc,
    time::Duration,
};
use stopping::{StopSignals, Stopping};

/// Between two looks at what others have written: prices, and keys.
const PAUSE: Duration = Duration::from_millis(500);

/// A bound service that does not answer yet.
pub struct Service {
    /// Where it listens; the real port, even when the setting says 0.
    pub address: SocketAddr,
    /// Where the counters are read, where they have an address of their own.
    pub counters: Option<SocketAddr>,
    server: Server,
    stopping: Stopping,
}

impl Service {
    /// Reads keys, opens the store and binds.
    ///
    /// # Errors
    /// A key that cannot serve, no key beyond loopback, a store that cannot be opened, an address
    /// that is taken.
    pub async fn build(config: Config) -> anyhow::Result<Self> {
        Self::build_within(config, Bounds::default()).await
    }

    /// The same with other bounds of what is borne.
    ///
    /// # Errors
    /// As [`Service::build`].
    pub async fn build_within(config: Config, bounds: Bounds) -> anyhow::Result<Self> {
        let keys = first_key(&config)?;
        let rules = local_rules::read(config.rules.as_deref())?;
        let forecasts = forecasts(&config)?;
        let destinations = destinations(&config)?;
        let store = open_database(&config).await?;
        let ring = Arc::new(KeyRing::open(store.clone()).await?);
        let gate = build_gate(&config, keys.and_kept(ring.clone(), config.offline_limit))?;
        let books = open_books(&config, store.clone()).await?;
        let load = Arc::new(Load::within(bounds));
        let watched = Watched {
            books: books.clone(),
            ring: ring.clone(),
            load: load.clone(),
            offline_limit: config.offline_limit,
        };
        let readiness = Readiness::new(watched.probe(&config)?);
        let meter = Arc::new(watched.meter(&readiness));
        keep_fresh(&books, ring);
        let today = today(config.time_zone);
        let surroundings = Surroundings::new(http::routes, gate, readiness.clone(), today)
            .with_rules(rules)
            .with_books(books)
            .with_forecasts(forecasts)
            .with_destinations(destinations)
            .with_access(store)
            .below(BasePath::new(&config.base_path))
            .behind(Proxies::within(&config.trusted_proxies))
            .counted_by(meter.clone(), place(&config))
            .bearing(load.clone());
        let counters = serve_counters(&config, meter.clone())?;
        let listener = listen(&config)?;
        let address = listener.local_addr()?;
        let door = Door::of(&listener, load)?;
        let server = serving::serve(listener, surroundings, config.stop.limit)?;
        let stopping = Stopping {
            readiness,
            meter,
            server: server.handle(),
            door,
            times: config.stop,
        };
        Ok(Self {
            address,
            counters,
            server,
            stopping,
        })
    }

    /// Announces the address and serves until told to stop.
    ///
    /// # Errors
    /// The signals cannot be watched, or the server fails.
    pub async fn run(self) -> anyhow::Result<()> {
        let signals = StopSignals::watch().context("watching for signals")?;
        announce(self.address);
        tokio::select! {
            outcome = self.server => Ok(outcome?),
            // What is left of the server then ends with the process.
            () = self.stopping.on_signal(signals) => Ok(()),
        }
    }
}

/// The books in memory, with the one that prices a job which names none.
async fn open_books(config: &Config, store: Arc<dyn BookStore>) -> anyhow::Result<Arc<Books>> {
    let books = Books::on(store).await?.by_default(&config.default_book);
    tell_of_demo(&books);
    if books.book(None).is_err() {
        let book = config.default_book.as_str();
        tracing::warn!(
            book,
            "the book of CROSSFALL_DEFAULT_BOOK is not there: a job that names none is refused until it is made"
        );
    }
    Ok(Arc::new(books))
}

/// Looks at what others write, as long as the process stands.
fn keep_fresh(books: &Arc<Books>, ring: Arc<KeyRing>) {
    actix_web::rt::spawn(books.clone().keep_fresh(PAUSE));
    actix_web::rt::spawn(ring.keep_fresh(PAUSE));
}

fn listen(config: &Config) -> anyhow::Result<TcpListener> {
    serving::listen(config.listen).with_context(|| format!("listening on {}", config.listen))
}

/// The counters, where they have an address of their own.
fn serve_counters(config: &Config, meter: Arc<Meter>) -> anyhow::Result<Option<SocketAddr>> {
    let own = config.metrics_listen;
    own.map(|listen| counters::serve(listen, hosts(config, listen), meter))
        .transpose()
}

/// Where a listening address can be reached from the same machine.
pub fn reachable(listen: SocketAddr) -> SocketAddr {
    let ip = match listen.ip() {
        IpAddr::V4(ip) if ip.is_unspecified() => Ipv4Addr::LOCALHOST.into(),
        IpAddr::V6(ip) if ip.is_unspecified() => Ipv6Addr::LOCALHOST.into(),
        named => named,
    };
    SocketAddr::new(ip, listen.port())
}

/// Opens the price book's database; the one place where the store comes into being.
///
/// # Errors
/// The settings name none, or it cannot be opened.
pub async fn open_database(config: &Config) -> anyhow::Result<Arc<dyn BookStore>> {
    let opened = match config.database()? {
        Database::File(file) => open_file(&file).await,
        Database::Url(url) => open_store(url.expose_secret()).await,
    };
    opened.with_context(|| format!("opening the price book, {}", config.place()))
}

/// What a start looks at before it opens the price book.
///
/// # Errors
/// As those of a start.
pub fn check(config: &Config) -> anyhow::Result<()> {
    first_key(config)?;
    local_rules::read(config.rules.as_deref())?;
    forecasts(config)?;
    destinations(config)?;
    config.database().map(drop)
}

/// Says where the demo book is older than the program: a new line of a takeoff would have no price.
fn tell_of_demo(books: &Books) {
    let Ok(known) = books.book(Some(DEMO_BOOK)) else {
        return;
    };
    let lacking = demo_since(&known).map_or(0, |change| change.items.len());
    if lacking > 0 {
        tracing::warn!(
            items = lacking,
            "the demo book is older than the program; `crossfall book extend-demo` adds what it lacks"
        );
    }
}

/// The operator's first key, where one is given.
fn first_key(config: &Config) -> anyhow::Result<Keys> {
    Ok(match config.first_key()? {
        Some(text) => Keys::with_first(text.expose_secret())?,
        None => Keys::default(),
    })
}

fn build_gate(config: &Config, keys: Keys) -> anyhow::Result<Gate> {
    let hosts = hosts(config, config.listen);
    if config.listen.ip().is_loopback() && config.trusted_proxies.is_empty() {
        return Ok(Gate::new(keys, hosts));
    }
    ensure!(
        keys.any(),
        "beyond loopback and behind a proxy a key is needed: make one with `crossfall keys add`, or name a file with one in CROSSFALL_FIRST_KEY_FILE"
    );
    Ok(Gate::new(keys.always_asked(), hosts))
}

/// The names by which an address answers.
fn hosts(config: &Config, listen: SocketAddr) -> Hosts {
    match listen.ip().is_loopback() {
        true => Hosts::loopback_and(&config.hosts),
        false => Hosts::any(),
    }
}

fn place(config: &Config) -> Place {
    match config.metrics_listen {
        Some(_) => Place::Elsewhere,
        None => Place::Here,
    }
}

/// Those that the operator has set; every one that cannot be is named.
fn forecasts(config: &Config) -> anyhow::Result<Forecasts> {
    let set = config.lists()?.forecasts;
    Forecasts::of(set, config.time_zone).map_err(|faults| anyhow!(faults.join("; ")))
}

/// Those that the operator has set; every one that cannot be is named.
fn destinations(config: &Config) -> anyhow::Result<Destinations> {
    let set = config.lists()?.destinations;
    Destinations::of(set).map_err(|faults| anyhow!(faults.join("; ")))
}

fn today(zone: FixedOffset) -> Today {
    Today::new(move || Utc::now().with_timezone(&zone).date_naive())
}

/// Tells a program that started us where we listen. It may have closed our output: no matter.
fn announce(address: SocketAddr) {
    let mut out = io::stdout().lock();
    let _ = writeln!(out, "listening on http://{address}").and_then(|()| out.flush());
    tracing::info!(%address, "listening");
}
