//! The pour of a job on each of its days, priced and ranked.
//!
//! Invariants: days that go stand before days that go with something, those before days that wait; of equal
//! ones the cheaper, then the earlier. Absent: where the weather comes from.

use super::fingerprint::fingerprint_of;
use super::{ComputedWith, With, Worked};
use crate::job::{Assumption, Job, Pour};
use crate::pour::{PourDay, PourFrom, weigh_days};
use crate::price::{DayCost, price_pour_day};

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

fn rank_days((job, pour): (&Job, &Pour), (worked, with): (&Worked, With<'_>)) -> Vec<PlannedDay> {
    let from = PourFrom {
        job,
        pour,
        takeoff: &worked.takeoff,
        hours: &worked.hours,
        rates: with.rates,
        catalog: with.catalog,
    };
    let weighed = weigh_days(from).into_iter();
    let mut days: Vec<PlannedDay> = weighed
        .map(|day| PlannedDay {
            rank: 0,
            cost: price_pour_day(&day, from, with.list),
            day,
        })
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
