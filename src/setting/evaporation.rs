//! How fast water leaves the surface of fresh concrete.
//!
//! Invariants: each system has its own published form and its own limit, and neither is converted
//! from the other; no rate is below nothing (dew) or NaN; more wind, drier air and hotter concrete
//! never dry it less. Absent: sun, and what is done against drying.

use super::measure::EvaporationRate;
use super::rows::SettingRows;
use crate::job::Bleeding;
use crate::quantity::slack::compare;
use crate::quantity::{Citation, Compared, Percent, Quantity, Speed, Stress, System, Temperature};
use serde::Deserialize;

/// One closed form, in the units it was published in.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct FormRow {
    /// What an answer calls it.
    pub label: String,
    /// Times everything.
    pub scale: f64,
    /// Added to each temperature.
    pub shift: f64,
    /// Of each temperature.
    pub power: f64,
    /// What still air adds.
    pub still: f64,
    /// What each unit of speed adds.
    pub wind: f64,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// The form by vapour pressures: kilopascals, kilometres per hour, kilograms per square metre and hour.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct PressureFormRow {
    /// Times everything.
    pub scale: f64,
    /// What still air adds.
    pub still: f64,
    /// What each kilometre per hour adds.
    pub wind: f64,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// Saturation pressure of water over degrees Celsius, in kilopascals.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct VapourRow {
    /// At 0 degC.
    pub scale: f64,
    /// How it rises.
    pub rise: f64,
    /// Added to the temperature.
    pub shift: f64,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// From which rate on precautions are taken.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct LimitRow {
    /// In pounds per square foot and hour.
    pub lb_ft2_h: f64,
    /// In kilograms per square metre and hour.
    pub kg_m2_h: f64,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// What lies over the surface and under it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Of the concrete.
    pub concrete: Temperature,
    /// Of the air.
    pub air: Temperature,
    /// Relative, from 0 to 100 %.
    pub humidity: Percent,
    /// At hand height, 20 in (0.5 m) above the surface.
    pub wind: Speed,
}

impl Surface {
    /// The same with wind measured at the height of a weather station, 33 ft (10 m).
    ///
    /// # Source
    /// Row `station_wind`: common practice, no source.
    pub fn with_station_wind(self, measured: Speed) -> Self {
        let factor = SettingRows::built_in().station_wind.factor;
        Self {
            wind: measured * factor,
            ..self
        }
    }
}

impl FormRow {
    /// The rate in this form's units; temperatures and wind in them too.
    ///
    /// Departs: a temperature below the form's zero counts as that zero, where the power has no value.
    fn rate(&self, concrete: f64, air: f64, over: (f64, f64)) -> f64 {
        let (humidity, wind) = over;
        let raised = |degrees: f64| libm::pow((degrees + self.shift).max(0.0), self.power);
        let drive = raised(concrete) - humidity.clamp(0.0, 1.0) * raised(air);
        self.scale * drive * (self.still + self.wind * wind.max(0.0))
    }
}

/// The evaporation rate by the closed form of a system.
///
/// The charts it was fitted to span about 40 to 100 degF (5 to 38 degC) and up to 25 mph (40 km/h).
///
/// # Source
/// Rows `evaporation.us` and `evaporation.metric`: Concrete International Q&A; ACI Materials Journal
/// title no. 95-M34 (1998); both second hand.
pub fn measure_evaporation(system: System, over: &Surface) -> EvaporationRate {
    let forms = &SettingRows::built_in().evaporation;
    let humidity = over.humidity.fraction();
    let rate = match system {
        System::Us => EvaporationRate::from_lb_ft2_h(forms.us.rate(
            over.concrete.fahrenheit(),
            over.air.fahrenheit(),
            (humidity, over.wind.miles_per_hour()),
        )),
        System::Metric => EvaporationRate::from_kg_m2_h(forms.metric.rate(
            over.concrete.celsius(),
            over.air.celsius(),
            (humidity, over.wind.kilometres_per_hour()),
        )),
    };
    rate.or_nothing()
}

/// The evaporation rate by vapour pressures: what the closed forms were fitted to, for checks.
///
/// # Source
/// Row `evaporation.by_pressure`: ACI Materials Journal title no. 95-M34 (1998), from memory.
pub fn measure_evaporation_by_pressure(over: &Surface) -> EvaporationRate {
    let row = &SettingRows::built_in().evaporation.by_pressure;
    let pressure = |at: Temperature| measure_vapour_pressure(at).megapascals() * 1_000.0;
    let humidity = over.humidity.fraction().clamp(0.0, 1.0);
    let drive = pressure(over.concrete) - humidity * pressure(over.air);
    let wind = over.wind.kilometres_per_hour().max(0.0);
    EvaporationRate::from_kg_m2_h(row.scale * drive * (row.still + row.wind * wind)).or_nothing()
}

/// Saturation pressure of water vapour; usual weather lies from -20 to 50 degC.
///
/// Departs: near and below the pole of the formula (-237.3 degC) there is no vapour.
///
/// # Source
/// Row `vapour_pressure`: FAO Irrigation and Drainage Paper 56, equation 11, from memory.
pub fn measure_vapour_pressure(at: Temperature) -> Stress {
    let row = &SettingRows::built_in().vapour_pressure;
    let above = at.celsius() + row.shift;
    if compare(above, 0.0) != Compared::Above || above.is_nan() {
        return Stress::ZERO;
    }
    let kilopascals = row.scale * libm::exp(row.rise * at.celsius() / above);
    Stress::from_si(kilopascals * 1_000.0)
}

/// The row of the limit of a mix.
pub fn evaporation_limit(bleeding: Bleeding) -> &'static LimitRow {
    let limits = &SettingRows::built_in().evaporation_limit;
    match bleeding {
        Bleeding::Usual => &limits.usual,
        Bleeding::Low => &limits.low_bleed,
    }
}

/// Whether a rate is at its limit or above, in the units of the system.
pub fn needs_precautions(system: System, rate: EvaporationRate, bleeding: Bleeding) -> bool {
    let limit = evaporation_limit(bleeding);
    let stands = match system {
        System::Us => compare(rate.lb_ft2_h(), limit.lb_ft2_h),
        System::Metric => compare(rate.kg_m2_h(), limit.kg_m2_h),
    };
    stands != Compared::Below
}
