//! Work by week and area: where the crew and the trucks are needed when.
//!
//! Invariants: a week is that of ISO 8601, Monday to Sunday; a job counts whole in the week of its
//! pour; jobs without a date are counted, not placed. Areas are free text, so that their number is
//! bounded and the rest is gathered under one name.

use super::Told;
use crate::estimate::Estimate;
use crate::job::Day;
use crate::quantity::Volume;
use chrono::Datelike as _;
use std::collections::BTreeMap;

/// Most weeks and areas that are told apart.
const KEYS_AT_MOST: usize = 10_000;
/// Name of the areas beyond that.
const OTHER: &str = "other areas";

/// A week and an area.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct WeekKey {
    /// Year of the week.
    pub year: i32,
    /// Week of that year, 1 to 53.
    pub week: u32,
    /// Area as the rows name it; empty where they name none.
    pub area: String,
}

/// What falls into a week and an area.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Week {
    /// Jobs.
    pub jobs: u64,
    /// Crew-days.
    pub crew_days: f64,
    /// Concrete to order.
    pub concrete: Volume,
    /// Truck loads.
    pub loads: u64,
}

/// Work by week and area.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Weeks {
    /// In order of time, then by area.
    pub by_key: BTreeMap<WeekKey, Week>,
    /// Jobs without a date.
    pub undated: u64,
}

impl WeekKey {
    fn of(day: Day, area: Option<&str>) -> Self {
        let week = day.0.iso_week();
        Self {
            year: week.year(),
            week: week.week(),
            area: area.unwrap_or_default().to_owned(),
        }
    }

    /// The week as ISO 8601 writes it, like `2026-W19`.
    pub fn name(&self) -> String {
        format!("{:04}-W{:02}", self.year, self.week)
    }
}

impl Weeks {
    pub(super) fn add(&mut self, estimate: &Estimate, told: Told<'_>) {
        let Some(day) = told.day.or_else(|| pour_day(estimate)) else {
            self.undated += 1;
            return;
        };
        let concrete = &estimate.takeoff.concrete;
        let week = Week {
            jobs: 1,
            crew_days: estimate.hours.crew_days,
            concrete: concrete.order,
            loads: concrete.loads.len() as u64,
        };
        self.put(WeekKey::of(day, told.area), week);
    }

    pub(super) fn merge(&mut self, later: Self) {
        self.undated += later.undated;
        for (key, week) in later.by_key {
            self.put(key, week);
        }
    }

    fn put(&mut self, mut key: WeekKey, week: Week) {
        if self.by_key.len() >= KEYS_AT_MOST && !self.by_key.contains_key(&key) {
            OTHER.clone_into(&mut key.area);
        }
        let sum = self.by_key.entry(key).or_default();
        sum.jobs += week.jobs;
        sum.crew_days += week.crew_days;
        sum.concrete += week.concrete;
        sum.loads += week.loads;
    }
}

/// The day of the visit on which concrete is placed, where the job has dates.
pub(super) fn pour_day(estimate: &Estimate) -> Option<Day> {
    let hours = &estimate.hours;
    let place = hours
        .tasks
        .iter()
        .find(|task| task.code.starts_with("place"))?;
    let visit = hours.visits.iter().find(|visit| visit.visit == place.visit);
    visit?.date
}
