//! One item through time: its particulars and what every seller asked for it.
//!
//! Invariants: nothing is removed; what holds depends on the day and the revision alone. Absent
//! here: which of several sellers is chosen.

use super::price::{Seller, Stands};
use super::{Expired, Item, Learned, Offer, Price, history::newest};
use chrono::NaiveDate;

/// One item through time.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ItemHistory {
    versions: Vec<Learned<Item>>,
    // By supplier, then by the job that prices were quoted for.
    sellers: Vec<Seller>,
}

/// What all sellers of an item ask on a day.
#[derive(Clone, Debug, Default)]
pub struct Offers<'a> {
    /// What holds, by supplier; a quote for the job stands beside the price for all.
    pub offers: Vec<Offer<'a>>,
    /// What would hold, had its last day not passed.
    pub expired: Vec<Expired>,
    /// The first day on which a price takes effect, where none has yet.
    pub not_yet: Option<NaiveDate>,
}

impl Offers<'_> {
    /// True when nobody asks another price for another quantity, or sells none so small.
    pub(super) fn are_for_any_order(&self) -> bool {
        let one_price = |offer: &Offer<'_>| {
            offer.rungs().len() == 1 && offer.least() == crate::quantity::money::Decimal4::ZERO
        };
        self.offers.iter().all(one_price)
    }
}

impl ItemHistory {
    /// The item as it stood at `revision`; `None` when it was not known yet.
    pub fn item(&self, revision: i64) -> Option<&Item> {
        newest(&self.versions, revision)
    }

    /// What every seller asks on `day`, as known at `revision`; of the prices that were quoted for
    /// one job, those for `job` only.
    pub fn offers(&self, day: NaiveDate, revision: i64, job: Option<&str>) -> Offers<'_> {
        let mut found = Offers::default();
        let asked =
            |seller: &&Seller| seller.quoted_for.is_none() || seller.quoted_for.as_deref() == job;
        for seller in self.sellers.iter().filter(asked) {
            match seller.stands(day, revision) {
                Stands::Offer(offer) => found.offers.push(offer),
                Stands::Expired(expired) => found.expired.push(expired),
                Stands::NotYet(first) => {
                    found.not_yet = Some(found.not_yet.map_or(first, |known| known.min(first)));
                }
                Stands::Nothing => {}
            }
        }
        found
    }

    /// Every price as known at `revision`, by supplier, job, day and quantity.
    pub fn known_prices(&self, revision: i64) -> impl Iterator<Item = &Learned<Price>> {
        self.sellers
            .iter()
            .flat_map(move |seller| seller.known(revision))
    }

    /// Every price ever written up to `revision`, withdrawals among them, by supplier, job, day,
    /// quantity and revision.
    pub fn prices(&self, revision: i64) -> impl Iterator<Item = &Learned<Price>> {
        let written = self.sellers.iter().flat_map(|seller| seller.all());
        written.filter(move |price| price.revision <= revision)
    }

    /// The newest word on the place of `price`: its supplier, day, quantity and job.
    pub fn newest_price(&self, price: &Price, revision: i64) -> Option<&Learned<Price>> {
        let at = self.find(price).ok()?;
        self.sellers[at].newest(price, revision)
    }

    /// The newest revision up to `revision` in which the item or one of its prices was written.
    pub fn changed(&self, revision: i64) -> Option<i64> {
        let versions = self.versions.iter().map(|version| version.revision);
        let prices = self.sellers.iter().flat_map(|seller| seller.all());
        versions
            .chain(prices.map(|price| price.revision))
            .filter(|&changed| changed <= revision)
            .max()
    }

    pub(super) fn learn_item(&mut self, item: Learned<Item>) {
        super::history::insert(&mut self.versions, item);
    }

    /// Adds a price; [`Self::settle`] puts it in place.
    pub(super) fn push_price(&mut self, price: Learned<Price>) {
        let at = self.find(&price.value).unwrap_or_else(|at| {
            self.sellers.insert(at, Seller::of(&price.value));
            at
        });
        self.sellers[at].push(price);
    }

    pub(super) fn settle(&mut self) {
        self.sellers.iter_mut().for_each(Seller::settle);
    }

    fn find(&self, price: &Price) -> Result<usize, usize> {
        let wanted = (price.supplier.as_str(), price.quoted_for.as_deref());
        self.sellers.binary_search_by(|known| {
            (known.supplier.as_str(), known.quoted_for.as_deref()).cmp(&wanted)
        })
    }
}
