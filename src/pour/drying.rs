//! The pour day hour by hour: weather, slab, evaporation.
//!
//! Invariants: evaporation is told from the first truck until the surface is cured, by the form of the
//! answer's units; the wind is that at hand height. Absent: what is done about it.

use super::course::Course;
use super::rows::rows;
use super::site::Facts;
use crate::job::{WeatherHour, WindAt};
use crate::quantity::{Percent, Speed, System, Temperature};
use crate::setting::{EvaporationRate, LimitRow, Surface, evaporation_limit, measure_evaporation};
use chrono::{NaiveDateTime, TimeDelta, Timelike};

/// One hour of a pour day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PourHour {
    /// The hour, from its full hour on.
    pub at: NaiveDateTime,
    /// The air.
    pub air: Temperature,
    /// Relative humidity.
    pub humidity: Percent,
    /// The wind at hand height.
    pub wind: Speed,
    /// Chance of rain.
    pub rain: Option<Percent>,
    /// The first concrete, once it is placed.
    pub slab: Option<Temperature>,
    /// How fast its surface dries, until it is cured.
    pub evaporation: Option<EvaporationRate>,
    /// The same behind a windbreak.
    pub behind_windbreak: Option<EvaporationRate>,
}

/// Every hour from the crew's coming to its going.
pub(super) fn tell_hours(facts: &Facts<'_>, course: &Course) -> Vec<PourHour> {
    let first = full_hour(course.arrive);
    let hours = (course.gone - first).num_minutes().max(0) / 60;
    let each = (0..=hours).map(|hour| first + TimeDelta::hours(hour));
    let weather = &facts.from.pour.weather;
    each.filter(|at| *at < course.gone)
        .filter_map(|at| Some(tell(facts, course, (at, weather.at(at)?))))
        .collect()
}

fn full_hour(moment: NaiveDateTime) -> NaiveDateTime {
    moment - TimeDelta::minutes(i64::from(moment.minute()))
}

fn tell(facts: &Facts<'_>, course: &Course, (at, hour): (NaiveDateTime, &WeatherHour)) -> PourHour {
    let next = at + TimeDelta::hours(1);
    let (from, to) = (course.first, course.cured);
    let middle = (at + TimeDelta::minutes(30)).clamp(from, to.max(from));
    let slab = (next > from).then(|| course.temperature(middle));
    let surface = slab.map(|slab| over(facts, slab, hour));
    let wet = surface.filter(|_| at < to);
    let system = facts.from.job.units;
    let leaves = rows().windbreak.leaves;
    PourHour {
        at,
        air: hour.air,
        humidity: hour.humidity,
        wind: hand_wind(facts, hour),
        rain: hour.rain,
        slab,
        evaporation: wet.map(|surface| measure_evaporation(system, &surface)),
        behind_windbreak: wet.map(|surface| {
            let wind = surface.wind * leaves;
            measure_evaporation(system, &Surface { wind, ..surface })
        }),
    }
}

fn over(facts: &Facts<'_>, concrete: Temperature, hour: &WeatherHour) -> Surface {
    Surface {
        concrete,
        air: hour.air,
        humidity: hour.humidity,
        wind: hand_wind(facts, hour),
    }
}

fn hand_wind(facts: &Facts<'_>, hour: &WeatherHour) -> Speed {
    let surface = Surface {
        concrete: hour.air,
        air: hour.air,
        humidity: hour.humidity,
        wind: hour.wind,
    };
    match facts.from.pour.weather.wind_at {
        WindAt::Hand => surface.wind,
        WindAt::Station => surface.with_station_wind(hour.wind).wind,
    }
}

/// How many times the limit of the mix a rate is, in the figures of a system.
pub(super) fn share_of_limit(facts: &Facts<'_>, rate: EvaporationRate) -> f64 {
    let limit: &LimitRow = evaporation_limit(facts.from.pour.bleeding);
    match facts.from.job.units {
        System::Us => rate.lb_ft2_h() / limit.lb_ft2_h,
        System::Metric => rate.kg_m2_h() / limit.kg_m2_h,
    }
}
