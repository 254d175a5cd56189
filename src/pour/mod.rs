//! The pour by its weather: each day weighed, hour by hour, from the first truck to the saw.
//!
//! Invariants: every figure is a row of `pour.toml`, of `setting` or of the crew, with its source; the same
//! weather gives the same plan; a day without a reason to wait or a measure is `go`. Absent: money (`price`),
//! where weather comes from (`clients`), the clock.
//!
//! | file | holds |
//! | --- | --- |
//! | `rows`, `pour.toml` | figures, and what can be done |
//! | `site` | what a pour is reckoned from |
//! | `trucks`, `course`, `find` | which truck comes when; the course of the day by how the concrete sets, and what it takes |
//! | `drying` | weather, slab and evaporation hour by hour |
//! | `weigh`, `measure`, `crowd` | reasons, what is done about them, whether the crew keeps up |
//! | `after` | the saw, stripping, walking, cure, sealer, rails |
//! | `day` | a day at its best hour |
//! | `steps`, `cautions.toml` | the day in sentences |
//! | `words` | figures in sentences |

mod after;
mod course;
mod crowd;
mod day;
mod drying;
mod find;
mod measure;
mod rows;
mod site;
mod steps;
mod trucks;
mod weigh;
mod words;

pub use after::{Ages, SawPlan};
pub use course::Course;
pub use day::PourDay;
pub use drying::PourHour;
pub use measure::Measure;
pub use rows::{Per, PourFigure, measure_items, tell_figures};
pub use site::PourFrom;
pub use steps::{PourStep, tell_cautions, tell_order, tell_steps};
pub use trucks::Truck;
pub use weigh::{Cold, GoOrWait, Reason};
pub use words::{shown_limit, shown_rate};

use crate::job::Day;
use chrono::{Datelike, Days};

/// Most days weighed where the job names none.
const DAYS_AT_MOST: usize = 31;

/// The days asked for, in the order of time.
///
/// Where the job names none, those of the usual week whose weather is told from 00:00 to 23:00.
pub fn days_asked(from: PourFrom<'_>) -> Vec<Day> {
    let asked = from.pour.days.clone();
    asked.unwrap_or_else(|| days_told(from))
}

/// A day weighed; none where we pour nothing.
pub fn weigh_day(from: PourFrom<'_>, day: Day) -> Option<PourDay> {
    let facts = site::Facts::gather(from)?;
    day::weigh_day(&facts, day)
}

fn days_told(from: PourFrom<'_>) -> Vec<Day> {
    let weather = &from.pour.weather;
    let hours = weather.hours.len() as u64;
    let first = weather.from.date();
    let each = (0..=hours / 24).filter_map(|day| first.checked_add_days(Days::new(day)));
    let worked = each.filter(|day| !from.rates.week.not_worked.contains(&day.weekday()));
    worked
        .map(Day)
        .filter(|day| weather.covers(*day))
        .take(DAYS_AT_MOST)
        .collect()
}
