//! Quantities in an answer: rounded once, in the unit that the answer's system of units names.
//!
//! Invariants: each type has one unit in each system, and the places of the wire's table; a value
//! that is not finite does not serialise, since JSON would say `null` without a word. Absent here:
//! exact texts (`print`), texts for the tape (`tape`).

use super::slack::round_to;
use super::{Area, Coverage, Density, Length, Mass, Percent, Slope, Span, Speed, Stress, System};
use super::{Temperature, Volume};
use serde::ser::{Error, Serialize, SerializeStruct, Serializer};
use serde::{Deserialize, Deserializer};

/// A rounded number and its unit: the shape of every quantity in an answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shown {
    /// The number, rounded.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
}

impl Shown {
    /// `value` in `unit`, rounded half away from zero to `places`. For a rate whose unit no type of
    /// this file names; where one does, use it, for its schema names the units.
    pub fn new(value: f64, unit: &'static str, places: u8) -> Self {
        Self {
            value: round_to(value, places),
            unit,
        }
    }
}

/// A JSON number without a needless `.0`.
struct Plain(f64);

impl Serialize for Plain {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        const EXACT_WHOLE: f64 = 9_007_199_254_740_992.0;
        if !self.0.is_finite() {
            return Err(S::Error::custom("a quantity in the answer is not finite"));
        }
        if self.0 == libm::trunc(self.0) && self.0.abs() < EXACT_WHOLE {
            return to.serialize_i64(self.0 as i64);
        }
        to.serialize_f64(self.0)
    }
}

impl Serialize for Shown {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut object = to.serialize_struct("Shown", 2)?;
        object.serialize_field("value", &Plain(self.value))?;
        object.serialize_field("unit", self.unit)?;
        object.end()
    }
}

impl std::fmt::Display for Shown {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.value, self.unit)
    }
}

/// An answer's object as it comes back in a document request.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Sent<'a> {
    value: f64,
    #[serde(borrow)]
    unit: std::borrow::Cow<'a, str>,
    #[serde(default)]
    ratio: Option<String>,
}

fn unit_of<'de, D: Deserializer<'de>>(
    from: D,
    units: &[&'static str],
) -> Result<(Shown, Option<String>), D::Error> {
    use serde::de::Error;
    let sent = Sent::deserialize(from)?;
    let unit = units.iter().find(|unit| **unit == sent.unit);
    let unit =
        unit.ok_or_else(|| D::Error::custom(format!("unit: accepted: {}", units.join(", "))))?;
    Ok((
        Shown {
            value: sent.value,
            unit,
        },
        sent.ratio,
    ))
}

macro_rules! shown {
    ($(
        $(#[$doc:meta])*
        $name:ident($quantity:ident): $us:ident $us_unit:literal $us_places:literal,
            $metric:ident $metric_unit:literal $metric_places:literal;
    )*) => { $(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct $name(Shown);

        impl $name {
            /// The quantity in the unit and the places of `system`.
            pub fn of(quantity: $quantity, system: System) -> Self {
                Self(match system {
                    System::Us => Shown::new(quantity.$us(), $us_unit, $us_places),
                    System::Metric => Shown::new(quantity.$metric(), $metric_unit, $metric_places),
                })
            }

            /// The rounded number and its unit.
            pub fn shown(self) -> Shown {
                self.0
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                self.0.serialize(to)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                unit_of(from, &[$us_unit, $metric_unit]).map(|(shown, _)| Self(shown))
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }

        #[cfg(feature = "service")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::Schema> {
                super::schema::shown_schema(&[$us_unit, $metric_unit])
            }
        }

        #[cfg(feature = "service")]
        impl utoipa::ToSchema for $name {}
    )* };
}

shown! {
    /// A length a tape reads: inches, or millimetres.
    InMm(Length): inches "in" 2, millimetres "mm" 1;
    /// A longer length: feet, or metres.
    FtM(Length): feet "ft" 2, metres "m" 2;
    /// An elevation or a rod reading: feet, or metres, to what a levelling rod is read to and better.
    ElevationFtM(Length): feet "ft" 3, metres "m" 3;
    /// An area: square feet, or square metres.
    Ft2M2(Area): square_feet "ft2" 2, square_metres "m2" 2;
    /// A volume of concrete or stone: cubic yards, or cubic metres.
    Yd3M3(Volume): cubic_yards "yd3" 3, cubic_metres "m3" 3;
    /// A volume of liquid: US gallons, or litres.
    GalL(Volume): gallons "gal" 3, litres "L" 3;
    /// A weight: pounds, or kilograms.
    LbKg(Mass): pounds "lb" 1, kilograms "kg" 1;
    /// A heavy weight: short tons, or tonnes.
    TonT(Mass): short_tons "ton" 3, tonnes "t" 3;
    /// Hours.
    H(Span): hours "h" 2, hours "h" 2;
    /// Minutes of a truck.
    Min(Span): minutes "min" 0, minutes "min" 0;
    /// Days of 24 hours.
    D(Span): days "d" 1, days "d" 1;
    /// A strength, as the class is named: psi, or MPa.
    PsiMpa(Stress): psi "psi" 0, megapascals "MPa" 1;
    /// A temperature: degrees Fahrenheit, or Celsius.
    FC(Temperature): fahrenheit "degF" 1, celsius "degC" 1;
    /// A percentage.
    Pct(Percent): percent "%" 2, percent "%" 2;
    /// A rate that money is reckoned at: every decimal that it is held in.
    RatePct(Percent): percent "%" 4, percent "%" 4;
    /// A difference of two slopes, in percentage points.
    SlopePoints(Slope): percent "%" 3, percent "%" 3;
    /// A coverage: square feet per US gallon, or square metres per litre.
    Ft2GalM2L(Coverage): ft2_per_gal "ft2/gal" 1, m2_per_l "m2/L" 2;
    /// A density: pounds per cubic foot, or kilograms per cubic metre.
    LbFt3KgM3(Density): lb_per_ft3 "lb/ft3" 1, kg_per_m3 "kg/m3" 1;
    /// A speed of the wind: miles per hour, or kilometres per hour.
    MphKmh(Speed): miles_per_hour "mph" 1, kilometres_per_hour "km/h" 1;
}

/// A slope: percent, and the ratio a person knows it by.
#[derive(Clone, Debug, PartialEq)]
pub struct SlopePct {
    shown: Shown,
    ratio: String,
}

impl SlopePct {
    /// The slope in percent to three places, and as `1:12` to at most two, or `level`. Both systems
    /// show the same; the argument keeps one call for all shown quantities.
    pub fn of(slope: Slope, _system: System) -> Self {
        let shown = Shown::new(slope.percent(), "%", 3);
        let sign = if shown.value < 0.0 { "-" } else { "" };
        let ratio = if shown.value == 0.0 {
            "level".to_owned()
        } else {
            format!("{sign}1:{}", round_to(1.0 / slope.ratio().abs(), 2))
        };
        Self { shown, ratio }
    }

    /// The percentage.
    pub fn shown(&self) -> Shown {
        self.shown
    }

    /// `1:12`, `-1:48` downhill, or `level`.
    pub fn ratio(&self) -> &str {
        &self.ratio
    }
}

impl Serialize for SlopePct {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut object = to.serialize_struct("SlopePct", 3)?;
        object.serialize_field("value", &Plain(self.shown.value))?;
        object.serialize_field("unit", self.shown.unit)?;
        object.serialize_field("ratio", &self.ratio)?;
        object.end()
    }
}

impl<'de> Deserialize<'de> for SlopePct {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let (shown, ratio) = unit_of(from, &["%"])?;
        let slope = Slope::from_percent(shown.value);
        let ratio = ratio.unwrap_or_else(|| Self::of(slope, System::Us).ratio);
        Ok(Self { shown, ratio })
    }
}

impl std::fmt::Display for SlopePct {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({})", self.shown, self.ratio)
    }
}

#[cfg(feature = "service")]
impl utoipa::PartialSchema for SlopePct {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::Schema> {
        super::schema::slope_schema()
    }
}

#[cfg(feature = "service")]
impl utoipa::ToSchema for SlopePct {}

#[cfg(feature = "service")]
impl utoipa::PartialSchema for Shown {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::Schema> {
        super::schema::any_shown_schema()
    }
}

#[cfg(feature = "service")]
impl utoipa::ToSchema for Shown {}

#[cfg(test)]
mod tests {
    use super::*;

    fn json(value: impl Serialize) -> String {
        serde_json::to_string(&value).unwrap_or_default()
    }

    #[test]
    fn an_answer_is_rounded_in_the_unit_of_its_system() {
        let width = Length::from_inches(54.0);
        assert_eq!(
            json(InMm::of(width, System::Us)),
            r#"{"value":54,"unit":"in"}"#
        );
        assert_eq!(
            json(InMm::of(width, System::Metric)),
            r#"{"value":1371.6,"unit":"mm"}"#
        );
        assert_eq!(
            json(FtM::of(width, System::Metric)),
            r#"{"value":1.37,"unit":"m"}"#
        );
    }

    #[test]
    fn a_slope_shows_both_ways() {
        let at = |slope| json(SlopePct::of(slope, System::Us));
        assert_eq!(
            at(Slope::one_in(12.0)),
            r#"{"value":8.333,"unit":"%","ratio":"1:12"}"#
        );
        assert_eq!(
            at(Slope::from_percent(1.5)),
            r#"{"value":1.5,"unit":"%","ratio":"1:66.67"}"#
        );
        assert_eq!(
            at(-Slope::one_in(48.0)),
            r#"{"value":-2.083,"unit":"%","ratio":"-1:48"}"#
        );
        assert_eq!(at(Slope::ZERO), r#"{"value":0,"unit":"%","ratio":"level"}"#);
    }

    #[test]
    fn what_is_not_finite_is_an_error_and_never_null() {
        let nothing = Length::ZERO / 0.0;
        assert!(serde_json::to_string(&InMm::of(nothing, System::Us)).is_err());
        assert!(
            serde_json::to_string(&SlopePct::of(Slope::from_ratio(f64::INFINITY), System::Us))
                .is_err()
        );
    }

    #[test]
    fn an_answer_reads_back() {
        let volume = Yd3M3::of(Volume::from_cubic_yards(4.5), System::Us);
        assert_eq!(
            serde_json::from_str::<Yd3M3>(&json(volume)).ok(),
            Some(volume)
        );
        let slope = SlopePct::of(Slope::one_in(12.0), System::Us);
        assert_eq!(
            serde_json::from_str::<SlopePct>(&json(&slope)).ok(),
            Some(slope)
        );
        assert!(serde_json::from_str::<Yd3M3>(r#"{"value":1,"unit":"gal"}"#).is_err());
    }
}
