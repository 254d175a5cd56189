//! The units of the trade as rows: how each is written, its factor to SI, where that is published.
//!
//! Invariants: a factor is a fraction of two whole numbers wherever its definition is one, so that
//! 12 in and 1 ft are the same bits; the first row of a dimension is its first US unit; a symbol
//! stands in one row of its dimension only. Absent here: reading, printing, any limit.

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

/// A unit that is a fixed multiple of the SI unit: `times / per`, both whole numbers if they can be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factor {
    /// The numerator.
    pub times: f64,
    /// The denominator.
    pub per: f64,
}

impl Factor {
    const fn new(times: f64, per: f64) -> Self {
        Self { times, per }
    }

    /// A number in this unit, in SI.
    pub const fn to_si(self, value: f64) -> f64 {
        value * self.times / self.per
    }

    /// An SI number, in this unit.
    pub const fn from_si(self, si: f64) -> f64 {
        si * self.per / self.times
    }
}

/// How a unit is turned into SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Scale {
    /// A fixed multiple.
    Times(Factor),
    /// A fixed multiple counted from another zero, which lies `zero` of these units up from SI's.
    From {
        /// The size of one unit.
        factor: Factor,
        /// Where this unit's zero lies above SI's zero, in this unit.
        zero: f64,
    },
    /// An angle above level, in degrees; SI is its tangent. Below 90 degrees either way.
    Degrees,
}

impl Scale {
    /// A number in this unit, in SI; `None` for an angle that is no slope.
    pub fn to_si(self, value: f64) -> Option<f64> {
        match self {
            Self::Times(factor) => Some(factor.to_si(value)),
            Self::From { factor, zero } => Some(factor.to_si(value + zero)),
            Self::Degrees if value.abs() < 90.0 => Some(libm::tan(value.to_radians())),
            Self::Degrees => None,
        }
    }

    /// An SI number, in this unit.
    pub fn from_si(self, si: f64) -> f64 {
        match self {
            Self::Times(factor) => factor.from_si(si),
            Self::From { factor, zero } => factor.from_si(si) - zero,
            Self::Degrees => libm::atan(si).to_degrees(),
        }
    }
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

const INCH3: f64 = 127.0 * 127.0 * 127.0;
const METRE3: f64 = 5_000.0 * 5_000.0 * 5_000.0;
const POUND: f64 = 45_359_237.0;

/// The inch is 25.4 mm.
pub(super) const INCH: Factor = Factor::new(127.0, 5_000.0);
/// Twelve inches.
pub(super) const FOOT: Factor = Factor::new(12.0 * 127.0, 5_000.0);
const YARD: Factor = Factor::new(36.0 * 127.0, 5_000.0);
/// A thousandth of a metre.
pub(super) const MILLIMETRE: Factor = Factor::new(1.0, 1_000.0);
/// A hundredth of a metre.
pub(super) const CENTIMETRE: Factor = Factor::new(1.0, 100.0);
/// The SI unit itself, of any dimension.
pub(super) const ONE: Factor = Factor::new(1.0, 1.0);
const SQUARE_INCH: Factor = Factor::new(127.0 * 127.0, 25_000_000.0);
/// 144 square inches.
pub(super) const SQUARE_FOOT: Factor = Factor::new(144.0 * 127.0 * 127.0, 25_000_000.0);
const SQUARE_YARD: Factor = Factor::new(1_296.0 * 127.0 * 127.0, 25_000_000.0);
/// 1728 cubic inches.
pub(super) const CUBIC_FOOT: Factor = Factor::new(1_728.0 * INCH3, METRE3);
/// 27 cubic feet.
pub(super) const CUBIC_YARD: Factor = Factor::new(46_656.0 * INCH3, METRE3);
/// The US liquid gallon, 231 cubic inches.
pub(super) const GALLON: Factor = Factor::new(231.0 * INCH3, METRE3);
/// A thousandth of a cubic metre.
pub(super) const LITRE: Factor = Factor::new(1.0, 1_000.0);
/// The avoirdupois pound.
pub(super) const POUNDS: Factor = Factor::new(POUND, 1e8);
/// The short ton, 2000 lb.
pub(super) const SHORT_TON: Factor = Factor::new(2_000.0 * POUND, 1e8);
/// A thousand kilograms.
pub(super) const TONNE: Factor = Factor::new(1_000.0, 1.0);
/// A hundredth.
pub(super) const HUNDREDTH: Factor = Factor::new(1.0, 100.0);
const INCH_PER_FOOT: Factor = Factor::new(1.0, 12.0);
/// Sixty seconds.
pub(super) const MINUTE: Factor = Factor::new(60.0, 1.0);
/// Sixty minutes.
pub(super) const HOUR: Factor = Factor::new(3_600.0, 1.0);
/// Twenty-four hours.
pub(super) const DAY: Factor = Factor::new(86_400.0, 1.0);
/// Pound-force (standard gravity 9.80665 m/s2) on a square inch.
pub(super) const PSI: Factor = Factor::new(POUND * 980_665.0, 400_000.0 * 127.0 * 127.0);
const KILOPASCAL: Factor = Factor::new(1_000.0, 1.0);
/// A million pascals.
pub(super) const MEGAPASCAL: Factor = Factor::new(1e6, 1.0);
/// 144 square inches from 231 cubic inches.
pub(super) const FT2_PER_GAL: Factor = Factor::new(144.0 * 5_000.0, 231.0 * 127.0);
/// A thousand square metres from a cubic metre.
pub(super) const M2_PER_L: Factor = Factor::new(1_000.0, 1.0);
/// A pound in a cubic foot.
pub(super) const LB_PER_FT3: Factor = Factor::new(POUND * 1_250.0, 1_728.0 * INCH3);
const LB_PER_YD3: Factor = Factor::new(POUND * 1_250.0, 46_656.0 * INCH3);
/// A short ton in a cubic yard.
pub(super) const TON_PER_YD3: Factor = Factor::new(2_000.0 * POUND * 1_250.0, 46_656.0 * INCH3);
const TONNE_PER_M3: Factor = Factor::new(1_000.0, 1.0);
/// Degrees Fahrenheit: five ninths of a kelvin, zero 459.67 of them above absolute zero.
pub(super) const FAHRENHEIT: Scale = Scale::From {
    factor: Factor::new(5.0, 9.0),
    zero: 459.67,
};
/// Degrees Celsius: zero 273.15 K above absolute zero.
pub(super) const CELSIUS: Scale = Scale::From {
    factor: ONE,
    zero: 273.15,
};

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

impl Dimension {
    /// Every dimension, in the order of this file.
    pub const ALL: [Self; 11] = [
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
        }
    }

    /// The row that holds `symbol`, exactly as written.
    pub fn row(self, symbol: &str) -> Option<&'static UnitRow> {
        self.rows().iter().find(|row| row.symbols.contains(&symbol))
    }
}
