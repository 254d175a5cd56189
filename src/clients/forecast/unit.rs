//! The units in which a forecast tells its values, as rows.
//!
//! Invariant: a value becomes the quantity that a caller gets who writes the same number in the same
//! unit, so that a series sent by hand gives the same plan. Absent: which unit belongs to which layer;
//! a unit of another dimension is not read there.

use crate::quantity::{Quantity, parse_quantity};
use serde::Deserialize;
use std::sync::LazyLock;

/// One row.
#[derive(Clone, Debug, Deserialize)]
struct UnitRow {
    name: String,
    ours: String,
    times: Option<f64>,
}

#[derive(Deserialize)]
struct File {
    unit: Vec<UnitRow>,
}

static UNITS: LazyLock<Vec<UnitRow>> = LazyLock::new(|| {
    let file: Result<File, _> = toml::from_str(include_str!("units.toml"));
    file.expect("the embedded unit rows are read by a test")
        .unit
});

/// A unit that is read here.
#[derive(Clone, Copy, Debug)]
pub(super) struct Unit(&'static UnitRow);

impl Unit {
    /// The unit of a name such as `wmoUnit:degC`; what stands before the colon is not looked at.
    pub(super) fn of(name: &str) -> Option<Self> {
        let own = name.rsplit(':').next().unwrap_or(name);
        UNITS.iter().find(|row| row.name == own).map(Self)
    }

    /// So many of it; none where it is of another dimension, or no number a person would write.
    pub(super) fn measure<Q: Quantity>(self, value: f64) -> Option<Q> {
        let value = self.0.times.map_or(value, |times| value * times);
        parse_quantity(&format!("{value} {}", self.0.ours)).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Percent, Speed, Temperature};

    fn speed(name: &str, value: f64) -> Option<Speed> {
        Unit::of(name)?.measure(value)
    }

    /// Sizes: NIST SP 811 (2008), appendix B.8, from memory: mile per hour 0.44704 m/s, knot 1852 m an hour.
    #[test]
    fn every_row_is_read_in_its_dimension() {
        let warm = |name: &str, value| Unit::of(name)?.measure::<Temperature>(value);
        let zero = Some(Temperature::from_kelvins(273.15));
        assert_eq!(warm("wmoUnit:degC", 0.0), zero);
        assert_eq!(warm("unit:degF", 32.0), zero);
        assert_eq!(
            warm("degC", -40.0).map(Temperature::kelvins),
            Some(273.15 - 40.0)
        );
        let share = Unit::of("wmoUnit:percent").and_then(|unit| unit.measure(55.0));
        assert_eq!(share, Some(Percent::from_percent(55.0)));
        let near = |read: Option<Speed>, metres: f64| {
            let read = read.map(Quantity::si).expect("a speed");
            assert!((read - metres).abs() < 1e-12, "{read} for {metres}");
        };
        near(speed("wmoUnit:km_h-1", 18.0), 5.0);
        near(speed("wmoUnit:m_s-1", 2.5), 2.5);
        near(speed("wmoUnit:mi_h-1", 10.0), 4.4704);
        near(speed("wmoUnit:kt", 10.0), 18_520.0 / 3_600.0);
        near(speed("wmoUnit:kn", 10.0), 18_520.0 / 3_600.0);
        assert_eq!(UNITS.len(), 8, "a new row wants its line here");
    }

    #[test]
    fn what_is_of_another_dimension_is_not_read() {
        assert_eq!(speed("wmoUnit:degC", 5.0), None);
        assert_eq!(speed("wmoUnit:km_h-1", 1e300), None);
        assert!(Unit::of("wmoUnit:furlong").is_none() && Unit::of("").is_none());
    }
}
