//! What others know and the meter tells: read when it is asked for, from memory.
//!
//! Invariant: nothing here touches a database. Absent: where it is read.

use super::tell::Tell;
use crate::book::Connections;
use prometheus_client::{
    collector::Collector, encoding::DescriptorEncoder, metrics::counter::ConstCounter,
    metrics::gauge::ConstGauge,
};
use std::{fmt, sync::Arc, time::Duration};

/// One price book.
#[derive(Clone, Debug)]
pub struct BookState {
    /// Its code.
    pub code: String,
    /// Its newest revision.
    pub revision: i64,
    /// Items that it holds itself.
    pub items: usize,
}

/// How much there is to do, and what was turned away for that.
#[derive(Clone, Copy, Debug, Default)]
pub struct LoadState {
    /// Connections that stand.
    pub connections: usize,
    /// Bytes of bodies in memory.
    pub body_bytes: usize,
    /// Bytes of answers in memory that were not taken yet.
    pub answer_bytes: usize,
    /// Calls turned away.
    pub shed: u64,
    /// Connections closed because nothing of an answer was taken.
    pub cut_off: u64,
    /// How late a worker was, at the worst of the last one to two minutes.
    pub late: Duration,
}

/// What is read anew each time.
#[derive(Clone, Debug, Default)]
pub struct Observed {
    /// True while `/readyz` says yes.
    pub ready: bool,
    /// The price books in memory.
    pub books: Vec<BookState>,
    /// Since the books in memory were last seen to be the database's.
    pub books_age: Duration,
    /// Since the keys in memory were.
    pub keys_age: Duration,
    /// Connections to the database.
    pub connections: Connections,
    /// What there is to do.
    pub load: LoadState,
}

/// Tells what is observed.
pub(super) struct Seen(Arc<dyn Fn() -> Observed + Send + Sync>);

impl Seen {
    pub(super) fn by(observe: impl Fn() -> Observed + Send + Sync + 'static) -> Self {
        Self(Arc::new(observe))
    }
}

impl fmt::Debug for Seen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Seen").finish_non_exhaustive()
    }
}

impl Collector for Seen {
    fn encode(&self, encoder: DescriptorEncoder<'_>) -> fmt::Result {
        let seen = (self.0)();
        let mut tell = Tell(encoder);
        tell.gauge(
            ("crossfall_ready", "1 while /readyz says yes"),
            ConstGauge::new(i64::from(seen.ready)),
        )?;
        tell.gauge(
            (
                "crossfall_price_books_age_seconds",
                "Since the prices in memory were last seen to be the database's",
            ),
            ConstGauge::new(seen.books_age.as_secs_f64()),
        )?;
        tell.gauge(
            (
                "crossfall_keys_age_seconds",
                "Since the keys in memory were last seen to be the database's",
            ),
            ConstGauge::new(seen.keys_age.as_secs_f64()),
        )?;
        tell_books(&mut tell, &seen.books)?;
        tell_connections(&mut tell, seen.connections)?;
        tell_load(&mut tell, seen.load)
    }
}

fn tell_books(tell: &mut Tell<'_>, books: &[BookState]) -> fmt::Result {
    let revisions = books
        .iter()
        .map(|book| ([("book", book.code.as_str())], count(book.revision)));
    tell.gauges(
        (
            "crossfall_price_book_revision",
            "Newest revision of a price book in memory",
        ),
        revisions,
    )?;
    let items = books
        .iter()
        .map(|book| ([("book", book.code.as_str())], count(book.items)));
    tell.gauges(
        (
            "crossfall_price_book_items",
            "Items that a price book in memory holds itself",
        ),
        items,
    )
}

fn tell_connections(tell: &mut Tell<'_>, connections: Connections) -> fmt::Result {
    let used = connections.open.saturating_sub(connections.idle);
    let states = [("idle", connections.idle), ("used", used)];
    tell.gauges(
        (
            "crossfall_database_connections",
            "Open connections to the database",
        ),
        states
            .into_iter()
            .map(|(state, number)| ([("state", state)], count(number))),
    )?;
    tell.gauge(
        (
            "crossfall_database_connections_max",
            "Most connections that are opened to the database",
        ),
        ConstGauge::new(count(connections.most)),
    )
}

fn tell_load(tell: &mut Tell<'_>, load: LoadState) -> fmt::Result {
    tell.gauge(
        ("crossfall_connections", "Connections of callers"),
        ConstGauge::new(count(load.connections)),
    )?;
    let held = [("bodies", load.body_bytes), ("answers", load.answer_bytes)];
    tell.gauges(
        (
            "crossfall_held_bytes",
            "Bodies that are read, and answers that their callers have not taken",
        ),
        held.into_iter()
            .map(|(what, bytes)| ([("what", what)], count(bytes))),
    )?;
    tell.gauge(
        (
            "crossfall_worker_lateness_seconds",
            "How late a worker came to what was due, at the worst of the last one to two minutes",
        ),
        ConstGauge::new(load.late.as_secs_f64()),
    )?;
    tell.counter(
        (
            "crossfall_calls_shed",
            "Calls that were turned away because there was too much to do",
        ),
        ConstCounter::new(load.shed),
    )?;
    tell.counter(
        (
            "crossfall_connections_cut_off",
            "Connections closed because their caller took nothing of an answer",
        ),
        ConstCounter::new(load.cut_off),
    )
}

/// A count as gauges are written; what is larger than any real one is told as the largest.
fn count(number: impl TryInto<i64>) -> i64 {
    number.try_into().unwrap_or(i64::MAX)
}
