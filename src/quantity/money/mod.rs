//! Exact money: unit prices, amounts, pay quantities and percentages as scaled integers.
//!
//! Invariants: no float holds money; products are taken in 128 bits and rounded once, half away
//! from zero, at [`extend`], [`Amount::percent`], [`Amount::portion`] and [`Amount::margin`] and nowhere
//! else. Sums
//! that would leave 64 bits stay at the end of the range instead of wrapping; what is read from
//! outside is far below it. Absent here: which step is charged on which base.

mod amount;
mod currency;
mod decimal;
mod wire;

pub use amount::{Amount, extend};
pub use currency::Currency;
pub use decimal::{Decimal4, MoneyError, Percentage, UnitPrice};

/// `dividend / divisor`, half away from zero; the divisor is more than zero.
fn divide(dividend: i128, divisor: i128) -> i128 {
    let half = if dividend < 0 {
        -(divisor / 2)
    } else {
        divisor / 2
    };
    // For an even divisor this is exact, and an odd one has no half to decide.
    (dividend + half) / divisor
}

/// The nearest number 64 bits can hold.
fn held(wide: i128) -> i64 {
    i64::try_from(wide).unwrap_or(if wide < 0 { i64::MIN } else { i64::MAX })
}
