//! What a book, and the books it inherits from, say on one day at given revisions: all that pricing
//! may look at.
//!
//! Invariants: the revisions exist; the same books, revisions and day give the same answers for
//! ever, whatever is written later; a price is never taken for another unit than the item's. Absent
//! here: choosing the day, and pricing anything.

use super::pinned::{NoSuchRevision, Pinned, Wanted};
use super::price_index::{self, Escalated};
use super::quote::{Among, NoPrice, PricedFrom, Quote, choose};
use super::{
    Expired, History, Item, Learned, OWN_WAGES, OwnRate, Price, ReadyMixTerms, Settings, Supplier,
    Wage,
};
use crate::quantity::money::{Currency, Decimal4, UnitPrice};
use chrono::NaiveDate;
use std::{collections::BTreeMap, sync::Arc};

/// Books at their revisions on a day; cheap to copy.
#[derive(Clone, Debug)]
pub struct PriceList {
    // The named book, then what it inherits from; never empty.
    chain: Vec<Pinned>,
    settings: Settings,
    as_of: NaiveDate,
    wanted: Wanted,
    // Item to supplier, where the choice was made for the job as a whole.
    chosen: Arc<BTreeMap<String, String>>,
}

/// A price that counts, and where it was found.
pub(super) struct Found<'a> {
    pinned: &'a Pinned,
    pub(super) item: &'a Item,
    pub(super) price: &'a Learned<Price>,
    passed_over: Option<Expired>,
    pub(super) whatever_the_order: bool,
}

impl PriceList {
    /// One book on the day `as_of`, at `revision` or else at its newest.
    ///
    /// # Errors
    /// [`NoSuchRevision`] when the book has no such revision, or none at all.
    pub fn new(
        history: Arc<History>,
        revision: Option<i64>,
        as_of: NaiveDate,
    ) -> Result<Self, NoSuchRevision> {
        Self::of_chain(Pinned::new(history, revision)?, Vec::new(), as_of)
    }

    /// A book and those it inherits from, the nearest first, on the day `as_of`.
    ///
    /// # Errors
    /// [`NoSuchRevision`] when none of them had settings yet.
    pub fn of_chain(
        book: Pinned,
        inherited: Vec<Pinned>,
        as_of: NaiveDate,
    ) -> Result<Self, NoSuchRevision> {
        let unset = NoSuchRevision {
            asked: book.revision,
            latest: book.history.latest(),
        };
        let mut chain = vec![book];
        chain.extend(inherited);
        let settings = chain
            .iter()
            .find_map(|pinned| pinned.history.settings(pinned.revision));
        Ok(Self {
            settings: *settings.ok_or(unset)?,
            chain,
            as_of,
            wanted: Wanted::default(),
            chosen: Arc::default(),
        })
    }

    /// The same list, read as a job wants it.
    #[must_use]
    pub fn wanting(self, wanted: Wanted) -> Self {
        Self { wanted, ..self }
    }

    /// The same list, with the supplier of some items chosen.
    #[must_use]
    pub fn choosing(&self, chosen: BTreeMap<String, String>) -> Self {
        Self {
            chosen: Arc::new(chosen),
            ..self.clone()
        }
    }

    /// The supplier that was chosen for an item.
    pub(super) fn chosen(&self, code: &str) -> Option<&str> {
        self.chosen.get(code).map(String::as_str)
    }

    /// Code of the named book.
    pub fn book(&self) -> &str {
        self.first().code()
    }

    /// Name of the named book.
    pub fn name(&self) -> &str {
        &self.history().head().name
    }

    /// The revision at which the named book is read.
    pub fn revision(&self) -> i64 {
        self.first().revision
    }

    /// The named book, then those it inherits from, each at its revision.
    pub fn chain(&self) -> &[Pinned] {
        &self.chain
    }

    /// The day of the prices.
    pub fn as_of(&self) -> NaiveDate {
        self.as_of
    }

    /// What the job wants.
    pub fn wanted(&self) -> &Wanted {
        &self.wanted
    }

    /// The currency of every price.
    pub fn currency(&self) -> Currency {
        self.history().head().currency
    }

    /// True when prices of any of the books are invented; an answer must then say so.
    pub fn is_demo(&self) -> bool {
        let mut books = self.chain.iter();
        books.any(|pinned| pinned.history.head().demo)
    }

    /// The office's own figures.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The named book through time, for its own pages.
    pub fn history(&self) -> &Arc<History> {
        &self.first().history
    }

    fn first(&self) -> &Pinned {
        // The chain is made with its first book and only ever added to.
        &self.chain[0]
    }

    /// The item with this code.
    pub fn item(&self, code: &str) -> Option<&Item> {
        self.chain.iter().find_map(|pinned| pinned.item(code))
    }

    /// Every item, by code.
    pub fn items(&self) -> impl Iterator<Item = &Item> {
        let mut by_code = BTreeMap::new();
        for pinned in self.chain.iter().rev() {
            let known = pinned.history.items();
            let known = known.filter_map(|item| item.item(pinned.revision));
            by_code.extend(known.map(|item| (item.code.as_str(), item)));
        }
        by_code.into_values()
    }

    /// The supplier with this code.
    pub fn supplier(&self, code: &str) -> Option<&Supplier> {
        let mut books = self.chain.iter();
        books.find_map(|pinned| pinned.history.supplier(code, pinned.revision))
    }

    /// The item with the price that holds on the day for the least order.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub fn quote(&self, code: &str) -> Result<Quote<'_>, NoPrice> {
        self.quote_from(code, None, self.chosen(code))
    }

    /// The item with the price that holds on the day for an order of `quantity`, in the sale unit.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub fn quote_for(&self, code: &str, quantity: Decimal4) -> Result<Quote<'_>, NoPrice> {
        let chosen = self.chosen(code);
        self.quote_from(code, Some(quantity), chosen)
    }

    /// The same from one supplier, whoever was chosen.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub fn quote_at(
        &self,
        code: &str,
        quantity: Option<Decimal4>,
        supplier: &str,
    ) -> Result<Quote<'_>, NoPrice> {
        self.quote_from(code, quantity, Some(supplier))
    }

    /// The price that holds on the day for the least order, as it was written.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub fn quote_price(&self, code: &str) -> Result<&Learned<Price>, NoPrice> {
        let chosen = self.chosen(code);
        self.find_price(code, None, chosen).map(|found| found.price)
    }

    fn quote_from(
        &self,
        code: &str,
        quantity: Option<Decimal4>,
        only: Option<&str>,
    ) -> Result<Quote<'_>, NoPrice> {
        self.find_price(code, quantity, only)
            .map(|found| self.quoted(found))
    }

    pub(super) fn find_price(
        &self,
        code: &str,
        quantity: Option<Decimal4>,
        only: Option<&str>,
    ) -> Result<Found<'_>, NoPrice> {
        let mut reason = NoPrice::UnknownItem;
        let mut passed_over = None;
        let mut nearest: Option<&Item> = None;
        for pinned in &self.chain {
            let history = pinned.history.item(code);
            let Some((history, own)) = history.and_then(|h| Some((h, h.item(pinned.revision)?)))
            else {
                continue;
            };
            // Read under the particulars of the nearest book that sells it by the same unit.
            let nearest = *nearest.get_or_insert(own);
            let same_unit = nearest.sale_unit == own.sale_unit;
            let item = if same_unit { nearest } else { own };
            let job = self.wanted.job.as_deref();
            let found = history.offers(self.as_of, pinned.revision, job);
            let among = Among {
                quantity,
                only,
                preferred: item.supplier.as_deref(),
            };
            let newest = found
                .expired
                .iter()
                .max_by_key(|expired| expired.valid_until);
            passed_over = passed_over.or_else(|| newest.cloned());
            match choose(&found, among) {
                Ok(price) => {
                    return Ok(Found {
                        pinned,
                        item,
                        price,
                        passed_over,
                        whatever_the_order: found.are_for_any_order(),
                    });
                }
                Err(why) if reason == NoPrice::UnknownItem || why != NoPrice::NeverPriced => {
                    reason = why;
                }
                Err(_) => {}
            }
        }
        Err(reason)
    }

    fn quoted<'a>(&'a self, found: Found<'a>) -> Quote<'a> {
        let Found {
            pinned,
            item,
            price,
            passed_over,
            ..
        } = found;
        let price = &price.value;
        let (unit_price, escalated) = self.brought_forward(item, price);
        let named = self.supplier(&price.supplier);
        let from = PricedFrom {
            supplier: named.map_or(&price.supplier, |named| &named.name).clone(),
            from_quantity: (price.from_quantity != Decimal4::ZERO).then_some(price.from_quantity),
            valid_until: price.valid_until,
            quoted_for: price.quoted_for.clone(),
            escalated,
            ..self.priced_here(pinned, price.effective_from)
        };
        Quote {
            item,
            supplier: &price.supplier,
            unit_price,
            from,
            // A quote for the job that holds goes before whatever has passed.
            expired: passed_over.filter(|_| price.quoted_for.is_none()),
        }
    }

    /// What is asked for one, and how it was brought forward where the job wants that.
    pub(super) fn brought_forward(
        &self,
        item: &Item,
        price: &Price,
    ) -> (UnitPrice, Option<Escalated>) {
        // What is chosen always has a figure; a place that was taken back offers nothing.
        let stated = price.unit_price.unwrap_or_default();
        let escalated = self.escalated(item, price.effective_from, stated);
        let brought = escalated.as_ref().and_then(|brought| {
            price_index::escalate(stated, brought.from_value, brought.to_value)
        });
        (brought.unwrap_or(stated), escalated)
    }

    fn priced_here(&self, pinned: &Pinned, effective: NaiveDate) -> PricedFrom {
        PricedFrom {
            book: pinned.code().to_owned(),
            revision: pinned.revision,
            supplier: String::new(),
            effective,
            age_days: (self.as_of - effective).num_days(),
            from_quantity: None,
            valid_until: None,
            quoted_for: None,
            escalated: None,
        }
    }

    fn escalated(&self, item: &Item, since: NaiveDate, price: UnitPrice) -> Option<Escalated> {
        let series = item.index.as_deref().filter(|_| self.wanted.escalate)?;
        let known = |pinned: &&Pinned| pinned.history.has_index(series, pinned.revision);
        let pinned = self.chain.iter().find(known)?;
        let value = |day| pinned.history.index_value(series, day, pinned.revision);
        let (from, to) = (value(since)?, value(self.as_of)?);
        Some(Escalated {
            series: series.to_owned(),
            unit_price: price,
            from_month: price_index::month_text(from.month),
            from_value: from.value,
            to_month: price_index::month_text(to.month),
            to_value: to.value,
        })
    }

    /// The ready-mix terms of the plant whose price holds for `code`; all empty where none does.
    pub fn terms(&self, code: &str) -> ReadyMixTerms {
        let asked = self.ask(code, None, None).ok();
        let supplier = asked.and_then(|asked| self.supplier(asked.supplier));
        supplier.map(|supplier| supplier.terms).unwrap_or_default()
    }

    /// The wage of a class on the day under the schedule that the job wants, and where it came
    /// from; `None` where no book has that schedule and class.
    pub fn wage(&self, class: &str) -> Option<(&Wage, PricedFrom)> {
        let schedule = self.schedule();
        self.chain.iter().find_map(|pinned| {
            let history = &pinned.history;
            let wage = history.wage((schedule, class), self.as_of, pinned.revision)?;
            let from = PricedFrom {
                supplier: format!("wage schedule {schedule}"),
                ..self.priced_here(pinned, wage.value.effective_from)
            };
            Some((&wage.value, from))
        })
    }

    /// Name of the wage schedule that the job wants.
    pub fn schedule(&self) -> &str {
        self.wanted.wages.as_deref().unwrap_or(OWN_WAGES)
    }

    /// The crew's own rates, by task; a nearer book goes before those it inherits from.
    pub fn own_rates(&self) -> BTreeMap<&str, &OwnRate> {
        let mut by_task = BTreeMap::new();
        for pinned in self.chain.iter().rev() {
            let known = pinned.history.own_rates(pinned.revision);
            by_task.extend(known.map(|rate| (rate.task.as_str(), rate)));
        }
        by_task.retain(|_, rate: &mut &OwnRate| rate.minutes.is_some());
        by_task
    }
}
