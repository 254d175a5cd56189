//! The quantities: one private SI number each, told apart by type, made and read by unit.
//!
//! Invariants: the field is private, so a bare number becomes a quantity only by naming its unit;
//! what is read from outside is finite (`parse`), what is computed is finite while its inputs are
//! and nothing is divided by zero. Absent here: products across types (`algebra`), reading,
//! printing.

use super::factors;
use super::slack::{self, Compared};
use super::units::Dimension;
use super::{QuantityError, parse_quantity, print_quantity};

/// What every quantity can do, for code that serves them all.
pub trait Quantity:
    Copy + PartialEq + PartialOrd + Default + std::fmt::Debug + Send + Sync + 'static
{
    /// What it measures.
    const DIMENSION: Dimension;
    /// Its name in the published schema.
    const NAME: &'static str;

    /// The SI number.
    fn si(self) -> f64;

    /// From an SI number.
    fn from_si(si: f64) -> Self;
}

macro_rules! quantities {
    ($(
        $(#[$doc:meta])*
        $name:ident { $( $unit:literal: $from:ident, $to:ident = $factor:ident; )* }
    )*) => { $(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl Quantity for $name {
            const DIMENSION: Dimension = Dimension::$name;
            const NAME: &'static str = stringify!($name);

            fn si(self) -> f64 {
                self.0
            }

            fn from_si(si: f64) -> Self {
                Self(si)
            }
        }

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            $(
                #[doc = concat!("From a number of ", $unit, ".")]
                pub const fn $from(value: f64) -> Self {
                    Self(factors::$factor.to_si(value))
                }

                #[doc = concat!("How many ", $unit, ".")]
                pub const fn $to(self) -> f64 {
                    factors::$factor.from_si(self.0)
                }
            )*

            /// Reads a text with a unit.
            ///
            /// # Errors
            /// What was wrong with the text, what is accepted, and an example.
            pub fn parse(text: &str) -> Result<Self, QuantityError> {
                parse_quantity(text)
            }

            /// The shortest exact text that reads back as this quantity.
            pub fn print(self) -> String {
                print_quantity(self)
            }

            /// Where this stands against `limit`, with the house's slack.
            pub fn compare(self, limit: Self) -> Compared {
                slack::compare(self.0, limit.0)
            }

            /// True at or below `limit`, with the house's slack.
            pub fn at_most(self, limit: Self) -> bool {
                self.compare(limit) != Compared::Above
            }

            /// True at or above `limit`, with the house's slack.
            pub fn at_least(self, limit: Self) -> bool {
                !self.0.is_nan() && self.compare(limit) != Compared::Below
            }

            /// The lesser of two.
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The greater of two.
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// Without its sign.
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// True when there is exactly nothing of it.
            pub const fn is_zero(self) -> bool {
                self.0 == 0.0
            }

            /// The whole order of two, for sorting.
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, times: f64) -> Self {
                Self(self.0 * times)
            }
        }

        impl std::ops::Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name {
                $name(self * quantity.0)
            }
        }

        impl std::ops::Div<f64> for $name {
            type Output = Self;
            fn div(self, parts: f64) -> Self {
                Self(self.0 / parts)
            }
        }

        impl std::ops::Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl std::ops::AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl std::ops::SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
                all.fold(Self::ZERO, |sum, one| sum + one)
            }
        }

        impl<'a> std::iter::Sum<&'a $name> for $name {
            fn sum<I: Iterator<Item = &'a Self>>(all: I) -> Self {
                all.copied().sum()
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&print_quantity(*self))
            }
        }

        impl std::str::FromStr for $name {
            type Err = QuantityError;
            fn from_str(text: &str) -> Result<Self, QuantityError> {
                parse_quantity(text)
            }
        }

        $crate::quantity::wire::impl_wire!($name);
    )* };
}

quantities! {
    /// A length, in metres inside.
    Length {
        "inches": from_inches, inches = INCH;
        "feet": from_feet, feet = FOOT;
        "millimetres": from_millimetres, millimetres = MILLIMETRE;
        "centimetres": from_centimetres, centimetres = CENTIMETRE;
        "metres": from_metres, metres = ONE;
    }
    /// An area, in square metres inside.
    Area {
        "square feet": from_square_feet, square_feet = SQUARE_FOOT;
        "square metres": from_square_metres, square_metres = ONE;
    }
    /// A volume, in cubic metres inside.
    Volume {
        "cubic feet": from_cubic_feet, cubic_feet = CUBIC_FOOT;
        "cubic yards": from_cubic_yards, cubic_yards = CUBIC_YARD;
        "cubic metres": from_cubic_metres, cubic_metres = ONE;
        "US liquid gallons": from_gallons, gallons = GALLON;
        "litres": from_litres, litres = LITRE;
    }
    /// A mass, in kilograms inside; what the trade calls weight.
    Mass {
        "pounds": from_pounds, pounds = POUNDS;
        "kilograms": from_kilograms, kilograms = ONE;
        "short tons of 2000 lb": from_short_tons, short_tons = SHORT_TON;
        "tonnes": from_tonnes, tonnes = TONNE;
    }
    /// A slope: rise over run, positive uphill.
    Slope {
        "rise for one of run": from_ratio, ratio = ONE;
        "hundredths (percent)": from_percent, percent = HUNDREDTH;
    }
    /// A temperature, in kelvins inside. Differences and sums are of kelvins: only differences of
    /// two temperatures, scaled and added to a third, mean anything.
    Temperature {
        "kelvins": from_kelvins, kelvins = ONE;
    }
    /// A span of time, in seconds inside.
    Span {
        "seconds": from_seconds, seconds = ONE;
        "minutes": from_minutes, minutes = MINUTE;
        "hours": from_hours, hours = HOUR;
        "days of 24 hours": from_days, days = DAY;
    }
    /// A stress or strength, in pascals inside.
    Stress {
        "pounds-force per square inch": from_psi, psi = PSI;
        "megapascals": from_megapascals, megapascals = MEGAPASCAL;
    }
    /// A share, a fraction of one inside.
    Percent {
        "hundredths (percent)": from_percent, percent = HUNDREDTH;
        "ones (the fraction)": from_fraction, fraction = ONE;
    }
    /// The area that a volume covers, in square metres per cubic metre inside.
    Coverage {
        "square feet per US gallon": from_ft2_per_gal, ft2_per_gal = FT2_PER_GAL;
        "square metres per litre": from_m2_per_l, m2_per_l = M2_PER_L;
    }
    /// A mass per volume, in kilograms per cubic metre inside.
    Density {
        "pounds per cubic foot": from_lb_per_ft3, lb_per_ft3 = LB_PER_FT3;
        "short tons per cubic yard": from_tons_per_yd3, tons_per_yd3 = TON_PER_YD3;
        "kilograms per cubic metre": from_kg_per_m3, kg_per_m3 = ONE;
    }
    /// A speed, in metres per second inside.
    Speed {
        "statute miles per hour": from_miles_per_hour, miles_per_hour = MILE_PER_HOUR;
        "kilometres per hour": from_kilometres_per_hour, kilometres_per_hour = KILOMETRE_PER_HOUR;
        "metres per second": from_metres_per_second, metres_per_second = ONE;
    }
}
