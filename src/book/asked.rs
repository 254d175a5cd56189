//! Which prices are asked for, and the books in which they are looked up.
//!
//! Invariants: the chain is as short as the books allow and never longer than [`DEPTH`]; a revision
//! of a book that is not read is refused. Absent here: where the books are kept.

use super::BookError;
use crate::catalog::{History, NoSuchRevision, Pinned, PriceList};
use chrono::NaiveDate;
use std::{collections::BTreeMap, sync::Arc};

/// Most books of one chain: the named one and those it inherits from, one through the other.
pub(super) const DEPTH: usize = 8;

/// Which prices are asked for.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// Code of the book; the default one when none is named.
    pub book: Option<&'a str>,
    /// Its revision; the newest when none is named.
    pub revision: Option<i64>,
    /// Revisions of books that it inherits from, by code; the newest where none is named.
    pub inherited: &'a BTreeMap<String, i64>,
    /// The day of the prices.
    pub as_of: NaiveDate,
}

impl Asked<'_> {
    /// The prices; `find` gives a book by its code.
    pub(super) fn find(
        self,
        default: &str,
        find: impl Fn(&str) -> Result<Arc<History>, BookError>,
    ) -> Result<PriceList, BookError> {
        let mut next = Some(self.book.unwrap_or(default).to_owned());
        let mut chain = Vec::new();
        while let Some(code) = next.take().filter(|_| chain.len() < DEPTH) {
            let history = find(&code)?;
            let own = self.revision.filter(|_| chain.is_empty());
            let revision = own.or_else(|| self.inherited.get(&code).copied());
            next = history.head().inherits.clone();
            chain.push(Pinned::new(history, revision).map_err(no_revision(&code))?);
        }
        check_inherited(self.inherited, &chain)?;
        let book = chain.remove(0);
        let code = book.code().to_owned();
        PriceList::of_chain(book, chain, self.as_of).map_err(no_revision(&code))
    }
}

fn no_revision(book: &str) -> impl FnOnce(NoSuchRevision) -> BookError {
    let book = book.to_owned();
    move |revision| BookError::NoSuchRevision { book, revision }
}

/// A revision of a book that is not read is a mistake of whoever names it.
fn check_inherited(named: &BTreeMap<String, i64>, chain: &[Pinned]) -> Result<(), BookError> {
    let read = |code: &String| {
        let mut inherited = chain.iter().skip(1);
        inherited.any(|pinned| pinned.history.head().code == *code)
    };
    match named.keys().find(|code| !read(code)) {
        Some(code) => Err(BookError::NotInherited { key: code.clone() }),
        None => Ok(()),
    }
}
