//! The units of the trade as rows: how each is written, its factor to SI, where that is published.
//!
//! Invariants: a factor is a fraction of two whole numbers wherever its definition is one, so that
//! 12 in and 1 ft are the same bits; the first row of a dimension is its first US unit; a symbol
//! stands in one row of its dimension only. Absent here: reading, printing, any limit.

use super::factors::*;

/// What kind of thing is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// Length, in metres.
    Length,
    /// Area, in square metres.
    Area,
    /// Volume, in cubic metres.
    Volume,
    /// Mass, in kilograms.
    Mass,
    /// Rise over run, a ratio.
    Slope,
    /// Temperature, in kelvins.
    Temperature,
    /// A span of time, in seconds.
    Span,
    /// Stress or strength, in pascals.
    Stress,
    /// A share, as a fraction of one.
    Percent,
    /// Area covered by a volume, in square metres per cubic metre.
    Coverage,
    /// Mass per volume, in kilograms per cubic metre.
    Density,
    /// Length per time, in metres per second.
    Speed,
}

/// The system of units an answer is shown in.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    Hash,
    serde::Serialize,
    serde::Deserialize,
    deserr::Deserr,
)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
#[deserr(rename_all = lowercase, error = super::Faults)]
pub enum System {
    /// Inches, feet, pounds, degrees Fahrenheit.
    #[default]
    Us,
    /// Millimetres, metres, kilograms, degrees Celsius.
    Metric,
}

/// One unit of one dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnitRow {
    /// How it may be written; the first is how we write it.
    pub symbols: &'static [&'static str],
    /// How it is turned into SI.
    pub scale: Scale,
    /// What it measures.
    pub dimension: Dimension,
    /// The system it belongs to; `None` for units of both.
    pub system: Option<System>,
    /// Where the exact factor is published.
    pub source: &'static str,
}

impl UnitRow {
    /// How we write it.
    pub fn symbol(&self) -> &'static str {
        self.symbols.first().copied().unwrap_or_default()
    }
}

/// Where the factors are published. The document was quoted from memory; the tests hold every
/// factor to an independent table of units.
const SP811: &str = "NIST SP 811 (2008), App. B.8, from memory";
/// Where the SI prefixes and the units accepted beside SI are published.
const SI: &str = "BIPM SI Brochure, 9th ed. (2019), tables 7 and 8, from memory";
/// Follows from the meaning of the words alone.
const MEANING: &str = "by definition of the ratio";

const fn us(dimension: Dimension, symbols: &'static [&'static str], factor: Factor) -> UnitRow {
    let scale = Scale::Times(factor);
    UnitRow {
        symbols,
        scale,
        dimension,
        system: Some(System::Us),
        source: SP811,
    }
}

const fn metric(dimension: Dimension, symbols: &'static [&'static str], factor: Factor) -> UnitRow {
    let scale = Scale::Times(factor);
    UnitRow {
        symbols,
        scale,
        dimension,
        system: Some(System::Metric),
        source: SI,
    }
}

const fn both(
    dimension: Dimension,
    symbols: &'static [&'static str],
    scale: Scale,
    source: &'static str,
) -> UnitRow {
    UnitRow {
        symbols,
        scale,
        dimension,
        system: None,
        source,
    }
}

use Dimension as D;

static LENGTH: &[UnitRow] = &[
    us(D::Length, &["in", "in.", "inch", "inches", "\""], INCH),
    us(D::Length, &["ft", "ft.", "foot", "feet", "'"], FOOT),
    us(D::Length, &["yd", "yard", "yards"], YARD),
    metric(D::Length, &["mm"], MILLIMETRE),
    metric(D::Length, &["cm"], CENTIMETRE),
    metric(D::Length, &["m"], ONE),
];
static AREA: &[UnitRow] = &[
    us(D::Area, &["ft2", "sq ft", "sf"], SQUARE_FOOT),
    us(D::Area, &["in2", "sq in"], SQUARE_INCH),
    us(D::Area, &["yd2", "sq yd", "sy"], SQUARE_YARD),
    metric(D::Area, &["m2", "sq m"], ONE),
];
static VOLUME: &[UnitRow] = &[
    us(D::Volume, &["yd3", "cu yd", "cy"], CUBIC_YARD),
    us(D::Volume, &["ft3", "cu ft", "cf"], CUBIC_FOOT),
    us(D::Volume, &["gal", "gallon", "gallons"], GALLON),
    metric(D::Volume, &["m3", "cu m"], ONE),
    metric(
        D::Volume,
        &["L", "l", "litre", "litres", "liter", "liters"],
        LITRE,
    ),
];
static MASS: &[UnitRow] = &[
    us(D::Mass, &["lb", "lbs", "lb.", "pound", "pounds"], POUNDS),
    us(D::Mass, &["ton", "tons"], SHORT_TON),
    metric(D::Mass, &["kg"], ONE),
    metric(D::Mass, &["t", "tonne", "tonnes"], TONNE),
];
static SLOPE: &[UnitRow] = &[
    both(D::Slope, &["%"], Scale::Times(HUNDREDTH), MEANING),
    both(D::Slope, &["deg", "°", "degrees"], Scale::Degrees, SI),
    us(D::Slope, &["in/ft"], INCH_PER_FOOT),
    metric(D::Slope, &["mm/m"], MILLIMETRE),
];
static TEMPERATURE: &[UnitRow] = &[
    UnitRow {
        symbols: &["degF", "°F", "F", "deg F"],
        scale: FAHRENHEIT,
        dimension: D::Temperature,
        system: Some(System::Us),
        source: SP811,
    },
    UnitRow {
        symbols: &["degC", "°C", "C", "deg C"],
        scale: CELSIUS,
        dimension: D::Temperature,
        system: Some(System::Metric),
        source: SI,
    },
];
static SPAN: &[UnitRow] = &[
    both(
        D::Span,
        &["h", "hr", "hrs", "hour", "hours"],
        Scale::Times(HOUR),
        SI,
    ),
    both(
        D::Span,
        &["min", "minute", "minutes"],
        Scale::Times(MINUTE),
        SI,
    ),
    both(D::Span, &["d", "day", "days"], Scale::Times(DAY), SI),
];
static STRESS: &[UnitRow] = &[
    us(D::Stress, &["psi"], PSI),
    metric(D::Stress, &["MPa"], MEGAPASCAL),
    metric(D::Stress, &["kPa"], KILOPASCAL),
];
static PERCENT: &[UnitRow] = &[both(
    D::Percent,
    &["%", "percent"],
    Scale::Times(HUNDREDTH),
    MEANING,
)];
static COVERAGE: &[UnitRow] = &[
    us(
        D::Coverage,
        &["ft2/gal", "sq ft/gal", "sf/gal"],
        FT2_PER_GAL,
    ),
    metric(D::Coverage, &["m2/L", "m2/l"], M2_PER_L),
];
static DENSITY: &[UnitRow] = &[
    us(D::Density, &["lb/ft3", "lb/cu ft", "pcf"], LB_PER_FT3),
    us(
        D::Density,
        &["ton/yd3", "tons/yd3", "ton/cu yd"],
        TON_PER_YD3,
    ),
    us(D::Density, &["lb/yd3", "lb/cu yd"], LB_PER_YD3),
    metric(D::Density, &["kg/m3"], ONE),
    metric(D::Density, &["t/m3"], TONNE_PER_M3),
];
static SPEED: &[UnitRow] = &[
    us(D::Speed, &["mph", "mi/h"], MILE_PER_HOUR),
    metric(D::Speed, &["km/h"], KILOMETRE_PER_HOUR),
    metric(D::Speed, &["m/s"], ONE),
];

impl Dimension {
    /// Every dimension, in the order of this file.
    pub const ALL: [Self; 12] = [
        Self::Length,
        Self::Area,
        Self::Volume,
        Self::Mass,
        Self::Slope,
        Self::Temperature,
        Self::Span,
        Self::Stress,
        Self::Percent,
        Self::Coverage,
        Self::Density,
        Self::Speed,
    ];

    /// The units it may be written in.
    pub fn rows(self) -> &'static [UnitRow] {
        match self {
            Self::Length => LENGTH,
            Self::Area => AREA,
            Self::Volume => VOLUME,
            Self::Mass => MASS,
            Self::Slope => SLOPE,
            Self::Temperature => TEMPERATURE,
            Self::Span => SPAN,
            Self::Stress => STRESS,
            Self::Percent => PERCENT,
            Self::Coverage => COVERAGE,
            Self::Density => DENSITY,
            Self::Speed => SPEED,
        }
    }

    /// What a person calls it, for messages.
    pub fn noun(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::Mass => "a weight",
            Self::Slope => "a slope",
            Self::Temperature => "a temperature",
            Self::Span => "a time",
            Self::Stress => "a strength",
            Self::Percent => "a percentage",
            Self::Coverage => "a coverage",
            Self::Density => "a density",
            Self::Speed => "a speed",
        }
    }

    /// Texts that are accepted, the first for messages, all for the published schema.
    pub fn examples(self) -> &'static [&'static str] {
        match self {
            Self::Length => &["28 in", "15 ft 6 in", "2'-4 1/2\"", "711 mm", "2.5 m"],
            Self::Area => &["150 ft2", "14 m2"],
            Self::Volume => &["4.5 yd3", "3.5 m3", "5 gal"],
            Self::Mass => &["80 lb", "36 kg", "2.5 ton"],
            Self::Slope => &["1:12", "8.33 %", "4.76 deg", "1 in/ft"],
            Self::Temperature => &["50 degF", "10 degC"],
            Self::Span => &["8 h", "1 h 30 min", "14 d"],
            Self::Stress => &["4500 psi", "30 MPa"],
            Self::Percent => &["1.5 %"],
            Self::Coverage => &["125 ft2/gal", "3 m2/L"],
            Self::Density => &["150 lb/ft3", "1.4 ton/yd3", "2400 kg/m3"],
            Self::Speed => &["8 mph", "13 km/h", "3.5 m/s"],
        }
    }

    /// The row that holds `symbol`, exactly as written.
    pub fn row(self, symbol: &str) -> Option<&'static UnitRow> {
        self.rows().iter().find(|row| row.symbols.contains(&symbol))
    }
}
