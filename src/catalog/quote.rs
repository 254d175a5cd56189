//! The price of one item on one day, with where it came from and what was passed over.
//!
//! Invariant: of several sellers the choice follows one stated order, so that the same book gives
//! the same quote for ever. Absent here: whether it pays to order all of a job from one seller.

use super::price_index::Escalated;
use super::{Expired, Item, Learned, Offers, Price};
use crate::quantity::money::{Decimal4, UnitPrice};
use chrono::NaiveDate;
use serde::{Serialize, Serializer, ser::SerializeMap};

/// Why an item has no price on the day; its line stands under `unpriced`.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPrice {
    /// No book knows the item at this revision.
    #[error("the book has no such item")]
    UnknownItem,
    /// The item is known, but no price for it at this revision.
    #[error("the book has no price for it")]
    NeverPriced,
    /// The first price takes effect after the day.
    #[error("its first price takes effect on {first}")]
    NotYet {
        /// The day on which it does.
        first: NaiveDate,
    },
    /// It is sold in larger quantities only.
    #[error("it is sold from {least} on")]
    TooLittle {
        /// The least that is sold, in the sale unit.
        least: Decimal4,
    },
    /// The last day of its only price has passed.
    #[error("its price was valid until {valid_until}; ask for a new one")]
    Expired {
        /// That day.
        valid_until: NaiveDate,
    },
    /// The wage schedule does not hold the class.
    #[error("the wage schedule `{schedule}` has no such class on this day")]
    NoWage {
        /// Name of the schedule.
        schedule: String,
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
    /// Holds for orders of at least this, where the supplier asks less for more.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "service", schema(required = false))]
    pub from_quantity: Option<Decimal4>,
    /// The last day on which it holds, where the supplier named one.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "service", schema(value_type = Option<String>, format = Date, required = false))]
    pub valid_until: Option<NaiveDate>,
    /// The job that it was quoted for.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "service", schema(required = false))]
    pub quoted_for: Option<String>,
    /// How it was brought forward by a price index.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "service", schema(required = false))]
    pub escalated: Option<Escalated>,
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
    /// Code of the supplier.
    pub supplier: &'a str,
    /// For one sale unit.
    pub unit_price: UnitPrice,
    /// Where the price came from.
    pub from: PricedFrom,
    /// A price that would have gone before, had its last day not passed.
    pub expired: Option<Expired>,
}

/// What a choice among sellers follows.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Among<'a> {
    /// How much is ordered.
    pub(super) quantity: Option<Decimal4>,
    /// Only this supplier.
    pub(super) only: Option<&'a str>,
    /// This supplier before the others.
    pub(super) preferred: Option<&'a str>,
}

/// The price that counts: one quoted for the job, else the preferred supplier's, else the cheapest,
/// else the newest, else the first supplier by code.
///
/// # Errors
/// [`NoPrice`] says why there is none.
pub(super) fn choose<'a>(
    found: &Offers<'a>,
    among: Among<'_>,
) -> Result<&'a Learned<Price>, NoPrice> {
    let offers = || {
        let asked = found.offers.iter();
        asked.filter(|offer| {
            let supplier = offer
                .rungs()
                .first()
                .map(|rung| rung.value.supplier.as_str());
            among.only.is_none_or(|only| supplier == Some(only))
        })
    };
    let best = offers()
        .filter_map(|offer| offer.at(among.quantity))
        .min_by(|a, b| order(&a.value, among).cmp(&order(&b.value, among)));
    best.ok_or_else(|| match offers().map(|offer| offer.least()).min() {
        Some(least) => NoPrice::TooLittle { least },
        None => why_none(found),
    })
}

fn order<'a>(price: &'a Price, among: Among<'_>) -> impl Ord + use<'a> {
    (
        price.quoted_for.is_none(),
        Some(price.supplier.as_str()) != among.preferred,
        price.unit_price,
        std::cmp::Reverse(price.effective_from),
        price.supplier.as_str(),
    )
}

fn why_none(found: &Offers<'_>) -> NoPrice {
    let expired = found
        .expired
        .iter()
        .map(|expired| expired.valid_until)
        .max();
    match (expired, found.not_yet) {
        (Some(valid_until), _) => NoPrice::Expired { valid_until },
        (None, Some(first)) => NoPrice::NotYet { first },
        (None, None) => NoPrice::NeverPriced,
    }
}

fn write_days<S: Serializer>(days: &i64, serializer: S) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(Some(2))?;
    map.serialize_entry("value", days)?;
    map.serialize_entry("unit", "d")?;
    map.end()
}
