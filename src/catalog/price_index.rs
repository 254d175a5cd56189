//! Price indices by month, and prices brought from one month to another.
//!
//! Invariants: a month without a value takes the last one before it, and what was taken is said; a
//! price is rounded once. Absent here: when a price ought to be brought forward.

use crate::quantity::money::{Decimal4, UnitPrice};
use chrono::{Datelike, NaiveDate};
use serde::Serialize;

/// What an index says of one month.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IndexValue {
    /// Code of the series.
    pub series: String,
    /// The first day of the month.
    pub month: NaiveDate,
    /// Above zero.
    pub value: Decimal4,
}

/// How a price was brought from the month it took effect to the month of the estimate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Escalated {
    /// Code of the series.
    pub series: String,
    /// The price before.
    pub unit_price: UnitPrice,
    /// Month whose value stands for the day from which the price holds, `YYYY-MM`.
    pub from_month: String,
    /// Its value.
    pub from_value: Decimal4,
    /// Month whose value stands for the day of the estimate.
    pub to_month: String,
    /// Its value.
    pub to_value: Decimal4,
}

/// `price` times `to / from`, rounded once to the ten-thousandth, half away from zero.
///
/// # Source
/// Producer price index guide of the US Bureau of Labor Statistics on price adjustment: the base
/// price times the index of the later month over that of the base month (from memory).
pub fn escalate(price: UnitPrice, from: Decimal4, to: Decimal4) -> Option<UnitPrice> {
    price.times_ratio(to.ten_thousandths(), from.ten_thousandths())
}

/// A month as it is written.
pub fn month_text(month: NaiveDate) -> String {
    format!("{:04}-{:02}", month.year(), month.month())
}

/// Reads `2026-03`; none for a month that does not exist.
pub fn parse_month(text: &str) -> Option<NaiveDate> {
    let (year, month) = text.split_once('-')?;
    let digits = |part: &str, len| part.len() == len && part.bytes().all(|b| b.is_ascii_digit());
    if !digits(year, 4) || !digits(month, 2) {
        return None;
    }
    NaiveDate::from_ymd_opt(year.parse().ok()?, month.parse().ok()?, 1)
}
