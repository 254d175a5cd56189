//! What can be said of a running service at any moment, from memory: is it ready, and what to count.

use crate::{
    book::{Books, KeyRing},
    catalog::History,
    config::{Config, Database},
    http::{
        health::{Probe, Readiness, StoreState},
        load::Load,
    },
    meter::{BookState, LoadState, Meter, Observed},
};
use secrecy::ExposeSecret as _;
use std::{sync::Arc, time::Duration};

/// What is looked at.
#[derive(Clone)]
pub(super) struct Watched {
    pub(super) books: Arc<Books>,
    pub(super) ring: Arc<KeyRing>,
    pub(super) load: Arc<Load>,
    /// Longest age at which prices are still trusted.
    pub(super) offline_limit: Duration,
}

impl Watched {
    /// What `/readyz` is told.
    ///
    /// # Errors
    /// The settings name no database.
    pub(super) fn probe(&self, config: &Config) -> anyhow::Result<Probe> {
        let embedded = match config.database()? {
            Database::File(_) => true,
            Database::Url(url) => url.expose_secret().starts_with("sqlite:"),
        };
        let kind = if embedded { "embedded" } else { "postgres" };
        let watched = self.clone();
        Ok(Arc::new(move || StoreState {
            ready: watched.is_ready(),
            database: format!("{kind}, last read {} s ago", watched.books.age().as_secs()),
        }))
    }

    /// Counters that also tell how things stand.
    pub(super) fn meter(&self, readiness: &Readiness) -> Meter {
        let (watched, readiness) = (self.clone(), readiness.clone());
        Meter::observing(move || watched.observed(readiness.is_ready()))
    }

    fn is_ready(&self) -> bool {
        !self.books.list().is_empty() && self.books.age() <= self.offline_limit
    }

    fn observed(&self, ready: bool) -> Observed {
        Observed {
            ready,
            books: self.books.list().iter().map(|book| state(book)).collect(),
            books_age: self.books.age(),
            keys_age: self.ring.age(),
            connections: self.books.store().connections(),
            load: LoadState {
                connections: self.load.connections(),
                body_bytes: self.load.bodies(),
                answer_bytes: self.load.answers(),
                shed: self.load.shed(),
                cut_off: self.load.cut_off(),
                late: self.load.lateness(),
            },
        }
    }
}

fn state(book: &History) -> BookState {
    BookState {
        code: book.head().code.clone(),
        revision: book.latest(),
        items: book.items().count(),
    }
}
