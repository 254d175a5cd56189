//! The pour to be planned, with every question answered.
//!
//! Invariants: the hours of the weather follow each other without a gap; every day asked for is covered
//! from 00:00 to 23:00. Absent: what comes of it.

use crate::job::choice::{Bleeding, Cement, WindAt};
use crate::job::day::Day;
use crate::job::time_of_day::TimeOfDay;
use crate::quantity::{Percent, Span, Speed, Temperature};
use chrono::{NaiveDateTime, NaiveTime, TimeDelta};
use serde::Serialize;

/// The pour to be planned.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pour {
    /// Days to weigh, in the order of time; none where all that are worked are.
    pub days: Option<Vec<Day>>,
    /// When the first truck comes; none where it is to be found.
    pub first_truck: Option<TimeOfDay>,
    /// Temperature of the concrete as it comes; none where it goes with the air.
    pub concrete: Option<Temperature>,
    /// Water that the mix brings up.
    pub bleeding: Bleeding,
    /// How quickly it hardens.
    pub cement: Cement,
    /// From batching to the forms.
    pub plant_travel: Span,
    /// The weather.
    pub weather: Weather,
}

/// Weather, hour by hour.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Weather {
    /// The first hour, on the clock of the site.
    pub from: NaiveDateTime,
    /// Height at which the wind was measured.
    pub wind_at: WindAt,
    /// Every hour from then on.
    pub hours: Vec<WeatherHour>,
}

/// The weather of one hour.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WeatherHour {
    /// Temperature of the air.
    pub air: Temperature,
    /// Relative humidity.
    pub humidity: Percent,
    /// Mean speed of the wind, as measured.
    pub wind: Speed,
    /// Chance of rain, where it is told.
    pub rain: Option<Percent>,
}

/// Hours of a day.
const DAY: usize = 24;

impl Weather {
    /// Whole hours from the first to a moment; below nothing before it.
    pub fn hours_to(&self, moment: NaiveDateTime) -> i64 {
        (moment - self.from).num_minutes().div_euclid(60)
    }

    /// The hour in which a moment lies; none where the weather is not told.
    pub fn at(&self, moment: NaiveDateTime) -> Option<&WeatherHour> {
        self.hours.get(usize::try_from(self.hours_to(moment)).ok()?)
    }

    /// The last hour that is told.
    pub fn last(&self) -> NaiveDateTime {
        let more = self.hours.len().saturating_sub(1);
        self.from + TimeDelta::hours(more as i64)
    }

    /// True where the weather of a whole day is told.
    pub fn covers(&self, day: Day) -> bool {
        let first = self.hours_to(day.0.and_time(NaiveTime::MIN));
        usize::try_from(first).is_ok_and(|first| first + DAY <= self.hours.len())
    }
}
