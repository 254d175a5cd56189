//! What an item costs: one price, and what one seller asks on a day.
//!
//! Invariants: a price is known by its supplier, day, quantity and the job it was quoted for; a
//! later revision with the same four corrects it, and one without a figure takes it back. A new day
//! replaces the whole ladder of quantities. Absent here: which of several sellers is chosen.

use super::Learned;
use crate::quantity::money::{Decimal4, UnitPrice};
use chrono::NaiveDate;

/// What an item costs at a supplier from a day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Price {
    /// Code of the item.
    pub item: String,
    /// Code of the supplier.
    pub supplier: String,
    /// Holds for orders of at least this, in the sale unit; zero where any order gets it.
    pub from_quantity: Decimal4,
    /// For one sale unit; none takes back what an earlier revision said for the same place.
    pub unit_price: Option<UnitPrice>,
    /// The first day on which it holds; it holds until the next one does.
    pub effective_from: NaiveDate,
    /// The last day on which it holds, where the supplier named one.
    pub valid_until: Option<NaiveDate>,
    /// Name of the one job that it was quoted for; none where it holds for all.
    pub quoted_for: Option<String>,
}

/// A price that would hold, had the day it was valid until not passed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Expired {
    /// Code of the supplier.
    pub supplier: String,
    /// The last day on which it held.
    pub valid_until: NaiveDate,
    /// The job that it was quoted for.
    pub quoted_for: Option<String>,
}

/// What one seller asks on a day, by quantity.
#[derive(Clone, Debug)]
pub struct Offer<'a> {
    // Never empty, by rising quantity, each with a figure.
    rungs: Vec<&'a Learned<Price>>,
}

impl<'a> Offer<'a> {
    /// The price for an order of `quantity`, or for the least order where none is given; `None` when
    /// so little is not sold.
    pub fn at(&self, quantity: Option<Decimal4>) -> Option<&'a Learned<Price>> {
        let Some(quantity) = quantity else {
            return self.rungs.first().copied();
        };
        let reached = |rung: &&&Learned<Price>| rung.value.from_quantity <= quantity;
        self.rungs.iter().rev().find(reached).copied()
    }

    /// The least order.
    pub fn least(&self) -> Decimal4 {
        self.rungs
            .first()
            .map_or(Decimal4::ZERO, |rung| rung.value.from_quantity)
    }

    /// Every rung, by rising quantity.
    pub fn rungs(&self) -> &[&'a Learned<Price>] {
        &self.rungs
    }
}

/// All that one supplier ever asked for one item, for all jobs or for one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Seller {
    pub(super) supplier: String,
    pub(super) quoted_for: Option<String>,
    // By day, then by quantity, then by revision.
    prices: Vec<Learned<Price>>,
}

/// What stands on a day.
pub(super) enum Stands<'a> {
    /// A price holds.
    Offer(Offer<'a>),
    /// One would, but its last day has passed.
    Expired(Expired),
    /// The first takes effect later.
    NotYet(NaiveDate),
    /// There is none at this revision.
    Nothing,
}

impl Seller {
    pub(super) fn of(price: &Price) -> Self {
        Self {
            supplier: price.supplier.clone(),
            quoted_for: price.quoted_for.clone(),
            prices: Vec::new(),
        }
    }

    /// Adds prices in any order; the caller puts them in place with [`Self::settle`].
    pub(super) fn push(&mut self, price: Learned<Price>) {
        self.prices.push(price);
    }

    pub(super) fn settle(&mut self) {
        let place = |price: &Learned<Price>| {
            let value = &price.value;
            (value.effective_from, value.from_quantity, price.revision)
        };
        if !self.prices.is_sorted_by_key(place) {
            self.prices.sort_by_key(place);
        }
    }

    /// Every price ever written, in its place.
    pub(super) fn all(&self) -> &[Learned<Price>] {
        &self.prices
    }

    /// What stands on `day` as known at `revision`.
    pub(super) fn stands(&self, day: NaiveDate, revision: i64) -> Stands<'_> {
        let mut end = self
            .prices
            .partition_point(|price| price.value.effective_from <= day);
        let begun = end;
        let mut expired = None;
        while let Some(last) = end.checked_sub(1).map(|last| &self.prices[last]) {
            let from = last.value.effective_from;
            let start = self.prices[..end].partition_point(|p| p.value.effective_from < from);
            let mut rungs = live(&self.prices[start..end], revision);
            let before = rungs.last().copied();
            rungs.retain(|rung| rung.value.valid_until.is_none_or(|until| day <= until));
            if !rungs.is_empty() {
                return Stands::Offer(Offer { rungs });
            }
            expired = expired.or(before.and_then(|rung| rung.value.valid_until));
            end = start;
        }
        match expired {
            Some(valid_until) => Stands::Expired(Expired {
                supplier: self.supplier.clone(),
                valid_until,
                quoted_for: self.quoted_for.clone(),
            }),
            None => self.first_after(begun, revision),
        }
    }

    fn first_after(&self, begun: usize, revision: i64) -> Stands<'_> {
        let later = live(&self.prices[begun..], revision);
        let first = later.first().map(|price| price.value.effective_from);
        first.map_or(Stands::Nothing, Stands::NotYet)
    }

    /// What is known at `revision`: the newest word on each place, what was taken back left out.
    pub(super) fn known(&self, revision: i64) -> Vec<&Learned<Price>> {
        live(&self.prices, revision)
    }

    /// The newest word on the place of `price`, a withdrawal too.
    pub(super) fn newest(&self, price: &Price, revision: i64) -> Option<&Learned<Price>> {
        let place = (price.effective_from, price.from_quantity);
        let of = |known: &Learned<Price>| (known.value.effective_from, known.value.from_quantity);
        let end = self.prices.partition_point(|known| {
            of(known) < place || (of(known) == place && known.revision <= revision)
        });
        let last = self.prices.get(end.checked_sub(1)?)?;
        (of(last) == place).then_some(last)
    }
}

/// The newest word on each place that is known at `revision` and was not taken back.
fn live(prices: &[Learned<Price>], revision: i64) -> Vec<&Learned<Price>> {
    let same = |a: &Learned<Price>, b: &Learned<Price>| {
        (a.value.effective_from, a.value.from_quantity)
            == (b.value.effective_from, b.value.from_quantity)
    };
    prices
        .chunk_by(same)
        .filter_map(|place| place.iter().rev().find(|price| price.revision <= revision))
        .filter(|price| price.value.unit_price.is_some())
        .collect()
}
