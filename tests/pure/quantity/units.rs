//! Every unit's size against its published value and against an independent table of units.

use super::close;
use crossfall::quantity::{Dimension, Factor, Scale};
use uom::si::f64 as si;
use uom::si::{
    area, length, mass, mass_density, pressure, ratio, thermodynamic_temperature as temperature,
    time, velocity, volume,
};

/// The size of every unit that is a fixed multiple of SI's.
///
/// # Source
/// NIST SP 811 (2008), appendix B.8: the exact values are those in bold there, or products of
/// them; SI Brochure, 9th ed. Both from memory, and held to crate `uom` below.
const PUBLISHED: &[(Dimension, &str, f64)] = &[
    (Dimension::Length, "in", 0.0254),
    (Dimension::Length, "ft", 0.3048),
    (Dimension::Length, "yd", 0.9144),
    (Dimension::Length, "mm", 0.001),
    (Dimension::Length, "cm", 0.01),
    (Dimension::Length, "m", 1.0),
    (Dimension::Area, "ft2", 0.092_903_04),
    (Dimension::Area, "in2", 0.000_645_16),
    (Dimension::Area, "yd2", 0.836_127_36),
    (Dimension::Area, "m2", 1.0),
    (Dimension::Volume, "yd3", 0.764_554_857_984),
    (Dimension::Volume, "ft3", 0.028_316_846_592),
    (Dimension::Volume, "gal", 0.003_785_411_784),
    (Dimension::Volume, "m3", 1.0),
    (Dimension::Volume, "L", 0.001),
    (Dimension::Mass, "lb", 0.453_592_37),
    (Dimension::Mass, "ton", 907.184_74),
    (Dimension::Mass, "kg", 1.0),
    (Dimension::Mass, "t", 1_000.0),
    (Dimension::Slope, "%", 0.01),
    (Dimension::Slope, "in/ft", 0.0254 / 0.3048),
    (Dimension::Slope, "mm/m", 0.001),
    (Dimension::Span, "h", 3_600.0),
    (Dimension::Span, "min", 60.0),
    (Dimension::Span, "d", 86_400.0),
    (
        Dimension::Stress,
        "psi",
        0.453_592_37 * 9.806_65 / 0.000_645_16,
    ),
    (Dimension::Stress, "MPa", 1e6),
    (Dimension::Stress, "kPa", 1e3),
    (Dimension::Percent, "%", 0.01),
    (
        Dimension::Coverage,
        "ft2/gal",
        0.092_903_04 / 0.003_785_411_784,
    ),
    (Dimension::Coverage, "m2/L", 1_000.0),
    (
        Dimension::Density,
        "lb/ft3",
        0.453_592_37 / 0.028_316_846_592,
    ),
    (
        Dimension::Density,
        "ton/yd3",
        907.184_74 / 0.764_554_857_984,
    ),
    (
        Dimension::Density,
        "lb/yd3",
        0.453_592_37 / 0.764_554_857_984,
    ),
    (Dimension::Density, "kg/m3", 1.0),
    (Dimension::Density, "t/m3", 1_000.0),
    (Dimension::Speed, "mph", 0.447_04),
    (Dimension::Speed, "km/h", 1.0 / 3.6),
    (Dimension::Speed, "m/s", 1.0),
];

fn factor(scale: Scale) -> Option<Factor> {
    match scale {
        Scale::Times(factor) => Some(factor),
        Scale::From { .. } | Scale::Degrees => None,
    }
}

#[test]
fn every_unit_has_its_published_size() {
    for dimension in Dimension::ALL {
        for row in dimension.rows() {
            let Some(factor) = factor(row.scale) else {
                continue;
            };
            let published = PUBLISHED
                .iter()
                .find(|p| (p.0, p.1) == (dimension, row.symbol()));
            let (_, _, size) = published.unwrap_or_else(|| panic!("no value for {}", row.symbol()));
            assert!(
                close(factor.to_si(1.0), *size),
                "{} is {}",
                row.symbol(),
                factor.to_si(1.0)
            );
            assert!(close(factor.from_si(*size), 1.0), "{} back", row.symbol());
        }
    }
}

/// The same units in crate `uom`, in SI; some of its factors have only seven digits.
fn by_uom(dimension: Dimension, symbol: &str) -> Option<f64> {
    let area_per_volume = |covered: si::Area, spent: si::Volume| (covered / spent).value;
    Some(match (dimension, symbol) {
        (Dimension::Length, "in") => si::Length::new::<length::inch>(1.0).value,
        (Dimension::Length, "ft") => si::Length::new::<length::foot>(1.0).value,
        (Dimension::Length, "yd") => si::Length::new::<length::yard>(1.0).value,
        (Dimension::Length, "mm") => si::Length::new::<length::millimeter>(1.0).value,
        (Dimension::Length, "cm") => si::Length::new::<length::centimeter>(1.0).value,
        (Dimension::Area, "ft2") => si::Area::new::<area::square_foot>(1.0).value,
        (Dimension::Area, "in2") => si::Area::new::<area::square_inch>(1.0).value,
        (Dimension::Area, "yd2") => si::Area::new::<area::square_yard>(1.0).value,
        (Dimension::Volume, "yd3") => si::Volume::new::<volume::cubic_yard>(1.0).value,
        (Dimension::Volume, "ft3") => si::Volume::new::<volume::cubic_foot>(1.0).value,
        (Dimension::Volume, "gal") => si::Volume::new::<volume::gallon>(1.0).value,
        (Dimension::Volume, "L") => si::Volume::new::<volume::liter>(1.0).value,
        (Dimension::Mass, "lb") => si::Mass::new::<mass::pound>(1.0).value,
        (Dimension::Mass, "ton") => si::Mass::new::<mass::ton_short>(1.0).value,
        (Dimension::Mass, "t") => si::Mass::new::<mass::ton>(1.0).value,
        (Dimension::Slope | Dimension::Percent, "%") => si::Ratio::new::<ratio::percent>(1.0).value,
        (Dimension::Slope, "in/ft") => {
            (si::Length::new::<length::inch>(1.0) / si::Length::new::<length::foot>(1.0)).value
        }
        (Dimension::Slope, "mm/m") => {
            (si::Length::new::<length::millimeter>(1.0) / si::Length::new::<length::meter>(1.0))
                .value
        }
        (Dimension::Span, "h") => si::Time::new::<time::hour>(1.0).value,
        (Dimension::Span, "min") => si::Time::new::<time::minute>(1.0).value,
        (Dimension::Span, "d") => si::Time::new::<time::day>(1.0).value,
        (Dimension::Stress, "psi") => si::Pressure::new::<pressure::psi>(1.0).value,
        (Dimension::Stress, "MPa") => si::Pressure::new::<pressure::megapascal>(1.0).value,
        (Dimension::Stress, "kPa") => si::Pressure::new::<pressure::kilopascal>(1.0).value,
        (Dimension::Coverage, "ft2/gal") => area_per_volume(
            si::Area::new::<area::square_foot>(1.0),
            si::Volume::new::<volume::gallon>(1.0),
        ),
        (Dimension::Coverage, "m2/L") => area_per_volume(
            si::Area::new::<area::square_meter>(1.0),
            si::Volume::new::<volume::liter>(1.0),
        ),
        (Dimension::Density, "lb/ft3") => {
            si::MassDensity::new::<mass_density::pound_per_cubic_foot>(1.0).value
        }
        (Dimension::Density, "lb/yd3") => {
            si::MassDensity::new::<mass_density::pound_per_cubic_yard>(1.0).value
        }
        (Dimension::Density, "ton/yd3") => {
            si::MassDensity::new::<mass_density::ton_short_per_cubic_yard>(1.0).value
        }
        (Dimension::Density, "t/m3") => 1_000.0,
        (Dimension::Speed, "mph") => si::Velocity::new::<velocity::mile_per_hour>(1.0).value,
        (Dimension::Speed, "km/h") => si::Velocity::new::<velocity::kilometer_per_hour>(1.0).value,
        (_, "m" | "m2" | "m3" | "kg" | "kg/m3" | "m/s") => 1.0,
        _ => return None,
    })
}

#[test]
fn an_independent_table_of_units_agrees() {
    for dimension in Dimension::ALL {
        for row in dimension.rows() {
            let Some(factor) = factor(row.scale) else {
                continue;
            };
            let other = by_uom(dimension, row.symbol());
            let other = other.unwrap_or_else(|| panic!("{} is not compared", row.symbol()));
            let ratio = factor.to_si(1.0) / other;
            assert!((ratio - 1.0).abs() < 2e-7, "{}: {ratio}", row.symbol());
        }
    }
}

#[test]
fn temperatures_agree_on_both_scales() {
    for degrees in [-40.0, 0.0, 32.0, 98.6, 212.0] {
        let fahrenheit =
            si::ThermodynamicTemperature::new::<temperature::degree_fahrenheit>(degrees);
        let celsius = si::ThermodynamicTemperature::new::<temperature::degree_celsius>(degrees);
        for (symbol, other) in [("degF", fahrenheit.value), ("degC", celsius.value)] {
            let row = Dimension::Temperature
                .row(symbol)
                .expect("both scales are rows");
            assert!(
                row.scale
                    .to_si(degrees)
                    .is_some_and(|kelvins| close(kelvins, other))
            );
            assert!((row.scale.from_si(other) - degrees).abs() < 1e-9);
        }
    }
}

#[test]
fn every_row_is_whole() {
    for dimension in Dimension::ALL {
        let mut seen: Vec<&str> = Vec::new();
        assert!(!dimension.examples().is_empty());
        for row in dimension.rows() {
            assert_eq!(row.dimension, dimension, "{}", row.symbol());
            assert!(!row.source.is_empty(), "{} has no source", row.symbol());
            seen.extend(row.symbols);
        }
        let all = seen.len();
        seen.sort_unstable();
        seen.dedup();
        assert_eq!(
            seen.len(),
            all,
            "a symbol of {dimension:?} stands in two rows"
        );
    }
}

#[test]
fn whole_multiples_of_a_unit_are_the_same_bits() {
    use crossfall::quantity::{Length, Volume};
    for count in 1..=400 {
        let count = f64::from(count);
        assert_eq!(Length::from_feet(count), Length::from_inches(12.0 * count));
        assert_eq!(
            Volume::from_cubic_yards(count),
            Volume::from_cubic_feet(27.0 * count)
        );
    }
}
