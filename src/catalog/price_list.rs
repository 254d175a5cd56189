//! What a book says on one day, as it stood at one revision: all that pricing may look at.
//!
//! Invariants: the revision exists; the same book, revision and day give the same answers for ever,
//! whatever is written later. Absent here: choosing the day, and pricing anything.

use super::{History, Item, ReadyMixTerms, Settings, Supplier};
use crate::quantity::money::{Currency, UnitPrice};
use chrono::NaiveDate;
use serde::{Serialize, Serializer, ser::SerializeMap};
use std::sync::Arc;

/// A revision that the book does not have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there is no revision {asked}; they go from 1 to {latest}")]
pub struct NoSuchRevision {
    /// What was asked for.
    pub asked: i64,
    /// The newest that there is; 0 when nothing was written yet.
    pub latest: i64,
}

/// Why an item has no price on the day; its line stands under `unpriced`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPrice {
    /// The book does not know the item at this revision.
    #[error("the book has no such item")]
    UnknownItem,
    /// The book knows the item, but no price for it at this revision.
    #[error("the book has no price for it")]
    NeverPriced,
    /// The first price takes effect after the day.
    #[error("its first price takes effect on {first}")]
    NotYet {
        /// The day on which it does.
        first: NaiveDate,
    },
}

/// Where a price came from, as a price line says it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct PricedFrom {
    /// Code of the book.
    pub book: String,
    /// The revision at which the book was read.
    pub revision: i64,
    /// Name of the supplier.
    pub supplier: String,
    /// The day from which the price holds.
    #[cfg_attr(feature = "service", schema(value_type = String, format = Date))]
    pub effective: NaiveDate,
    /// Days from then to the day of the estimate, zero or more; written with its unit.
    #[serde(rename = "age", serialize_with = "write_days")]
    #[cfg_attr(feature = "service", schema(value_type = Days))]
    pub age_days: i64,
}

/// Whole days, as they are written.
#[cfg(feature = "service")]
#[derive(utoipa::ToSchema)]
#[allow(dead_code, reason = "describes what `write_days` writes")]
struct Days {
    /// How many.
    value: i64,
    /// Always `d`.
    unit: String,
}

/// An item with the price that holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quote<'a> {
    /// The item.
    pub item: &'a Item,
    /// For one sale unit.
    pub unit_price: UnitPrice,
    /// Where the price came from.
    pub from: PricedFrom,
}

/// One book at a revision and a day; cheap to copy.
#[derive(Clone, Debug)]
pub struct PriceList {
    history: Arc<History>,
    settings: Settings,
    revision: i64,
    as_of: NaiveDate,
}

impl PriceList {
    /// The book on the day `as_of`, at `revision` or else at its newest.
    ///
    /// # Errors
    /// [`NoSuchRevision`] when the book has no such revision, or none at all.
    pub fn new(
        history: Arc<History>,
        revision: Option<i64>,
        as_of: NaiveDate,
    ) -> Result<Self, NoSuchRevision> {
        let latest = history.latest();
        let revision = revision.unwrap_or(latest);
        let refusal = NoSuchRevision {
            asked: revision,
            latest,
        };
        if revision < 1 || revision > latest {
            return Err(refusal);
        }
        let settings = *history.settings(revision).ok_or(refusal)?;
        Ok(Self {
            history,
            settings,
            revision,
            as_of,
        })
    }

    /// Code of the book.
    pub fn book(&self) -> &str {
        &self.history.head().code
    }

    /// Name of the book.
    pub fn name(&self) -> &str {
        &self.history.head().name
    }

    /// The revision at which the book is read.
    pub fn revision(&self) -> i64 {
        self.revision
    }

    /// The day of the prices.
    pub fn as_of(&self) -> NaiveDate {
        self.as_of
    }

    /// The currency of every price.
    pub fn currency(&self) -> Currency {
        self.history.head().currency
    }

    /// True when the prices are invented; an answer must then say so.
    pub fn is_demo(&self) -> bool {
        self.history.head().demo
    }

    /// The office's own figures.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The book through time, for its own pages.
    pub fn history(&self) -> &History {
        &self.history
    }

    /// The item with this code.
    pub fn item(&self, code: &str) -> Option<&Item> {
        self.history.item(code)?.item(self.revision)
    }

    /// Every item, by code.
    pub fn items(&self) -> impl Iterator<Item = &Item> {
        self.history
            .items()
            .filter_map(|item| item.item(self.revision))
    }

    /// The supplier with this code.
    pub fn supplier(&self, code: &str) -> Option<&Supplier> {
        self.history.supplier(code, self.revision)
    }

    /// The item with the price that holds on the day.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub fn quote(&self, code: &str) -> Result<Quote<'_>, NoPrice> {
        let history = self.history.item(code).ok_or(NoPrice::UnknownItem)?;
        let item = history.item(self.revision).ok_or(NoPrice::UnknownItem)?;
        let Some(price) = history.price(self.as_of, self.revision) else {
            let first = history
                .prices(self.revision)
                .next()
                .ok_or(NoPrice::NeverPriced)?;
            return Err(NoPrice::NotYet {
                first: first.value.effective_from,
            });
        };
        let price = &price.value;
        let supplier = self.supplier(&price.supplier);
        let from = PricedFrom {
            book: self.book().to_owned(),
            revision: self.revision,
            supplier: supplier
                .map_or(&price.supplier, |supplier| &supplier.name)
                .clone(),
            effective: price.effective_from,
            age_days: (self.as_of - price.effective_from).num_days(),
        };
        Ok(Quote {
            item,
            unit_price: price.unit_price,
            from,
        })
    }

    /// The ready-mix terms of the plant whose price holds for `code`; all empty where none does.
    pub fn terms(&self, code: &str) -> ReadyMixTerms {
        let price = self
            .history
            .item(code)
            .and_then(|item| item.price(self.as_of, self.revision));
        let supplier = price.and_then(|price| self.supplier(&price.value.supplier));
        supplier.map(|supplier| supplier.terms).unwrap_or_default()
    }
}

fn write_days<S: Serializer>(days: &i64, serializer: S) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(Some(2))?;
    map.serialize_entry("value", days)?;
    map.serialize_entry("unit", "d")?;
    map.end()
}
