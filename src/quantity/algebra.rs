//! Products and quotients across quantities, and what a slope does to a length.
//!
//! Invariants: every law here is SI times SI or SI over SI, so no factor can hide. Absent here:
//! anything with a limit, a unit or a text.

use super::factors::{CELSIUS, FAHRENHEIT, Scale};
use super::{Area, Coverage, Density, Length, Mass, Percent, Quantity, Slope, Temperature, Volume};
use std::ops::{Div, Mul};

macro_rules! products {
    ($($left:ty, $right:ty => $product:ty;)*) => { $(
        impl Mul<$right> for $left {
            type Output = $product;
            fn mul(self, other: $right) -> $product {
                <$product>::from_si(self.si() * other.si())
            }
        }
    )* };
}

macro_rules! quotients {
    ($($whole:ty, $part:ty => $rest:ty;)*) => { $(
        impl Div<$part> for $whole {
            type Output = $rest;
            fn div(self, other: $part) -> $rest {
                <$rest>::from_si(self.si() / other.si())
            }
        }
    )* };
}

products! {
    Length, Length => Area;
    Area, Length => Volume;
    Length, Area => Volume;
    Volume, Density => Mass;
    Density, Volume => Mass;
    Slope, Length => Length;
    Length, Slope => Length;
    Volume, Coverage => Area;
}

quotients! {
    Area, Length => Length;
    Volume, Area => Length;
    Volume, Length => Area;
    Mass, Density => Volume;
    Mass, Volume => Density;
    Area, Coverage => Volume;
}

impl Slope {
    /// The slope that rises `rise` over a plan length of `run`; `None` unless `run` is more than 0.
    pub fn of(rise: Length, run: Length) -> Option<Self> {
        (run > Length::ZERO).then(|| Self::from_ratio(rise / run))
    }

    /// One up for `run` along, as in 1:12. `run` is never zero.
    pub const fn one_in(run: f64) -> Self {
        Self::from_ratio(1.0 / run)
    }

    /// From an angle above level, in degrees, less than 90 either way.
    pub fn from_degrees(degrees: f64) -> Self {
        Self::from_ratio(libm::tan(degrees.to_radians()))
    }

    /// The angle above level, in degrees.
    pub fn degrees(self) -> f64 {
        Scale::Degrees.from_si(self.si())
    }

    /// Length along the surface for one of plan length: the square root of 1 + slope squared.
    pub fn surface_factor(self) -> f64 {
        libm::hypot(1.0, self.si())
    }
}

impl Temperature {
    /// From degrees Fahrenheit.
    pub fn from_fahrenheit(degrees: f64) -> Self {
        Self::from_si(FAHRENHEIT.to_si(degrees).unwrap_or(degrees))
    }

    /// Degrees Fahrenheit.
    pub fn fahrenheit(self) -> f64 {
        FAHRENHEIT.from_si(self.si())
    }

    /// From degrees Celsius.
    pub fn from_celsius(degrees: f64) -> Self {
        Self::from_si(CELSIUS.to_si(degrees).unwrap_or(degrees))
    }

    /// Degrees Celsius.
    pub fn celsius(self) -> f64 {
        CELSIUS.from_si(self.si())
    }
}

impl Percent {
    /// This share of one whole more: 5 % gives 1.05.
    pub fn plus_one(self) -> f64 {
        1.0 + self.fraction()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn five_inches_over_a_hundred_square_feet_is_a_yard_and_a_half() {
        let volume = Area::from_square_feet(100.0) * Length::from_inches(5.0);
        assert!((volume.cubic_yards() - 500.0 / 12.0 / 27.0).abs() < 1e-12);
        assert!(
            (volume / Area::from_square_feet(100.0)).compare(Length::from_inches(5.0))
                == crate::quantity::Compared::At
        );
    }

    #[test]
    fn a_slope_over_nothing_is_none() {
        let rise = Length::from_inches(28.0);
        assert_eq!(Slope::of(rise, Length::ZERO), None);
        assert_eq!(Slope::of(rise, Length::from_feet(-1.0)), None);
        let slope = Slope::of(rise, Length::from_feet(28.0));
        assert!(slope.is_some_and(|slope| slope.at_most(Slope::one_in(12.0))));
    }

    #[test]
    fn water_freezes_at_both_zeros() {
        assert!((Temperature::from_fahrenheit(32.0).celsius()).abs() < 1e-9);
        assert!((Temperature::from_celsius(100.0).fahrenheit() - 212.0).abs() < 1e-9);
    }

    #[test]
    fn a_gallon_at_its_coverage_covers_it() {
        let volume = Area::from_square_feet(250.0) / Coverage::from_ft2_per_gal(125.0);
        assert!((volume.gallons() - 2.0).abs() < 1e-12);
    }
}
