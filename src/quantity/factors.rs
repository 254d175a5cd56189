//! How large each unit is in SI, as fractions of whole numbers wherever the definition is one.
//!
//! Invariants: 12 in and 1 ft, 27 ft3 and 1 yd3 are the same bits, because both are one fraction of
//! whole numbers. Absent here: how a unit is written and where its size is published (`units`).

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

const INCH3: f64 = 127.0 * 127.0 * 127.0;
const METRE3: f64 = 5_000.0 * 5_000.0 * 5_000.0;
const POUND: f64 = 45_359_237.0;

/// The inch is 25.4 mm.
pub(super) const INCH: Factor = Factor::new(127.0, 5_000.0);
/// Twelve inches.
pub(super) const FOOT: Factor = Factor::new(12.0 * 127.0, 5_000.0);
/// Thirty-six inches.
pub(super) const YARD: Factor = Factor::new(36.0 * 127.0, 5_000.0);
/// A thousandth of a metre.
pub(super) const MILLIMETRE: Factor = Factor::new(1.0, 1_000.0);
/// A hundredth of a metre.
pub(super) const CENTIMETRE: Factor = Factor::new(1.0, 100.0);
/// The SI unit itself, of any dimension.
pub(super) const ONE: Factor = Factor::new(1.0, 1.0);
/// An inch by an inch.
pub(super) const SQUARE_INCH: Factor = Factor::new(127.0 * 127.0, 25_000_000.0);
/// 144 square inches.
pub(super) const SQUARE_FOOT: Factor = Factor::new(144.0 * 127.0 * 127.0, 25_000_000.0);
/// 1296 square inches.
pub(super) const SQUARE_YARD: Factor = Factor::new(1_296.0 * 127.0 * 127.0, 25_000_000.0);
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
/// A twelfth.
pub(super) const INCH_PER_FOOT: Factor = Factor::new(1.0, 12.0);
/// Sixty seconds.
pub(super) const MINUTE: Factor = Factor::new(60.0, 1.0);
/// Sixty minutes.
pub(super) const HOUR: Factor = Factor::new(3_600.0, 1.0);
/// Twenty-four hours.
pub(super) const DAY: Factor = Factor::new(86_400.0, 1.0);
/// Pound-force (standard gravity 9.80665 m/s2) on a square inch.
pub(super) const PSI: Factor = Factor::new(POUND * 980_665.0, 400_000.0 * 127.0 * 127.0);
/// A thousand pascals.
pub(super) const KILOPASCAL: Factor = Factor::new(1_000.0, 1.0);
/// A million pascals.
pub(super) const MEGAPASCAL: Factor = Factor::new(1e6, 1.0);
/// 144 square inches from 231 cubic inches.
pub(super) const FT2_PER_GAL: Factor = Factor::new(144.0 * 5_000.0, 231.0 * 127.0);
/// A thousand square metres from a cubic metre.
pub(super) const M2_PER_L: Factor = Factor::new(1_000.0, 1.0);
/// A pound in a cubic foot.
pub(super) const LB_PER_FT3: Factor = Factor::new(POUND * 1_250.0, 1_728.0 * INCH3);
/// A pound in a cubic yard.
pub(super) const LB_PER_YD3: Factor = Factor::new(POUND * 1_250.0, 46_656.0 * INCH3);
/// A short ton in a cubic yard.
pub(super) const TON_PER_YD3: Factor = Factor::new(2_000.0 * POUND * 1_250.0, 46_656.0 * INCH3);
/// A tonne in a cubic metre.
pub(super) const TONNE_PER_M3: Factor = Factor::new(1_000.0, 1.0);
/// A statute mile of 5280 ft in an hour.
pub(super) const MILE_PER_HOUR: Factor = Factor::new(5_280.0 * 12.0 * 127.0, 5_000.0 * 3_600.0);
/// A thousand metres in an hour.
pub(super) const KILOMETRE_PER_HOUR: Factor = Factor::new(1_000.0, 3_600.0);
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
