//! The pour of a job on each of its days, priced and ranked.
//!
//! Invariants: days that go stand before days that go with something, those before days that wait; of equal
//! ones the cheaper, then the earlier; the hours of a day are those that its own air makes of them. Absent: where the weather comes from.

use super::fingerprint::fingerprint_of;
use super::{ComputedWith, With, Worked};
use crate::crew::plan_hours_with;
use crate::job::{Assumption, Day, Job, Pour};
use crate::pour::{PourDay, PourFrom, days_asked, weigh_day};
use crate::price::{DayCost, price_pour_day};
use crate::quantity::Temperature;
use crate::takeoff::Detail;
use chrono::{NaiveTime, TimeDelta};

/// A day with its price and its place.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedDay {
    /// From 1, the best.
    pub rank: u32,
    /// The day.
    pub day: PourDay,
    /// What it costs beside the estimate.
    pub cost: DayCost,
}

/// The days of a pour, and what they were computed with.
#[derive(Clone, Debug, PartialEq)]
pub struct PourPlanned {
    /// Every day, in the order of time; empty where we pour nothing.
    pub days: Vec<PlannedDay>,
    /// What it was computed with.
    pub computed_with: ComputedWith,
    /// Hash over the job, the weather and what it was computed with.
    pub fingerprint: String,
}

/// Weighs, prices and ranks the days of a pour.
pub fn plan_pour(
    (job, pour): (&Job, &Pour),
    assumed: &[Assumption],
    (worked, with): (&Worked, With<'_>),
) -> PourPlanned {
    let computed_with = ComputedWith::without_rules(job, with);
    PourPlanned {
        fingerprint: fingerprint_of((job, Some(pour)), assumed, &computed_with),
        days: rank_days((job, pour), (worked, with)),
        computed_with,
    }
}

/// Hours of the day over whose air people work.
const WORKED: std::ops::Range<i64> = 8..16;

fn rank_days((job, pour): (&Job, &Pour), (worked, with): (&Worked, With<'_>)) -> Vec<PlannedDay> {
    let from = PourFrom {
        job,
        pour,
        takeoff: &worked.takeoff,
        hours: &worked.hours,
        rates: with.rates,
        catalog: with.catalog,
    };
    let each = days_asked(from).into_iter();
    let mut days: Vec<PlannedDay> = each
        .filter_map(|day| plan_day(from, (day, worked), with))
        .collect();
    let mut order: Vec<usize> = (0..days.len()).collect();
    order.sort_by_key(|at| {
        let day = &days[*at];
        (day.day.verdict, day.cost.total, day.day.day)
    });
    for (rank, at) in (1..).zip(order) {
        days[at].rank = rank;
    }
    days
}

/// A day with the hours that its air makes of the work, where the job states no air itself.
fn plan_day(
    from: PourFrom<'_>,
    (day, worked): (Day, &Worked),
    with: With<'_>,
) -> Option<PlannedDay> {
    let mut job = from.job.clone();
    job.site.air = job.site.air.or_else(|| air_of(from.pour, day));
    let rates = (with.rates, Detail::Described);
    let hours = plan_hours_with(&job, &worked.geometry, &worked.takeoff, rates);
    let of_day = PourFrom {
        job: &job,
        hours: &hours,
        ..from
    };
    let weighed = weigh_day(of_day, day)?;
    Some(PlannedDay {
        rank: 0,
        cost: price_pour_day(&weighed, (of_day, &worked.hours), with.list),
        day: weighed,
    })
}

/// The mean of the air while people work.
fn air_of(pour: &Pour, day: Day) -> Option<Temperature> {
    let midnight = day.0.and_time(NaiveTime::MIN);
    let each = WORKED.filter_map(|hour| pour.weather.at(midnight + TimeDelta::hours(hour)));
    let told: Vec<f64> = each.map(|hour| hour.air.kelvins()).collect();
    let mean = told.iter().sum::<f64>() / told.len() as f64;
    (!told.is_empty()).then(|| Temperature::from_kelvins(mean))
}
