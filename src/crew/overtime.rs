//! Overtime of a person who works at two rates in one week.
//!
//! Invariants: exact whole cents; each step is rounded to the cent once, half away from zero, as
//! the published example does. Absent: who is owed overtime, and any rule of a state.

use crate::quantity::money::{Amount, Currency, Decimal4, UnitPrice, extend};

/// Hours at one rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stint {
    /// Hours.
    pub hours: Decimal4,
    /// Rate an hour.
    pub rate: UnitPrice,
}

/// A week's pay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OvertimePay {
    /// Every hour at its own rate.
    pub straight: Amount,
    /// Straight pay over all hours.
    pub regular_rate: Amount,
    /// Half of that.
    pub half_rate: Amount,
    /// Half the regular rate for each hour above `after`.
    pub premium: Amount,
}

/// The weighted regular rate of a week and the premium for its hours above `after`.
///
/// `None` for a week without hours, or a sum too large to hold.
///
/// # Source
/// 29 CFR 778.115, as restated in public notes: the regular rate is the weighted average of the
/// rates, the premium half of it for each hour above 40.
pub fn price_overtime(
    stints: &[Stint],
    after: Decimal4,
    currency: &Currency,
) -> Option<OvertimePay> {
    let pay = |stint: &Stint| extend(stint.hours, stint.rate, currency).minor();
    let straight: i64 = checked_sum(stints.iter().map(pay))?;
    let hours = checked_sum(stints.iter().map(|stint| stint.hours.ten_thousandths()))?;
    let regular = divide(i128::from(straight) * HOUR, i128::from(hours))?;
    let half = divide(i128::from(regular), 2)?;
    let over = (hours - after.ten_thousandths()).max(0);
    let premium = divide(i128::from(half) * i128::from(over), HOUR)?;
    let amount = |minor| Amount::from_minor(minor, currency);
    Some(OvertimePay {
        straight: amount(straight),
        regular_rate: amount(regular),
        half_rate: amount(half),
        premium: amount(premium),
    })
}

/// One hour in the steps of `Decimal4`.
const HOUR: i128 = 10_000;

fn checked_sum(mut parts: impl Iterator<Item = i64>) -> Option<i64> {
    parts.try_fold(0_i64, i64::checked_add)
}

/// Whole quotient, half away from zero; `None` by nothing or out of range.
fn divide(number: i128, by: i128) -> Option<i64> {
    if by <= 0 {
        return None;
    }
    let twice = number.checked_mul(2)?;
    let rounded = (twice + twice.signum() * by) / (2 * by);
    i64::try_from(rounded).ok()
}
