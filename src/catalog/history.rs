//! All that one book ever held: every item, supplier, setting and price with the revision in which
//! it was learned.
//!
//! Invariants: nothing is removed; versions of one thing stand in the order of their revisions;
//! prices stand by the day from which they hold, then by revision, then from dear to cheap, then by
//! supplier from last to first, so that the last that fits is the one that counts. A new revision
//! shares what it does not change. Absent here: where any of it is stored.

use super::{Item, Settings, Supplier};
use crate::quantity::money::{Currency, UnitPrice};
use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use std::{cmp::Reverse, collections::BTreeMap, sync::Arc};

/// What never changes about a book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Head {
    /// Stable name.
    pub code: String,
    /// The name that people know it by.
    pub name: String,
    /// The currency of all its prices.
    pub currency: Currency,
    /// True when its prices are invented; every estimate priced from it says so.
    pub demo: bool,
}

/// One accepted write.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Revision {
    /// Counts from 1, without gaps.
    pub number: i64,
    /// When it was made; used for nothing but to be shown.
    pub made_at: DateTime<Utc>,
    /// What was done, in a few words.
    pub note: String,
}

/// What an item costs at a supplier from a day on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Price {
    /// Code of the item.
    pub item: String,
    /// Code of the supplier.
    pub supplier: String,
    /// For one sale unit.
    pub unit_price: UnitPrice,
    /// The first day on which it holds; it holds until the next one does.
    pub effective_from: NaiveDate,
}

/// A value and the revision in which the book learned it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Learned<T> {
    /// The revision.
    pub revision: i64,
    /// What was learned.
    pub value: T,
}

/// What one write adds; everything in it lands in one revision, or nothing does.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Change {
    /// What is done, in a few words.
    pub note: String,
    /// New settings, whole.
    pub settings: Option<Settings>,
    /// New suppliers, and known ones with new particulars.
    pub suppliers: Vec<Supplier>,
    /// New items, and known ones with new particulars.
    pub items: Vec<Item>,
    /// New prices.
    pub prices: Vec<Price>,
}

/// One item through time.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ItemHistory {
    versions: Vec<Learned<Item>>,
    prices: Vec<Learned<Price>>,
}

/// One book through time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct History {
    head: Head,
    revisions: Vec<Revision>,
    settings: Vec<Learned<Settings>>,
    suppliers: BTreeMap<String, Vec<Learned<Supplier>>>,
    items: BTreeMap<String, Arc<ItemHistory>>,
}

impl ItemHistory {
    /// The item as it stood at `revision`; `None` when it was not known yet.
    pub fn item(&self, revision: i64) -> Option<&Item> {
        newest(&self.versions, revision)
    }

    /// The price that holds on `day` as known at `revision`: the latest to take effect by then; on
    /// the same day the one learned last; learned together, the cheapest, then the first supplier
    /// by code.
    pub fn price(&self, day: NaiveDate, revision: i64) -> Option<&Learned<Price>> {
        let begun = self
            .prices
            .partition_point(|price| price.value.effective_from <= day);
        self.prices[..begun]
            .iter()
            .rev()
            .find(|price| price.revision <= revision)
    }

    /// Every price known at `revision`, by the day from which it holds, then by revision.
    pub fn prices(&self, revision: i64) -> impl DoubleEndedIterator<Item = &Learned<Price>> {
        self.prices
            .iter()
            .filter(move |price| price.revision <= revision)
    }

    /// The newest revision up to `revision` in which the item or one of its prices was written.
    pub fn changed(&self, revision: i64) -> Option<i64> {
        let versions = self.versions.iter().map(|version| version.revision);
        let prices = self.prices.iter().map(|price| price.revision);
        versions
            .chain(prices)
            .filter(|&changed| changed <= revision)
            .max()
    }

    fn learn_price(&mut self, price: Learned<Price>) {
        let at = self
            .prices
            .partition_point(|known| price_order(known) <= price_order(&price));
        self.prices.insert(at, price);
    }
}

impl History {
    /// A book in which nothing was written yet.
    pub fn empty(head: Head) -> Self {
        Self {
            head,
            revisions: Vec::new(),
            settings: Vec::new(),
            suppliers: BTreeMap::new(),
            items: BTreeMap::new(),
        }
    }

    /// What never changes about the book.
    pub fn head(&self) -> &Head {
        &self.head
    }

    /// The newest revision; 0 before the first write.
    pub fn latest(&self) -> i64 {
        self.revisions.last().map_or(0, |revision| revision.number)
    }

    /// Every accepted write, oldest first.
    pub fn revisions(&self) -> &[Revision] {
        &self.revisions
    }

    /// The settings that stood at `revision`.
    pub fn settings(&self, revision: i64) -> Option<&Settings> {
        newest(&self.settings, revision)
    }

    /// The supplier as it stood at `revision`.
    pub fn supplier(&self, code: &str, revision: i64) -> Option<&Supplier> {
        newest(self.suppliers.get(code)?, revision)
    }

    /// One item through time; `None` when the code was never used.
    pub fn item(&self, code: &str) -> Option<&ItemHistory> {
        self.items.get(code).map(Arc::as_ref)
    }

    /// Every item through time, by code.
    pub fn items(&self) -> impl DoubleEndedIterator<Item = &ItemHistory> {
        self.items.values().map(Arc::as_ref)
    }

    /// The book after `change`, made as `revision`; unchanged items are shared with this one.
    pub fn with(&self, revision: Revision, change: &Change) -> Self {
        let mut next = self.clone();
        let number = revision.number;
        next.learn_revision(revision);
        if let Some(settings) = change.settings {
            next.learn_settings(Learned {
                revision: number,
                value: settings,
            });
        }
        for supplier in &change.suppliers {
            next.learn_supplier(Learned {
                revision: number,
                value: supplier.clone(),
            });
        }
        for item in &change.items {
            next.learn_item(Learned {
                revision: number,
                value: item.clone(),
            });
        }
        for price in &change.prices {
            next.learn_price(Learned {
                revision: number,
                value: price.clone(),
            });
        }
        next
    }

    /// Adds one revision; they may come in any order.
    pub fn learn_revision(&mut self, revision: Revision) {
        let at = self
            .revisions
            .partition_point(|known| known.number <= revision.number);
        self.revisions.insert(at, revision);
    }

    /// Adds one version of the settings.
    pub fn learn_settings(&mut self, settings: Learned<Settings>) {
        insert(&mut self.settings, settings);
    }

    /// Adds one version of a supplier.
    pub fn learn_supplier(&mut self, supplier: Learned<Supplier>) {
        let versions = self
            .suppliers
            .entry(supplier.value.code.clone())
            .or_default();
        insert(versions, supplier);
    }

    /// Adds one version of an item.
    pub fn learn_item(&mut self, item: Learned<Item>) {
        let history = self.items.entry(item.value.code.clone()).or_default();
        insert(&mut Arc::make_mut(history).versions, item);
    }

    /// Adds one price.
    pub fn learn_price(&mut self, price: Learned<Price>) {
        let history = self.items.entry(price.value.item.clone()).or_default();
        Arc::make_mut(history).learn_price(price);
    }
}

/// Puts a version in its place among the others.
fn insert<T>(versions: &mut Vec<Learned<T>>, version: Learned<T>) {
    let at = versions.partition_point(|known| known.revision <= version.revision);
    versions.insert(at, version);
}

/// The version that stood at `revision`.
fn newest<T>(versions: &[Learned<T>], revision: i64) -> Option<&T> {
    let known = versions.partition_point(|version| version.revision <= revision);
    versions[..known].last().map(|version| &version.value)
}

type PriceOrder<'a> = (NaiveDate, i64, Reverse<UnitPrice>, Reverse<&'a str>);

fn price_order(price: &Learned<Price>) -> PriceOrder<'_> {
    let Price {
        supplier,
        unit_price,
        effective_from,
        ..
    } = &price.value;
    (
        *effective_from,
        price.revision,
        Reverse(*unit_price),
        Reverse(supplier),
    )
}
