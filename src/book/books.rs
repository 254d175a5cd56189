//! Every price book as it stands in memory, and the way in for writes.
//!
//! Invariants: a price list is read from memory alone; what is in memory is one whole state of the
//! database, never a mixture; a book in memory never goes back to an older revision. Absent here:
//! SQL, and choosing the day.

use super::{Append, BookError, BookStore, Expected, Guard, demo_book, open_store};
use crate::catalog::{Change, History, Item, Price, PriceList, Revision, Supplier};
use arc_swap::ArcSwap;
use chrono::{NaiveDate, SubsecRound, Utc};
use std::{
    collections::BTreeMap,
    sync::Arc,
    time::{Duration, Instant},
};
use tokio::sync::Mutex;

/// Code of the book that is used when a caller names none.
const DEFAULT_BOOK: &str = "demo";

/// An item to be written, with what is learned beside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemWrite {
    /// The item, whole.
    pub item: Item,
    /// Prices that are learned with it; earlier ones stay. What is known already is not repeated.
    pub prices: Vec<Price>,
    /// Suppliers of these prices that are new or have new particulars.
    pub suppliers: Vec<Supplier>,
    /// What is done, in a few words.
    pub note: String,
}

#[derive(Debug)]
struct Shelf {
    books: BTreeMap<String, Arc<History>>,
    read_at: Instant,
}

/// All price books of one database.
#[derive(Debug)]
pub struct Books {
    store: Arc<dyn BookStore>,
    shelf: ArcSwap<Shelf>,
    // Held while the shelf is replaced, so that a slow reader cannot put back an older state.
    turn: Mutex<()>,
}

impl Books {
    /// Connects, brings the tables up to date, loads the demo book when there is no book at all,
    /// and reads everything into memory.
    ///
    /// # Errors
    /// Those of [`open_store`], and [`BookError::Damaged`].
    pub async fn open(address: &str) -> Result<Self, BookError> {
        Self::on(open_store(address).await?).await
    }

    /// The same, on a store that is connected already.
    ///
    /// # Errors
    /// [`BookError::Unavailable`] and [`BookError::Damaged`].
    pub async fn on(store: Arc<dyn BookStore>) -> Result<Self, BookError> {
        if store.heads().await?.is_empty() {
            let (head, first) = demo_book()?;
            store.create(&head, now(), &first).await?;
        }
        let shelf = Shelf {
            books: BTreeMap::new(),
            read_at: Instant::now(),
        };
        let books = Self {
            store,
            shelf: ArcSwap::from_pointee(shelf),
            turn: Mutex::new(()),
        };
        books.refresh().await?;
        Ok(books)
    }

    /// Every book, by code.
    pub fn list(&self) -> Vec<Arc<History>> {
        self.shelf.load().books.values().cloned().collect()
    }

    /// One book through time; the default one when none is named.
    ///
    /// # Errors
    /// [`BookError::NotFound`].
    pub fn book(&self, code: Option<&str>) -> Result<Arc<History>, BookError> {
        let code = code.unwrap_or(DEFAULT_BOOK);
        let book = self.shelf.load().books.get(code).cloned();
        book.ok_or_else(|| BookError::not_found("price book", code))
    }

    /// A book on a day, at a revision or else at its newest.
    ///
    /// # Errors
    /// [`BookError::NotFound`] for the book, [`BookError::NoSuchRevision`].
    pub fn price_list(
        &self,
        book: Option<&str>,
        revision: Option<i64>,
        as_of: NaiveDate,
    ) -> Result<PriceList, BookError> {
        let history = self.book(book)?;
        let book = history.head().code.clone();
        PriceList::new(history, revision, as_of)
            .map_err(|revision| BookError::NoSuchRevision { book, revision })
    }

    /// Writes one item, if it is as `expected`, and gives the new revision.
    ///
    /// # Errors
    /// Those of [`BookStore::append`]; nothing is written then.
    pub async fn put_item(
        &self,
        book: &str,
        write: ItemWrite,
        expected: Expected,
    ) -> Result<i64, BookError> {
        let history = self.book(Some(book))?;
        let ItemWrite {
            item,
            mut prices,
            suppliers,
            note,
        } = write;
        // Memory may be behind the database; only when it saw what the writer saw may it judge.
        let seen = history
            .item(&item.code)
            .and_then(|item| item.changed(i64::MAX));
        if seen.is_some_and(|seen| expected == Expected::Revision(seen)) {
            prices.retain(|price| !is_known(&history, price));
        }
        let guard = Guard {
            item: item.code.clone(),
            expected,
        };
        let change = Change {
            note,
            settings: None,
            suppliers,
            items: vec![item],
            prices,
        };
        self.append(book, &change, Some(&guard)).await
    }

    /// Writes one revision, and shows it in memory at once.
    ///
    /// # Errors
    /// Those of [`BookStore::append`]; nothing is written then.
    pub async fn append(
        &self,
        book: &str,
        change: &Change,
        guard: Option<&Guard>,
    ) -> Result<i64, BookError> {
        let made_at = now();
        let number = self
            .store
            .append(Append {
                book,
                made_at,
                change,
                guard,
            })
            .await?;
        let _turn = self.turn.lock().await;
        let shelf = self.shelf.load_full();
        let known = shelf
            .books
            .get(book)
            .filter(|known| known.latest() + 1 == number);
        match known {
            Some(known) => {
                let revision = Revision {
                    number,
                    made_at,
                    note: change.note.clone(),
                };
                self.show(&shelf, vec![known.with(revision, change)], shelf.read_at);
            }
            // Another writer was in between. The write itself is done, so that a failure to read
            // it back is no failure of the write; the next refresh mends it.
            None => drop(self.catch_up().await),
        }
        Ok(number)
    }

    /// Reads what other writers wrote.
    ///
    /// # Errors
    /// [`BookError::Unavailable`], [`BookError::Damaged`]; memory then stays as it was.
    pub async fn refresh(&self) -> Result<(), BookError> {
        let _turn = self.turn.lock().await;
        self.catch_up().await
    }

    /// Reads every `pause` what other writers wrote, for as long as it is let run.
    pub async fn keep_fresh(self: Arc<Self>, pause: Duration) {
        let mut answers = true;
        loop {
            tokio::time::sleep(pause).await;
            let read = self.refresh().await;
            match &read {
                Err(error) if answers => {
                    tracing::warn!(cause = ?error, "prices are read from memory alone");
                }
                Ok(()) if !answers => tracing::info!("the price book's database answers again"),
                _ => {}
            }
            answers = read.is_ok();
        }
    }

    /// How long ago memory was last seen to be what the database holds.
    pub fn age(&self) -> Duration {
        self.shelf.load().read_at.elapsed()
    }

    /// Replaces what is out of date; the caller holds the turn.
    async fn catch_up(&self) -> Result<(), BookError> {
        let read_at = Instant::now();
        let shelf = self.shelf.load_full();
        let mut fresh = Vec::new();
        for (code, latest) in self.store.heads().await? {
            let known = shelf.books.get(&code).map(|known| known.latest());
            if known.is_none_or(|known| known < latest) {
                fresh.push(self.store.load(&code).await?);
            }
        }
        self.show(&shelf, fresh, read_at);
        Ok(())
    }

    fn show(&self, shelf: &Shelf, fresh: Vec<History>, read_at: Instant) {
        let mut books = shelf.books.clone();
        for history in fresh {
            books.insert(history.head().code.clone(), Arc::new(history));
        }
        self.shelf.store(Arc::new(Shelf { books, read_at }));
    }
}

/// True when this very price is the one that holds on its first day.
fn is_known(history: &History, price: &Price) -> bool {
    let item = history.item(&price.item);
    let holds = item.and_then(|item| item.price(price.effective_from, i64::MAX));
    holds.is_some_and(|holds| holds.value == *price)
}

/// The present instant, to the millisecond, as it is stored.
fn now() -> chrono::DateTime<Utc> {
    Utc::now().trunc_subsecs(3)
}
