//! Figures of hours, visits and days.
//!
//! Absent: money.

use super::shape::digits;
use super::{Found, NotKnown, Shown};
use crate::crew::Visit;
use crate::estimate::Estimate;
use crate::quantity::Span;
use crate::quantity::shown::{H, Shown as Quantity};

/// Code of the task that fills the forms.
const POURS: &str = "place";

fn hours(span: Span, estimate: &Estimate) -> Found {
    Ok(digits(H::of(span, estimate.job.units).shown()))
}

pub(super) fn task_hours(estimate: &Estimate) -> Found {
    hours(estimate.hours.totals.task, estimate)
}

pub(super) fn paid_hours(estimate: &Estimate) -> Found {
    hours(estimate.hours.totals.paid, estimate)
}

pub(super) fn standby_hours(estimate: &Estimate) -> Found {
    hours(estimate.hours.totals.standby, estimate)
}

pub(super) fn travel_hours(estimate: &Estimate) -> Found {
    hours(estimate.hours.totals.travel, estimate)
}

pub(super) fn pour_hours(estimate: &Estimate) -> Found {
    let pours = |visit: &&Visit| {
        let mut tasks = estimate.hours.tasks.iter();
        tasks.any(|task| task.visit == visit.visit && task.code == POURS)
    };
    let visits = estimate.hours.visits.iter().filter(pours);
    hours(visits.map(|visit| visit.on_site).sum(), estimate)
}

pub(super) fn visits(estimate: &Estimate) -> Found {
    Ok(Shown::count(estimate.hours.visits.len()))
}

pub(super) fn crew_peak(estimate: &Estimate) -> Found {
    let people = estimate.hours.visits.iter().map(|visit| visit.people);
    Ok(Shown::count(people.max().unwrap_or(0)))
}

pub(super) fn crew_days(estimate: &Estimate) -> Found {
    Ok(digits(Quantity::new(estimate.hours.crew_days, "d", 1)))
}

pub(super) fn calendar_days(estimate: &Estimate) -> Found {
    Ok(Shown::count(estimate.hours.calendar_days))
}

pub(super) fn last_day(estimate: &Estimate) -> Found {
    let last = estimate.hours.visits.last();
    let Some(last) = last else {
        return Err(NotKnown::undetermined(
            "there is no visit: nothing is left for us to do",
        ));
    };
    match last.date {
        Some(day) => Ok(Shown::text(day.to_string())),
        None => Err(NotKnown::undetermined(
            "it needs the first day on site; fill start",
        )),
    }
}
