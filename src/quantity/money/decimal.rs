//! Decimal numbers of fixed scale: unit prices, pay quantities, percentages; and their texts.
//!
//! Invariants: a text has at most nine digits before the point and no more decimals than the type
//! holds; it is never rounded on the way in. Absent here: amounts, which know their currency.

use super::super::slack;
use super::super::{Percent, Quantity, parse_quantity};
use super::divide;

/// Most digits before the point of a price or a pay quantity that comes from outside.
pub(super) const WHOLE_DIGITS: usize = 9;
/// Ten-thousandths in one.
const SCALE: i64 = 10_000;
/// Millionths in one.
const MILLION: i64 = 1_000_000;

/// Why a text is not a decimal number of this kind.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// Not digits with at most one point, or with an exponent, a thousands mark or a currency sign.
    #[error("found \"{found}\", accepted: a decimal number as text, for example {example}")]
    NotDecimal {
        /// The text.
        found: String,
        /// A text that is accepted.
        example: &'static str,
    },
    /// More decimals than the type holds.
    #[error("found \"{found}\", accepted: at most {most} decimals, for example {example}")]
    TooManyDecimals {
        /// The text.
        found: String,
        /// How many are held.
        most: u8,
        /// A text that is accepted.
        example: &'static str,
    },
    /// More digits before the point than any job needs.
    #[error(
        "found \"{found}\", accepted: at most {most} digits before the point, for example {example}"
    )]
    TooLarge {
        /// The text.
        found: String,
        /// How many are taken.
        most: usize,
        /// A text that is accepted.
        example: &'static str,
    },
}

/// What a reader of decimals takes.
pub(super) struct Form {
    /// Most digits before the point.
    pub whole: usize,
    /// Most digits after it.
    pub decimals: u8,
    /// A text that is accepted.
    pub example: &'static str,
}

/// A decimal as read: its digits as a number, and how many of them stand after the point.
pub(super) struct Digits {
    pub number: i64,
    pub decimals: u8,
}

/// Reads `-12.5`: a minus, digits, and a point with digits behind it.
pub(super) fn read_digits(text: &str, form: &Form) -> Result<Digits, MoneyError> {
    let (found, example) = (|| text.chars().take(40).collect::<String>(), form.example);
    let not = || MoneyError::NotDecimal {
        found: found(),
        example,
    };
    let size = text.strip_prefix('-').unwrap_or(text);
    let (whole, decimals) = match size.split_once('.') {
        Some((_, "")) => return Err(not()),
        Some(parts) => parts,
        None => (size, ""),
    };
    let all_digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || !all_digits(whole) || !all_digits(decimals) {
        return Err(not());
    }
    if whole.len() > form.whole {
        return Err(MoneyError::TooLarge {
            found: found(),
            most: form.whole,
            example,
        });
    }
    if decimals.len() > usize::from(form.decimals) {
        return Err(MoneyError::TooManyDecimals {
            found: found(),
            most: form.decimals,
            example,
        });
    }
    let number: i64 = format!("{whole}{decimals}").parse().map_err(|_| not())?;
    let number = if size.len() < text.len() {
        -number
    } else {
        number
    };
    // At most as many as `form.decimals`, which is a byte.
    Ok(Digits {
        number,
        decimals: decimals.len() as u8,
    })
}

/// Writes `number / 10^scale` with at least `least` decimals, straight from integer to digits.
pub(super) fn write_digits(
    f: &mut impl std::fmt::Write,
    number: i64,
    scale: u8,
    least: u8,
) -> std::fmt::Result {
    let power = 10_u64.pow(u32::from(scale.min(18)));
    let size = number.unsigned_abs();
    let (whole, mut part) = (size / power, size % power);
    let mut places = scale;
    while places > least && part.is_multiple_of(10) {
        (part, places) = (part / 10, places - 1);
    }
    if number < 0 {
        f.write_char('-')?;
    }
    write!(f, "{whole}")?;
    if places > 0 {
        write!(f, ".{part:0width$}", width = usize::from(places))
    } else {
        Ok(())
    }
}

/// A price for one unit, in ten-thousandths of the currency's major unit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct UnitPrice(i64);

/// A quantity that is ordered or paid, in ten-thousandths of its unit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Decimal4(i64);

/// A share of an amount, in millionths: 6.25 % is 62 500.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Percentage(i64);

impl UnitPrice {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    pub(super) const FORM: Form = Form {
        whole: WHOLE_DIGITS,
        decimals: 4,
        example: "178.00",
    };

    /// From ten-thousandths.
    pub const fn from_ten_thousandths(number: i64) -> Self {
        Self(number)
    }

    /// In ten-thousandths.
    pub const fn ten_thousandths(self) -> i64 {
        self.0
    }

    /// Reads `178`, `178.00` or `0.1234`.
    ///
    /// # Errors
    /// When the text is no decimal number of at most nine digits and four decimals.
    pub fn parse(text: &str) -> Result<Self, MoneyError> {
        read_digits(text, &Self::FORM).map(|digits| Self(to_scale(&digits)))
    }

    /// A part of this price, rounded once, half away from zero.
    pub fn share(self, share: Percentage) -> Self {
        let wide = i128::from(self.0) * i128::from(share.0);
        Self(super::held(divide(wide, i128::from(MILLION))))
    }

    /// This price times `number / by`, rounded once, half away from zero; `None` where `by` is not
    /// above zero.
    pub fn times_ratio(self, number: i64, by: i64) -> Option<Self> {
        let wide = i128::from(self.0) * i128::from(number) * 2;
        // Doubled, so that an odd divisor has its half too.
        let whole = (by > 0).then(|| divide(wide, i128::from(by) * 2))?;
        Some(Self(super::held(whole)))
    }

    /// This price changed by `share`: 100 % more is twice. Rounded once, half away from zero.
    pub fn changed(self, share: Percentage) -> Self {
        let wide = i128::from(self.0) * i128::from(MILLION.saturating_add(share.0));
        Self(super::held(divide(wide, i128::from(MILLION))))
    }
}

impl Decimal4 {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// One of it.
    pub const ONE: Self = Self(SCALE);
    pub(super) const FORM: Form = Form {
        whole: WHOLE_DIGITS,
        decimals: 4,
        example: "4.25",
    };

    /// From ten-thousandths.
    pub const fn from_ten_thousandths(number: i64) -> Self {
        Self(number)
    }

    /// So many whole ones.
    pub const fn whole(count: u32) -> Self {
        Self(count as i64 * SCALE)
    }

    /// In ten-thousandths.
    pub const fn ten_thousandths(self) -> i64 {
        self.0
    }

    /// As a number to compute with; exact for all that [`Self::nearest`] gives.
    pub fn number(self) -> f64 {
        self.0 as f64 / SCALE as f64
    }

    /// The nearest to a computed number, at `places` decimals of at most four, half away from
    /// zero; `None` when it is not finite or has more than nine digits before the point.
    pub fn nearest(number: f64, places: u8) -> Option<Self> {
        Self::held(slack::round_to(number, places.min(4)))
    }

    /// The least whole multiple of `step` not below a computed number, with the house's slack;
    /// `None` as for [`Self::nearest`], or when the step is not more than zero.
    pub fn up_to_step(number: f64, step: Self) -> Option<Self> {
        if step.0 <= 0 {
            return None;
        }
        // Counted in whole steps of integers, so that 0.1 or 0.25 is never a float.
        let steps = slack::ceil(number * SCALE as f64 / step.0 as f64);
        let count = Self::held(steps)?.0 / SCALE;
        count.checked_mul(step.0).map(Self)
    }

    /// The multiple of `step` nearest to a computed number, half away from zero; `None` as for
    /// [`Self::up_to_step`].
    pub fn nearest_step(number: f64, step: Self) -> Option<Self> {
        if step.0 <= 0 {
            return None;
        }
        let steps = slack::round_to(number * SCALE as f64 / step.0 as f64, 0);
        let count = Self::held(steps)?.0 / SCALE;
        count.checked_mul(step.0).map(Self)
    }

    fn held(number: f64) -> Option<Self> {
        let within = number.is_finite() && number.abs() < 1e9;
        within.then(|| Self(libm::round(number * SCALE as f64) as i64))
    }

    /// Reads `4.25`.
    ///
    /// # Errors
    /// When the text is no decimal number of at most nine digits and four decimals.
    pub fn parse(text: &str) -> Result<Self, MoneyError> {
        read_digits(text, &Self::FORM).map(|digits| Self(to_scale(&digits)))
    }
}

/// Digits with at most four decimals, in ten-thousandths.
fn to_scale(digits: &Digits) -> i64 {
    digits.number * 10_i64.pow(u32::from(4 - digits.decimals.min(4)))
}

impl std::ops::Add for UnitPrice {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl std::ops::Add for Decimal4 {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl std::ops::Sub for Decimal4 {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl std::iter::Sum for Decimal4 {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, |sum, one| sum + one)
    }
}

impl Percentage {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// The whole: 100 %.
    pub const WHOLE: Self = Self(MILLION);

    /// From millionths.
    pub const fn from_millionths(number: i64) -> Self {
        Self(number)
    }

    /// In millionths.
    pub const fn millionths(self) -> i64 {
        self.0
    }

    /// From a percentage as read; to the ten-thousandth of a percent.
    pub fn of(percent: Percent) -> Self {
        // The cast saturates; bounds rows keep percentages below a thousand.
        Self(libm::round(percent.fraction() * MILLION as f64) as i64)
    }

    /// As a fraction to compute with.
    pub fn percent(self) -> Percent {
        Percent::from_si(self.0 as f64 / MILLION as f64)
    }

    /// Reads `6.25 %`.
    ///
    /// # Errors
    /// As for [`Percent`].
    pub fn parse(text: &str) -> Result<Self, super::super::QuantityError> {
        parse_quantity::<Percent>(text).map(Self::of)
    }
}

impl From<Percent> for Percentage {
    fn from(percent: Percent) -> Self {
        Self::of(percent)
    }
}

impl std::fmt::Display for UnitPrice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write_digits(f, self.0, 4, 2)
    }
}

impl std::fmt::Display for Decimal4 {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write_digits(f, self.0, 4, 0)
    }
}

impl std::fmt::Display for Percentage {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write_digits(f, self.0, 4, 0)?;
        f.write_str(" %")
    }
}
