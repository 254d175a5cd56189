//! What follows a pour: the saw, stripping, walking, the cure, the sealer, rails, protection.
//!
//! Invariants: the job's own ages win over ours; a saw window is that of the slab's own temperature. Absent:
//! who comes, but for the day on which the saw does.

use super::course::{Course, between};
use super::site::Facts;
use super::trucks::later;
use crate::job::{Day, Saw};
use crate::quantity::{Span, Temperature};
use crate::setting::{
    SettingRows, Warmth, Window, cure_least, is_next_day_too_late, measure_equivalent_age,
    measure_saw_window, measure_strip_age, rail_age, seal_age,
};
use chrono::{Datelike, Days, NaiveDateTime, TimeDelta, Timelike};

/// When joints can be sawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SawPlan {
    /// With which saw.
    pub saw: Saw,
    /// From when on.
    pub opens: NaiveDateTime,
    /// The last moment.
    pub closes: NaiveDateTime,
    /// The day of the visit as it is planned.
    pub visit: Day,
    /// True where that is no day of the usual week.
    pub off_day: bool,
    /// True where the next morning is too late.
    pub next_day_too_late: bool,
    /// Person-hours paid for that visit.
    pub paid: Span,
    /// People of that visit.
    pub people: u32,
}

/// When what may be done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ages {
    /// Forms that carry nothing come off; none where the weather told does not say.
    pub strip: Option<NaiveDateTime>,
    /// The slab may be walked on.
    pub walk: NaiveDateTime,
    /// The cure ends.
    pub cure_until: NaiveDateTime,
    /// A sealer may go on; none where there is none.
    pub seal: Option<NaiveDateTime>,
    /// Anchors of rails hold.
    pub rails: NaiveDateTime,
}

/// Hours over which the slab's temperature stands for the saw's.
const SAW_OVER: Span = Span::from_hours(12.0);

pub(super) fn plan_saw(facts: &Facts<'_>, course: &Course) -> Option<SawPlan> {
    let saw = facts.saw()?;
    let first = course.first;
    let warmth = course.slab.mean(SAW_OVER);
    let window: Window = measure_saw_window(saw, warmth, between(first, course.broomed))?;
    let since_midnight = Span::from_minutes(f64::from(first.hour() * 60 + first.minute()));
    let after = facts.from.rates.figures.saw_after.likely.days();
    let visit = first
        .date()
        .checked_add_days(Days::new(after.max(0.0) as u64))?;
    let who = facts.saw_visit();
    Some(SawPlan {
        saw,
        opens: later(first, window.opens),
        closes: later(first, window.closes),
        visit: Day(visit),
        off_day: facts.from.rates.week.not_worked.contains(&visit.weekday()),
        next_day_too_late: is_next_day_too_late(window, since_midnight),
        paid: who.map_or(Span::ZERO, |visit| visit.paid),
        people: who.map_or(0, |visit| visit.people),
    })
}

/// Hours of the slab that are told for stripping.
const TOLD: u32 = 47;

pub(super) fn plan_ages(facts: &Facts<'_>, course: &Course, kept: Option<Temperature>) -> Ages {
    let placed = course.placed;
    let each: Vec<Temperature> = (0..TOLD)
        .map(|hour| course.slab.temperature(Span::from_hours(f64::from(hour))))
        .map(|at| kept.map_or(at, |kept| at.max(kept)))
        .collect();
    let warmth = Warmth {
        step: Span::from_hours(1.0),
        temperatures: &each,
    };
    let speed = speed_told(facts, placed, kept);
    let job = facts.from.job;
    let cement = facts.from.pour.cement;
    let cure = job.curing.duration.max(cure_least(cement));
    let wet_until = if facts.is_covered() { cure } else { Span::ZERO };
    let seal = job.sealer.as_option();
    Ages {
        strip: measure_strip_age(warmth).map(|age| later(placed, age)),
        walk: later(placed, SettingRows::built_in().traffic.foot.most / speed),
        cure_until: later(course.cured, cure),
        seal: seal.map(|seal| later(placed, seal_age(seal.earliest_age, wet_until).max(cure))),
        rails: later(placed, rail_age(facts.strength(), cement) / speed),
    }
}

/// Days of weather over which hardening is judged.
const HARDENS_OVER: i64 = 7 * 24;

/// The slowest that hardening is told; colder, nobody plans by a calendar.
const SLOWEST: f64 = 0.25;

/// How fast concrete hardens in the weather told, as a share of its speed at the reference temperature; never
/// more than that, for a plan does not count on warmth.
fn speed_told(facts: &Facts<'_>, placed: NaiveDateTime, kept: Option<Temperature>) -> f64 {
    let weather = &facts.from.pour.weather;
    let each = (0..HARDENS_OVER).filter_map(|hour| weather.at(placed + TimeDelta::hours(hour)));
    let air: Vec<Temperature> = each
        .map(|hour| kept.map_or(hour.air, |kept| hour.air.max(kept)))
        .collect();
    let step = Span::from_hours(1.0);
    let aged = measure_equivalent_age(Warmth {
        temperatures: &air,
        step,
    });
    let share = aged.hours() / air.len().max(1) as f64;
    share.clamp(SLOWEST, 1.0)
}
