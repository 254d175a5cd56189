//! Forecasts by name: fetched where they are, kept for a while, told as rows of weather.
//!
//! Invariants: of one forecast no two calls are under way at once, and whoever waits for one gets what it
//! brought; what failed is not asked again for a few seconds, so that a service in trouble is left alone;
//! the rows depend on what the forecast said and on the site's offset, on nothing else. Absent: a
//! forecast that no setting names.

mod fetch;
mod gridpoint;
mod interval;
mod series;
mod source;
#[cfg(test)]
mod tests;
mod unit;

use crate::job::WeatherHourRequest;
use chrono::{FixedOffset, Offset as _, Utc};
use fetch::Failure;
use source::Source;
use std::collections::BTreeMap;
use std::time::{Duration, Instant};
use tokio::sync::Mutex;

pub use gridpoint::read_gridpoint;
pub use source::ForecastSetting;

/// How long a forecast is kept.
const KEPT: Duration = Duration::from_secs(10 * 60);

/// How long a failure is kept.
const FAILURE_KEPT: Duration = Duration::from_secs(5);

/// Most forecasts that may be named.
const NAMES_AT_MOST: usize = 100;

/// What was wrong with a forecast that came.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Unreadable(pub String);

/// Why a forecast is not had.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ForecastError {
    /// None of the settings has this name.
    #[error("no forecast of this name is set")]
    Unknown,
    /// Nobody answers; later somebody may.
    #[error("{0}")]
    Away(&'static str),
    /// What came is no forecast.
    #[error("{0}")]
    Unreadable(String),
}

/// A forecast.
#[derive(Clone, Debug)]
pub struct Forecast {
    /// Its weather, hour by hour on the clock of the site.
    pub hours: Vec<WeatherHourRequest>,
    /// How long ago it was fetched.
    pub age: Duration,
}

/// Every forecast that the operator has set.
#[derive(Debug)]
pub struct Forecasts {
    zone: FixedOffset,
    by_name: BTreeMap<String, Place>,
}

#[derive(Debug)]
struct Place {
    source: Source,
    last: Mutex<Option<Fetched>>,
}

/// What the last call brought.
#[derive(Debug)]
struct Fetched {
    at: Instant,
    outcome: Result<Vec<WeatherHourRequest>, ForecastError>,
}

impl Forecasts {
    /// Those of the settings, for sites whose clocks are `zone` from UTC.
    ///
    /// # Errors
    /// Every one that cannot be, in words, without any address.
    pub fn of(set: Vec<ForecastSetting>, zone: FixedOffset) -> Result<Self, Vec<String>> {
        let mut faults = Vec::new();
        if set.len() > NAMES_AT_MOST {
            faults.push(format!("more than {NAMES_AT_MOST} forecasts are set"));
        }
        let mut by_name = BTreeMap::new();
        for setting in set {
            if by_name.contains_key(&setting.name) {
                faults.push(format!("forecast \"{}\" is set twice", setting.name));
                continue;
            }
            let last = Mutex::new(None);
            let name = setting.name.clone();
            match Source::of(setting) {
                Ok(source) => {
                    by_name.insert(name, Place { source, last });
                }
                Err(fault) => faults.push(format!("forecast \"{name}\": {fault}")),
            }
        }
        match faults.is_empty() {
            true => Ok(Self { zone, by_name }),
            false => Err(faults),
        }
    }

    /// None at all.
    pub fn none() -> Self {
        Self {
            zone: Utc.fix(),
            by_name: BTreeMap::new(),
        }
    }

    /// The names that a job may give.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.by_name.keys().map(String::as_str)
    }

    /// The forecast of a name: the one that is kept, else fetched now.
    ///
    /// # Errors
    /// Why it is not had.
    pub async fn get(&self, name: &str) -> Result<Forecast, ForecastError> {
        let place = self.by_name.get(name).ok_or(ForecastError::Unknown)?;
        let mut last = place.last.lock().await;
        let fetched = match last.take().filter(Fetched::holds) {
            Some(kept) => kept,
            None => self.fetch(&place.source).await,
        };
        let fetched = last.insert(fetched);
        let hours = fetched.outcome.clone()?;
        let age = fetched.at.elapsed();
        Ok(Forecast { hours, age })
    }

    async fn fetch(&self, source: &Source) -> Fetched {
        let outcome = match fetch::fetch(source).await {
            Ok(body) => read_gridpoint(&body, self.zone).map_err(ForecastError::from),
            Err(failure) => Err(failure.into()),
        };
        let said = outcome.as_ref().err().map(ToString::to_string);
        tracing::info!(forecast = source.name, failed = said, "fetched a forecast");
        Fetched {
            at: Instant::now(),
            outcome,
        }
    }
}

impl Fetched {
    fn holds(&self) -> bool {
        let kept = match self.outcome {
            Ok(_) => KEPT,
            Err(_) => FAILURE_KEPT,
        };
        self.at.elapsed() < kept
    }
}

impl From<Failure> for ForecastError {
    fn from(failure: Failure) -> Self {
        match failure {
            Failure::Away(why) => Self::Away(why),
            Failure::Unreadable(why) => Self::Unreadable(why),
        }
    }
}

impl From<Unreadable> for ForecastError {
    fn from(error: Unreadable) -> Self {
        Self::Unreadable(error.0)
    }
}
