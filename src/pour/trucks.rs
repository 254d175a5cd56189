//! Which truck comes when: one at a time, none waiting, each empty within the plant's limit.
//!
//! Invariants: the loads add up to the order; a load that would be too old at its end is shared by more
//! trucks; a truck comes as the one before is empty. Absent: what a load costs.

use super::rows::rows;
use super::site::Facts;
use crate::quantity::{Compared, Span, Volume, floor};
use chrono::{NaiveDateTime, TimeDelta};

/// One truck.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Truck {
    /// What it carries.
    pub volume: Volume,
    /// When the plant batches it.
    pub batched: NaiveDateTime,
    /// When it comes, and at once starts to unload.
    pub arrives: NaiveDateTime,
    /// When it is empty.
    pub empty: NaiveDateTime,
    /// From batching until it is empty.
    pub age: Span,
}

/// Most trucks of one pour; more is no small crew's day.
const TRUCKS_AT_MOST: usize = 40;

/// The loads of a pour; none of them where it is mixed on site, nothing where no truck can be empty within the
/// limit.
pub(super) fn share_trucks(facts: &Facts<'_>, people: u32) -> Option<Vec<Volume>> {
    if facts.is_bagged() {
        return Some(Vec::new());
    }
    let limit = facts.from.catalog.concrete.discharge.limit;
    let in_time = |loads: &[Volume]| {
        let fullest = loads.iter().copied().reduce(Volume::max);
        let unloading = fullest.map(|load| facts.unloading_by(people) * (load / facts.order()));
        unloading.is_some_and(|unloading| (facts.from.pour.plant_travel + unloading).at_most(limit))
    };
    let loads = &facts.from.takeoff.concrete.loads;
    if in_time(loads) {
        return Some(loads.clone());
    }
    let least = rows().least_load.volume;
    (loads.len() + 1..=TRUCKS_AT_MOST)
        .map(|trucks| share_evenly(facts, trucks))
        .take_while(|loads| loads.iter().all(|load| load.at_least(least)))
        .find(|loads| in_time(loads))
}

/// As even as the step of an order allows, the larger first.
fn share_evenly(facts: &Facts<'_>, trucks: usize) -> Vec<Volume> {
    let step = facts.from.catalog.concrete.order.step;
    let steps = floor(facts.order() / step).max(0.0) as usize;
    let rest = facts.order() - step * steps as f64;
    let mut loads: Vec<Volume> = (0..trucks)
        .map(|at| step * (steps / trucks + usize::from(at < steps % trucks)) as f64)
        .collect();
    if let Some(first) = loads.first_mut() {
        *first += rest;
    }
    loads.retain(|load| load.compare(Volume::ZERO) == Compared::Above);
    loads
}

/// The trucks of a day whose first one comes at `first`; unloading is shared by volume.
pub(super) fn time_trucks(
    facts: &Facts<'_>,
    loads: &[Volume],
    (first, people): (NaiveDateTime, u32),
) -> Vec<Truck> {
    let travel = facts.from.pour.plant_travel;
    let all: Volume = loads.iter().copied().sum();
    let mut comes = first;
    let mut trucks = Vec::with_capacity(loads.len());
    for volume in loads {
        let unloading = facts.unloading_by(people) * (*volume / all);
        let empty = later(comes, unloading);
        trucks.push(Truck {
            volume: *volume,
            batched: later(comes, -travel),
            arrives: comes,
            empty,
            age: travel + unloading,
        });
        comes = empty;
    }
    trucks
}

/// A moment later by a span, to the whole minute.
pub(super) fn later(moment: NaiveDateTime, by: Span) -> NaiveDateTime {
    let minutes = crate::quantity::round_to(by.minutes(), 0);
    moment + TimeDelta::minutes(minutes as i64)
}
