//! Every price book as it stands in memory, and the way in for writes.
//!
//! Invariants: a price list is read from memory alone; what is in memory is one whole state of the
//! database, never a mixture; a book in memory never goes back to an older revision. Absent here:
//! SQL, and choosing the day.

use super::{
    Append, Asked, BookError, BookStore, Expected, Guard, Keep, Made, Signature, asked::DEPTH,
    demo_book, open_store,
};
use crate::catalog::{Change, Head, History, Item, Price, PriceList, Revision, Supplier};
use arc_swap::ArcSwap;
use chrono::{NaiveDate, SubsecRound, Utc};
use std::{
    collections::BTreeMap,
    sync::Arc,
    time::{Duration, Instant},
};
use tokio::sync::Mutex;

/// Code of the book that is used when a caller names none and the operator chose none.
pub const DEMO_BOOK: &str = "demo";

/// What one write brings, whoever makes it.
#[derive(Clone, Copy, Debug)]
pub struct Written<'a> {
    /// What it adds.
    pub change: &'a Change,
    /// Its condition.
    pub guard: Option<&'a Guard>,
    /// Who writes.
    pub by: &'a Signature,
    /// An answer to be kept for a repeated request.
    pub keep: Option<&'a Keep>,
}

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
    default: String,
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
            let (head, change) = demo_book()?;
            let by = Signature {
                caller: "first start".to_owned(),
                action: "book.create",
                target: head.code.clone(),
                request: None,
            };
            let first = Append {
                book: &head.code,
                made_at: now(),
                change: &change,
                guard: None,
                by: &by,
                keep: None,
            };
            store.create(&head, first).await?;
        }
        let shelf = Shelf {
            books: BTreeMap::new(),
            read_at: Instant::now(),
        };
        let books = Self {
            store,
            default: DEMO_BOOK.to_owned(),
            shelf: ArcSwap::from_pointee(shelf),
            turn: Mutex::new(()),
        };
        books.refresh().await?;
        Ok(books)
    }

    /// The same with another default book.
    #[must_use]
    pub fn by_default(self, code: &str) -> Self {
        Self {
            default: code.to_owned(),
            ..self
        }
    }

    /// What keeps the books.
    pub fn store(&self) -> &Arc<dyn BookStore> {
        &self.store
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
        find(&self.shelf.load(), code.unwrap_or(&self.default))
    }

    /// A book on a day, at a revision or else at its newest; what it inherits from at the newest.
    ///
    /// # Errors
    /// [`BookError::NotFound`] for the book, [`BookError::NoSuchRevision`].
    pub fn price_list(
        &self,
        book: Option<&str>,
        revision: Option<i64>,
        as_of: NaiveDate,
    ) -> Result<PriceList, BookError> {
        self.priced(Asked {
            book,
            revision,
            inherited: &BTreeMap::new(),
            as_of,
        })
    }

    /// The prices that are asked for, all of one state of memory.
    ///
    /// # Errors
    /// [`BookError::NotFound`] for the book or for one in `inherited` that it does not inherit
    /// from, [`BookError::NoSuchRevision`].
    pub fn priced(&self, asked: Asked<'_>) -> Result<PriceList, BookError> {
        self.freeze().priced(asked)
    }

    /// All books as they stand now, for many questions of one state.
    pub fn freeze(&self) -> Frozen {
        Frozen {
            default: self.default.clone(),
            shelf: self.shelf.load_full(),
        }
    }

    /// Makes a book, and shows it at once; none when its code is taken.
    ///
    /// # Errors
    /// Those of [`BookStore::create`]; [`BookError::NotFound`] for a book that it should inherit
    /// from, [`BookError::TooDeep`].
    pub async fn create(
        &self,
        head: &Head,
        written: Written<'_>,
    ) -> Result<Option<Made>, BookError> {
        if let Some(parent) = &head.inherits {
            let list = self.price_list(Some(parent), None, now().date_naive())?;
            if list.chain().len() >= DEPTH {
                return Err(BookError::TooDeep { most: DEPTH });
            }
        }
        let made = self
            .store
            .create(head, append_of(&head.code, written))
            .await?;
        if made.is_some() {
            let _turn = self.turn.lock().await;
            // The book is made; when it cannot be read back now, the next refresh shows it.
            drop(self.catch_up().await);
        }
        Ok(made)
    }

    /// Writes one item, if it is as `expected`, and gives the new revision.
    ///
    /// # Errors
    /// Those of [`BookStore::append`]; nothing is written then.
    pub async fn put_item(
        &self,
        book: &str,
        write: ItemWrite,
        (expected, by): (Expected, &Signature),
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
        let guard = Guard::Item {
            item: item.code.clone(),
            expected,
        };
        let change = Change {
            note,
            suppliers,
            items: vec![item],
            prices,
            ..Change::default()
        };
        let written = Written {
            change: &change,
            guard: Some(&guard),
            by,
            keep: None,
        };
        Ok(self.append(book, written).await?.revision)
    }

    /// Writes one revision, and shows it in memory at once.
    ///
    /// # Errors
    /// Those of [`BookStore::append`]; nothing is written then.
    pub async fn append(&self, book: &str, written: Written<'_>) -> Result<Made, BookError> {
        let made = self.store.append(append_of(book, written)).await?;
        let _turn = self.turn.lock().await;
        let shelf = self.shelf.load_full();
        let known = shelf
            .books
            .get(book)
            .filter(|known| known.latest() + 1 == made.revision);
        match known {
            Some(known) => {
                let revision = Revision {
                    number: made.revision,
                    made_at: made.made_at,
                    note: written.change.note.clone(),
                };
                let next = known.with(revision, written.change);
                self.show(&shelf, vec![next], shelf.read_at);
            }
            // Another writer was in between. The write itself is done, so that a failure to read
            // it back is no failure of the write; the next refresh mends it.
            None => drop(self.catch_up().await),
        }
        Ok(made)
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
            tokio::select! {
                () = tokio::time::sleep(pause) => {}
                () = self.store.changed() => {}
            }
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
                let known = shelf.books.get(&code).map(Arc::as_ref);
                fresh.push(self.store.load(&code, known).await?);
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

/// All price books as they stood at one moment.
#[derive(Clone, Debug)]
pub struct Frozen {
    default: String,
    shelf: Arc<Shelf>,
}

impl Frozen {
    /// The prices that are asked for.
    ///
    /// # Errors
    /// Those of [`Books::priced`].
    pub fn priced(&self, asked: Asked<'_>) -> Result<PriceList, BookError> {
        asked.find(&self.default, |code| find(&self.shelf, code))
    }

    /// Every book, by code.
    pub fn list(&self) -> Vec<Arc<History>> {
        self.shelf.books.values().cloned().collect()
    }
}

fn find(shelf: &Shelf, code: &str) -> Result<Arc<History>, BookError> {
    let book = shelf.books.get(code).cloned();
    book.ok_or_else(|| BookError::not_found("price book", code))
}

fn append_of<'a>(book: &'a str, written: Written<'a>) -> Append<'a> {
    Append {
        book,
        made_at: now(),
        change: written.change,
        guard: written.guard,
        by: written.by,
        keep: written.keep,
    }
}

/// True when this very price is the newest word on its place.
fn is_known(history: &History, price: &Price) -> bool {
    let item = history.item(&price.item);
    let newest = item.and_then(|item| item.newest_price(price, i64::MAX));
    newest.is_some_and(|newest| newest.value == *price)
}

/// The present instant, to the millisecond, as it is stored.
fn now() -> chrono::DateTime<Utc> {
    Utc::now().trunc_subsecs(3)
}
