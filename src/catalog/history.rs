//! All that one book ever held: every item, supplier, setting, price, wage, rate and index value
//! with the revision in which it was learned.
//!
//! Invariants: nothing is removed; versions of one thing stand in the order of their revisions. A
//! new revision shares what it does not change. Absent here: where any of it is stored.

use super::{IndexValue, Item, ItemHistory, OwnRate, Price, Settings, Supplier, Wage};
use crate::quantity::money::Currency;
use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use std::{
    collections::{BTreeMap, BTreeSet},
    sync::Arc,
};

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
    /// Code of the book in which is looked up what this one does not hold.
    pub inherits: Option<String>,
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
    /// New wages.
    pub wages: Vec<Wage>,
    /// The crew's own rates.
    pub rates: Vec<OwnRate>,
    /// Values of price indices.
    pub indices: Vec<IndexValue>,
}

impl Change {
    /// True when it adds nothing at all.
    pub fn is_empty(&self) -> bool {
        self.settings.is_none()
            && self.suppliers.is_empty()
            && self.items.is_empty()
            && self.prices.is_empty()
            && self.wages.is_empty()
            && self.rates.is_empty()
            && self.indices.is_empty()
    }
}

/// One book through time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct History {
    head: Head,
    revisions: Vec<Revision>,
    settings: Vec<Learned<Settings>>,
    suppliers: BTreeMap<String, Vec<Learned<Supplier>>>,
    items: BTreeMap<String, Arc<ItemHistory>>,
    // By schedule and class; then by day, then by revision.
    wages: BTreeMap<(String, String), Vec<Learned<Wage>>>,
    rates: BTreeMap<String, Vec<Learned<OwnRate>>>,
    // By month, then by revision.
    indices: BTreeMap<String, Vec<Learned<IndexValue>>>,
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
            wages: BTreeMap::new(),
            rates: BTreeMap::new(),
            indices: BTreeMap::new(),
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

    /// The settings that stood at `revision`; none where the book never had its own.
    pub fn settings(&self, revision: i64) -> Option<&Settings> {
        newest(&self.settings, revision)
    }

    /// The supplier as it stood at `revision`.
    pub fn supplier(&self, code: &str, revision: i64) -> Option<&Supplier> {
        newest(self.suppliers.get(code)?, revision)
    }

    /// Every supplier as it stood at `revision`, by code.
    pub fn suppliers(&self, revision: i64) -> impl Iterator<Item = &Supplier> {
        let known = self.suppliers.values();
        known.filter_map(move |versions| newest(versions, revision))
    }

    /// One item through time; `None` when the code was never used.
    pub fn item(&self, code: &str) -> Option<&ItemHistory> {
        self.items.get(code).map(Arc::as_ref)
    }

    /// Every item through time, by code.
    pub fn items(&self) -> impl DoubleEndedIterator<Item = &ItemHistory> {
        self.items.values().map(Arc::as_ref)
    }

    /// The wage of a class that holds on `day` as known at `revision`.
    pub fn wage(&self, of: (&str, &str), day: NaiveDate, revision: i64) -> Option<&Learned<Wage>> {
        let known = self.wages.get(&(of.0.to_owned(), of.1.to_owned()))?;
        let begun = known.partition_point(|wage| wage.value.effective_from <= day);
        let mut begun = known[..begun].iter().rev();
        begun.find(|wage| wage.revision <= revision)
    }

    /// Every wage as known at `revision`, by schedule, class and day.
    pub fn wages(&self, revision: i64) -> impl Iterator<Item = &Wage> {
        let same =
            |a: &Learned<Wage>, b: &Learned<Wage>| a.value.effective_from == b.value.effective_from;
        let days = self
            .wages
            .values()
            .flat_map(move |wages| wages.chunk_by(same));
        days.filter_map(move |day| newest(day, revision))
    }

    /// Every own rate as it stood at `revision`, by task.
    pub fn own_rates(&self, revision: i64) -> impl Iterator<Item = &OwnRate> {
        let known = self.rates.values();
        known.filter_map(move |versions| newest(versions, revision))
    }

    /// True when there is such a series at `revision`.
    pub fn has_index(&self, series: &str, revision: i64) -> bool {
        let known = self.indices.get(series).into_iter().flatten();
        known.into_iter().any(|value| value.revision <= revision)
    }

    /// What a series says of the month of `day`, or of the last month before it.
    pub fn index_value(&self, series: &str, day: NaiveDate, revision: i64) -> Option<&IndexValue> {
        let known = self.indices.get(series)?;
        let begun = known.partition_point(|value| value.value.month <= day);
        let mut begun = known[..begun].iter().rev();
        let last = begun.find(|value| value.revision <= revision)?;
        Some(&last.value)
    }

    /// Every index value as known at `revision`, by series and month.
    pub fn index_values(&self, revision: i64) -> impl Iterator<Item = &IndexValue> {
        let same =
            |a: &Learned<IndexValue>, b: &Learned<IndexValue>| a.value.month == b.value.month;
        let months = self
            .indices
            .values()
            .flat_map(move |values| values.chunk_by(same));
        months.filter_map(move |month| newest(month, revision))
    }

    /// The book after `change`, made as `revision`; unchanged items are shared with this one.
    pub fn with(&self, revision: Revision, change: &Change) -> Self {
        let mut next = self.clone();
        let number = revision.number;
        next.learn_revision(revision);
        if let Some(settings) = change.settings {
            next.learn_settings(learned(number, &settings));
        }
        for supplier in &change.suppliers {
            next.learn_supplier(learned(number, supplier));
        }
        for item in &change.items {
            next.learn_item(learned(number, item));
        }
        next.learn_prices(change.prices.iter().map(|price| learned(number, price)));
        for wage in &change.wages {
            next.learn_wage(learned(number, wage));
        }
        for rate in &change.rates {
            next.learn_rate(learned(number, rate));
        }
        next.learn_indices(change.indices.iter().map(|value| learned(number, value)));
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
        let versions = self.suppliers.entry(supplier.value.code.clone());
        insert(versions.or_default(), supplier);
    }

    /// Adds one version of an item.
    pub fn learn_item(&mut self, item: Learned<Item>) {
        let history = self.items.entry(item.value.code.clone()).or_default();
        Arc::make_mut(history).learn_item(item);
    }

    /// Adds prices, in any order.
    pub fn learn_prices(&mut self, prices: impl Iterator<Item = Learned<Price>>) {
        // Put in place once for each item: one by one, a long list of one item would be moved anew
        // with every price.
        let mut touched = BTreeSet::new();
        for price in prices {
            let code = &price.value.item;
            if !touched.contains(code) {
                touched.insert(code.clone());
            }
            let history = self.items.entry(code.clone()).or_default();
            Arc::make_mut(history).push_price(price);
        }
        for code in touched {
            let history = self.items.get_mut(&code).map(Arc::make_mut);
            history.into_iter().for_each(ItemHistory::settle);
        }
    }

    /// Adds one wage.
    pub fn learn_wage(&mut self, wage: Learned<Wage>) {
        let of = (wage.value.schedule.clone(), wage.value.class.clone());
        let known = self.wages.entry(of).or_default();
        let place = (wage.value.effective_from, wage.revision);
        let at =
            known.partition_point(|known| (known.value.effective_from, known.revision) <= place);
        known.insert(at, wage);
    }

    /// Adds one own rate.
    pub fn learn_rate(&mut self, rate: Learned<OwnRate>) {
        let versions = self.rates.entry(rate.value.task.clone());
        insert(versions.or_default(), rate);
    }

    /// Adds index values, in any order.
    pub fn learn_indices(&mut self, values: impl Iterator<Item = Learned<IndexValue>>) {
        let mut touched = BTreeSet::new();
        for value in values {
            touched.insert(value.value.series.clone());
            self.indices
                .entry(value.value.series.clone())
                .or_default()
                .push(value);
        }
        for series in touched {
            let values = self.indices.entry(series).or_default();
            values.sort_by_key(|value| (value.value.month, value.revision));
        }
    }
}

fn learned<T: Clone>(revision: i64, value: &T) -> Learned<T> {
    Learned {
        revision,
        value: value.clone(),
    }
}

/// Puts a version in its place among the others.
pub(super) fn insert<T>(versions: &mut Vec<Learned<T>>, version: Learned<T>) {
    let at = versions.partition_point(|known| known.revision <= version.revision);
    versions.insert(at, version);
}

/// The version that stood at `revision`.
pub(super) fn newest<T>(versions: &[Learned<T>], revision: i64) -> Option<&T> {
    let known = versions.partition_point(|version| version.revision <= revision);
    versions[..known].last().map(|version| &version.value)
}
