//! A gridpoint forecast as public weather services give it: JSON with one layer a kind of weather, each
//! value with the time that it holds for.
//!
//! Invariants: the hours begin with the first full hour, on the clock of the site, that temperature,
//! humidity and wind all tell, and end before the first one that one of them lacks, so that none is made
//! up; one offset holds for the whole series, so that no hour is missing or doubled where clocks change.
//! Absent: the network.

use super::Unreadable;
use super::series::{Layer, Name, Series};
use crate::job::{Moment, WeatherHourRequest};
use crate::quantity::{Percent, Speed, Temperature};
use chrono::{DateTime, FixedOffset, NaiveDateTime, TimeDelta, Timelike, Utc};
use serde::Deserialize;

/// Most hours that are taken: 31 days, the most that are weighed in one call.
const HOURS_AT_MOST: usize = 31 * 24;

/// Fewest hours that are of use: those of a day.
const HOURS_AT_LEAST: usize = 24;

#[derive(Deserialize)]
struct Gridpoint {
    properties: Properties,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct Properties {
    #[serde(default)]
    temperature: Layer,
    #[serde(default)]
    relative_humidity: Layer,
    #[serde(default)]
    wind_speed: Layer,
    #[serde(default)]
    probability_of_precipitation: Layer,
}

/// The layers that are read.
struct Layers {
    air: Series<Temperature>,
    humidity: Series<Percent>,
    wind: Series<Speed>,
    rain: Series<Percent>,
}

/// The rows of weather that a forecast tells, hour by hour on the clock of the site.
///
/// # Errors
/// What is not of this form, a unit or a value that is not accepted, or less than a day of weather.
pub fn read_gridpoint(
    body: &[u8],
    zone: FixedOffset,
) -> Result<Vec<WeatherHourRequest>, Unreadable> {
    let told: Gridpoint = serde_json::from_slice(body).map_err(|error| {
        let place = format!("line {}, column {}", error.line(), error.column());
        Unreadable(format!(
            "it is not the JSON of a gridpoint forecast ({place})"
        ))
    })?;
    let layers = Layers::read(&told.properties)?;
    let rows = layers.hours(zone);
    if rows.len() < HOURS_AT_LEAST {
        return Err(Unreadable(format!(
            "it tells temperature, humidity and wind together for {} hours on end, and {HOURS_AT_LEAST} are needed",
            rows.len()
        )));
    }
    Ok(rows)
}

impl Layers {
    fn read(told: &Properties) -> Result<Self, Unreadable> {
        let name = |told, row| Name { told, row };
        Ok(Self {
            air: Series::read(
                &told.temperature,
                name("temperature", "/pour/weather/*/air"),
            )?,
            humidity: Series::read(
                &told.relative_humidity,
                name("relativeHumidity", "/pour/weather/*/humidity"),
            )?,
            wind: Series::read(&told.wind_speed, name("windSpeed", "/pour/weather/*/wind"))?,
            rain: Series::read(
                &told.probability_of_precipitation,
                name("probabilityOfPrecipitation", "/pour/weather/*/rain"),
            )?,
        })
    }

    fn hours(&self, zone: FixedOffset) -> Vec<WeatherHourRequest> {
        let Some(first) = self.first(zone) else {
            return Vec::new();
        };
        let hour = |number: usize| first.checked_add_signed(TimeDelta::hours(number as i64));
        let hours = (0..HOURS_AT_MOST).map_while(hour);
        let told = hours.skip_while(|at| self.row(*at, zone).is_none());
        told.map_while(|at| self.row(at, zone)).collect()
    }

    /// The first full hour of the site at which all of them have begun.
    fn first(&self, zone: FixedOffset) -> Option<NaiveDateTime> {
        let [air, humidity, wind] = [
            self.air.first()?,
            self.humidity.first()?,
            self.wind.first()?,
        ];
        let latest = air.max(humidity).max(wind).naive_utc();
        let local = latest.checked_add_offset(zone)?;
        let full = local.date().and_hms_opt(local.hour(), 0, 0)?;
        match full == local {
            true => Some(full),
            false => full.checked_add_signed(TimeDelta::hours(1)),
        }
    }

    fn row(&self, at: NaiveDateTime, zone: FixedOffset) -> Option<WeatherHourRequest> {
        let moment: DateTime<Utc> = at.checked_sub_offset(zone)?.and_utc();
        Some(WeatherHourRequest {
            at: Moment(at),
            air: self.air.at(moment)?,
            humidity: self.humidity.at(moment)?,
            wind: self.wind.at(moment)?,
            rain: self.rain.at(moment),
        })
    }
}
