//! Amounts of money, and the four places where a product is rounded to one.
//!
//! Invariants: an amount knows the decimals of its currency, so that it prints itself; amounts of
//! one value are equal whatever their decimals. Absent here: the currency's name, which an answer
//! says once at its top.

use super::decimal::{Form, MoneyError, read_digits, write_digits};
use super::{Currency, Decimal4, Percentage, UnitPrice, divide, held};
use std::cmp::Ordering;

/// A sum of money in whole minor units of its currency.
#[derive(Clone, Copy, Debug)]
pub struct Amount {
    minor: i64,
    places: u8,
}

/// `quantity` at `price`, rounded half away from zero to the minor unit, once.
pub fn extend(quantity: Decimal4, price: UnitPrice, currency: &Currency) -> Amount {
    let product = i128::from(quantity.ten_thousandths()) * i128::from(price.ten_thousandths());
    // The product has eight decimals, a currency at most four.
    let divisor = 10_i128.pow(8 - u32::from(currency.exponent().min(4)));
    Amount::from_minor(held(divide(product, divisor)), currency)
}

impl Amount {
    /// Nothing, of a currency with two decimals; beside another amount it takes that one's.
    pub const ZERO: Self = Self {
        minor: 0,
        places: 2,
    };
    pub(super) const FORM: Form = Form {
        whole: 14,
        decimals: 4,
        example: "845.50",
    };

    /// So many minor units (cents) of `currency`.
    pub const fn from_minor(minor: i64, currency: &Currency) -> Self {
        Self {
            minor,
            places: currency.exponent(),
        }
    }

    /// Nothing, in the decimals of `currency`.
    pub const fn zero(currency: &Currency) -> Self {
        Self::from_minor(0, currency)
    }

    /// In minor units.
    pub const fn minor(self) -> i64 {
        self.minor
    }

    /// Decimals of the minor unit.
    pub const fn places(self) -> u8 {
        self.places
    }

    /// True when it is nothing.
    pub const fn is_zero(self) -> bool {
        self.minor == 0
    }

    /// True when it is less than nothing.
    pub const fn is_negative(self) -> bool {
        self.minor < 0
    }

    /// Nothing, in the same decimals.
    pub const fn nothing(self) -> Self {
        Self { minor: 0, ..self }
    }

    /// As a number for ranges, shares and other statistics; never added up into money again.
    pub fn number(self) -> f64 {
        // Tens multiply exactly; a power function need not be the same everywhere.
        self.minor as f64 / (0..self.places).fold(1.0, |scale, _| scale * 10.0)
    }

    /// `share` of this amount, rounded half away from zero, once.
    pub fn percent(self, share: Percentage) -> Self {
        let wide = i128::from(self.minor) * i128::from(share.millionths());
        Self {
            minor: held(divide(wide, 1_000_000)),
            ..self
        }
    }

    /// The part of this amount that `part` is of `whole`, rounded half away from zero, once; nothing
    /// of a whole that is nothing.
    pub fn portion(self, part: Self, whole: Self) -> Self {
        let places = part.places.max(whole.places);
        let (part, whole) = (part.at(places), whole.at(places));
        if whole == 0 {
            return Self { minor: 0, ..self };
        }
        let wide = i128::from(self.minor) * part * whole.signum();
        Self {
            minor: held(divide(wide, whole.abs())),
            ..self
        }
    }

    /// What must be added so that it is `margin` of the sum: base times m over 1 less m, rounded
    /// half away from zero, once; `None` for a margin of 100 % or more.
    pub fn margin(self, margin: Percentage) -> Option<Self> {
        let rest = 1_000_000 - i128::from(margin.millionths());
        let wide = i128::from(self.minor) * i128::from(margin.millionths());
        (rest > 0).then(|| Self {
            minor: held(divide(wide, rest)),
            ..self
        })
    }

    /// Reads `845.50`; the decimals written are those it keeps.
    ///
    /// # Errors
    /// When the text is no decimal number of at most fourteen digits and four decimals.
    pub fn parse(text: &str) -> Result<Self, MoneyError> {
        let digits = read_digits(text, &Self::FORM)?;
        Ok(Self {
            minor: digits.number,
            places: digits.decimals,
        })
    }

    /// This amount rounded to the minor unit of `currency`, half away from zero.
    pub fn in_currency(self, currency: &Currency) -> Self {
        let (wide, places) = (self.at(4), currency.exponent());
        let minor = held(divide(wide, 10_i128.pow(4 - u32::from(places.min(4)))));
        Self { minor, places }
    }

    /// In units of `places` decimals, of which there are at least as many as its own.
    fn at(self, places: u8) -> i128 {
        i128::from(self.minor) * 10_i128.pow(u32::from(places.saturating_sub(self.places)))
    }

    fn joined(self, other: Self, join: impl Fn(i128, i128) -> i128) -> Self {
        let places = match (self.minor, other.minor) {
            (0, 0) => self.places.min(other.places),
            (0, _) => other.places,
            (_, 0) => self.places,
            _ => self.places.max(other.places),
        };
        let minor = held(join(self.at(places), other.at(places)));
        Self { minor, places }
    }
}

impl Default for Amount {
    fn default() -> Self {
        Self::ZERO
    }
}

impl std::ops::Add for Amount {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.joined(other, |a, b| a + b)
    }
}

impl std::ops::Sub for Amount {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.joined(other, |a, b| a - b)
    }
}

impl std::ops::Neg for Amount {
    type Output = Self;
    fn neg(self) -> Self {
        Self {
            minor: self.minor.saturating_neg(),
            ..self
        }
    }
}

impl std::ops::AddAssign for Amount {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl std::iter::Sum for Amount {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.reduce(|sum, one| sum + one).unwrap_or_default()
    }
}

impl<'a> std::iter::Sum<&'a Amount> for Amount {
    fn sum<I: Iterator<Item = &'a Self>>(all: I) -> Self {
        all.copied().sum()
    }
}

impl PartialEq for Amount {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Amount {}

impl PartialOrd for Amount {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Amount {
    fn cmp(&self, other: &Self) -> Ordering {
        let places = self.places.max(other.places);
        self.at(places).cmp(&other.at(places))
    }
}

impl std::fmt::Display for Amount {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write_digits(f, self.minor, self.places, self.places)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn price(text: &str) -> UnitPrice {
        UnitPrice::parse(text).unwrap_or_default()
    }

    fn quantity(text: &str) -> Decimal4 {
        Decimal4::parse(text).unwrap_or_default()
    }

    #[test]
    fn a_line_is_its_printed_quantity_times_its_printed_price() {
        let line = extend(quantity("4.75"), price("178"), &Currency::USD);
        assert_eq!(line.to_string(), "845.50");
        assert_eq!(
            extend(quantity("0.5"), price("0.01"), &Currency::USD).to_string(),
            "0.01"
        );
        assert_eq!(
            extend(quantity("-0.5"), price("0.01"), &Currency::USD).to_string(),
            "-0.01"
        );
        let yen = Currency::of_code("JPY").unwrap_or_default();
        assert_eq!(
            extend(quantity("1.5"), price("333"), &yen).to_string(),
            "500"
        );
    }

    #[test]
    fn margin_is_a_share_of_the_price_and_percent_of_the_base() {
        let base = Amount::from_minor(85_00, &Currency::USD);
        let share = Percentage::of(crate::quantity::Percent::from_percent(15.0));
        assert_eq!(
            base.margin(share)
                .map(|profit| profit.to_string())
                .as_deref(),
            Some("15.00")
        );
        assert_eq!(base.percent(share).to_string(), "12.75");
        assert_eq!(base.margin(Percentage::WHOLE), None);
    }

    #[test]
    fn a_portion_is_rounded_once_and_has_the_sign_of_its_parts() {
        let amount = |text| Amount::parse(text).unwrap_or_default();
        for (of, part, whole, right) in [
            ("100.00", "1.00", "3.00", "33.33"),
            ("100.00", "2.00", "3.00", "66.67"),
            ("100.00", "-1.00", "3.00", "-33.33"),
            ("100.00", "1.00", "-3.00", "-33.33"),
            ("100.00", "-1", "-3.000", "33.33"),
            ("100.00", "1.00", "0.00", "0.00"),
            // Halves of an odd whole do not exist, those of an even one go away from zero.
            ("0.01", "1.00", "2.00", "0.01"),
        ] {
            let portion = amount(of).portion(amount(part), amount(whole));
            assert_eq!(portion.to_string(), right, "{part} of {whole}");
        }
    }

    #[test]
    fn an_empty_sum_takes_the_decimals_of_what_is_added() {
        let dinar = Currency::of_code("KWD").unwrap_or_default();
        let sum = Amount::ZERO + Amount::from_minor(1_500, &dinar);
        assert_eq!(sum.to_string(), "1.500");
        assert_eq!(Amount::parse("1.5").ok(), Some(sum));
    }

    #[test]
    fn a_price_prints_at_least_two_places_and_a_quantity_none() {
        assert_eq!(price("178").to_string(), "178.00");
        assert_eq!(price("0.1234").to_string(), "0.1234");
        assert_eq!(price("-0.125").to_string(), "-0.125");
        assert_eq!(quantity("4.2500").to_string(), "4.25");
        assert_eq!(quantity("12").to_string(), "12");
        assert_eq!(Percentage::from_millionths(62_500).to_string(), "6.25 %");
    }
}
