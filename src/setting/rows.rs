//! The rows of `setting.toml`, read once.
//!
//! Invariant: a row is the value and its source, and nothing else decides. Absent: what is computed
//! from them.

use super::ages::{AgeRange, CureRow, HighEarlyRow, StrengthAgeRow, StripRow};
use super::cold::{MemberRow, MixedRow, ProtectionRow};
use super::evaporation::{FormRow, LimitRow, PressureFormRow, VapourRow};
use super::maturity::EquivalentRow;
use super::set_time::SetRow;
use super::slab::FollowsRow;
use super::strength::StrengthRow;
use super::windows::{SawRow, SawWeatherRow, WindowRow};
use crate::quantity::{Citation, Span, Stress, Temperature};
use serde::Deserialize;
use std::sync::LazyLock;

/// Every row.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SettingRows {
    /// The forms of the evaporation rate.
    pub evaporation: Forms,
    /// Saturation pressure of water.
    pub vapour_pressure: VapourRow,
    /// From which rate on precautions are taken.
    pub evaporation_limit: Limits,
    /// From a weather station's wind to that at hand height.
    pub station_wind: FactorRow,
    /// Initial set, hottest concrete first.
    pub initial_set: Vec<SetRow>,
    /// Final set in times of initial set.
    pub final_set: RatioRow,
    /// How quickly a slab takes the temperature of the air.
    pub slab_follows: FollowsRow,
    /// The temperature the facts of the field are told for.
    pub mild: ConcreteRow,
    /// Windows of the finisher in mild weather.
    pub finishing: FinishingRows,
    /// Windows of the saws.
    pub saw: SawRows,
    /// What is hot and cold for the saws.
    pub saw_weather: SawWeatherRow,
    /// When the next day starts.
    pub morning: MorningRow,
    /// When forms come off.
    pub strip: StripRow,
    /// When the slab may be used.
    pub traffic: TrafficRows,
    /// How long a surface dries before a sealer.
    pub dry_before_sealing: AgeRange,
    /// When rails may be set.
    pub rail: StrengthAgeRow,
    /// How long the slab is cured.
    pub cure: CureRows,
    /// Strength with age.
    pub strength: StrengthRows,
    /// The datum of maturity.
    pub maturity: DatumRow,
    /// Equivalent age.
    pub equivalent_age: EquivalentRow,
    /// What is needed before the first freeze.
    pub first_freeze: StrengthAgeRow,
    /// What is needed before many freezes.
    pub many_freezes: StrengthLeastRow,
    /// Where cold weather begins.
    pub cold_weather: AirRow,
    /// The coldest ground.
    pub subgrade: LeastRow,
    /// Placing temperatures by size, the smallest first.
    pub member: Vec<MemberRow>,
    /// Mixing temperatures by air, the warmest first.
    pub mixed: Vec<MixedRow>,
    /// Days of protection.
    pub protection: ProtectionRows,
    /// The hottest concrete placed.
    pub hot_weather: MostRow,
}

macro_rules! tables {
    ($( $(#[$doc:meta])* $name:ident { $( $(#[$of:meta])* $field:ident: $row:ty, )* } )*) => { $(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Deserialize)]
        pub struct $name { $( $(#[$of])* pub $field: $row, )* }
    )* };
}

tables! {
    /// The forms of the evaporation rate.
    Forms {
        /// In pounds, feet, degrees Fahrenheit and miles.
        us: FormRow,
        /// In kilograms, metres, degrees Celsius and kilometres.
        metric: FormRow,
        /// By vapour pressures.
        by_pressure: PressureFormRow,
    }
    /// Limits of evaporation.
    Limits {
        /// Of a usual mix.
        usual: LimitRow,
        /// Of a mix that bleeds little.
        low_bleed: LimitRow,
    }
    /// Windows of the finisher.
    FinishingRows {
        /// First edging and hand floating.
        edging: WindowRow,
        /// The broom.
        broom: WindowRow,
        /// Faces of steps, stripped green.
        risers: WindowRow,
    }
    /// Windows of the saws.
    SawRows {
        /// Light early-entry saw.
        early_entry: SawRow,
        /// Conventional wet saw.
        conventional: SawRow,
    }
    /// When the slab may be used.
    TrafficRows {
        /// On foot.
        foot: AgeRange,
        /// By cars.
        cars: AgeRange,
        /// Fully.
        full: AgeRange,
    }
    /// How long the slab is cured.
    CureRows {
        /// Of usual cement.
        usual: CureRow,
        /// Of Type III cement.
        high_early: HighEarlyRow,
    }
    /// Strength with age.
    StrengthRows {
        /// Type I.
        type_i: StrengthRow,
        /// Type III.
        type_iii: StrengthRow,
    }
    /// Days of protection.
    ProtectionRows {
        /// No load, not exposed.
        no_load: ProtectionRow,
        /// No load, exposed.
        no_load_exposed: ProtectionRow,
        /// Partial load, exposed.
        part_load_exposed: ProtectionRow,
    }
    /// A plain factor.
    FactorRow {
        /// From 0 to 1.
        factor: f64,
        /// Where it is published.
        #[serde(flatten)]
        source: Citation,
    }
    /// A range of ratios.
    RatioRow {
        /// The least, above 0.
        least: f64,
        /// The most.
        most: f64,
        /// Where it is published.
        #[serde(flatten)]
        source: Citation,
    }
    /// A temperature of the concrete.
    ConcreteRow {
        /// The temperature.
        concrete: Temperature,
        /// Where it is published.
        #[serde(flatten)]
        source: Citation,
    }
    /// A temperature of the air.
    AirRow {
        /// The temperature.
        air: Temperature,
        /// Where it is published.
        #[serde(flatten)]
        source: Citation,
    }
    /// The least temperature.
    LeastRow {
        /// The temperature.
        least: Temperature,
        /// Where it is published.
        #[serde(flatten)]
        source: Citation,
    }
    /// The most temperature.
    MostRow {
        /// The temperature.
        most: Temperature,
        /// Where it is published.
        #[serde(flatten)]
        source: Citation,
    }
    /// The datum of maturity.
    DatumRow {
        /// Below it nothing matures.
        datum: Temperature,
        /// Where it is published.
        #[serde(flatten)]
        source: Citation,
    }
    /// When a day of work starts.
    MorningRow {
        /// After midnight.
        starts: Span,
        /// Where it is published.
        #[serde(flatten)]
        source: Citation,
    }
    /// The least strength.
    StrengthLeastRow {
        /// The strength.
        strength: Stress,
        /// Where it is published.
        #[serde(flatten)]
        source: Citation,
    }
}

static ROWS: LazyLock<SettingRows> = LazyLock::new(|| {
    toml::from_str(include_str!("setting.toml")).expect("the embedded rows are read by a test")
});

impl SettingRows {
    /// The rows built into the program.
    pub fn built_in() -> &'static Self {
        &ROWS
    }
}
