//! What follows a pour: the saw, stripping, walking, the cure, the sealer, rails, protection.
//!
//! Invariants: the job's own ages win over ours; a saw window is that of the slab's own temperature. Absent:
//! who comes, but for the day on which the saw does.

use super::course::{Course, between};
use super::site::Facts;
use super::trucks::later;
use super::weigh::Cold;
use crate::job::{Day, Saw};
use crate::quantity::{Span, Temperature};
use crate::setting::{
    SettingRows, Warmth, Window, cure_least, is_next_day_too_late, measure_saw_window,
    measure_strip_age, member, rail_age, reach_equivalent_age, seal_age,
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

/// When what may be done; none where the weather told does not get there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ages {
    /// Forms that carry nothing come off; not while the slab is protected.
    pub strip: Option<NaiveDateTime>,
    /// The slab may be walked on.
    pub walk: Option<NaiveDateTime>,
    /// The cure ends.
    pub cure_until: NaiveDateTime,
    /// A sealer may go on; none where there is none.
    pub seal: Option<NaiveDateTime>,
    /// Anchors of rails hold.
    pub rails: Option<NaiveDateTime>,
}

/// Hours over which the slab's temperature stands for the saw's.
const SAW_OVER: Span = Span::from_hours(12.0);

pub(super) fn plan_saw(facts: &Facts<'_>, course: &Course, cold: Option<Cold>) -> Option<SawPlan> {
    let saw = facts.saw()?;
    let first = course.first;
    // Under blankets it goes on as fast as it is kept warm.
    let kept = cold.and_then(|_| member(facts.thickness()));
    let bare = course.slab.mean(SAW_OVER);
    let warmth = kept.map_or(bare, |row| bare.max(row.placed));
    let window: Window = measure_saw_window(saw, warmth, between(first, course.broomed))?;
    let since_midnight = Span::from_minutes(f64::from(first.hour() * 60 + first.minute()));
    let too_late = is_next_day_too_late(window, since_midnight);
    let after = facts.from.rates.figures.saw_after.likely.days().max(0.0) as u64;
    let after = if too_late { 0 } else { after };
    let visit = first.date().checked_add_days(Days::new(after))?;
    let who = facts.saw_visit();
    Some(SawPlan {
        saw,
        opens: later(first, window.opens),
        closes: later(first, window.closes),
        visit: Day(visit),
        off_day: facts.from.rates.week.not_worked.contains(&visit.weekday()),
        next_day_too_late: too_late,
        paid: who.map_or(Span::ZERO, |visit| visit.paid),
        people: who.map_or(0, |visit| visit.people),
    })
}

pub(super) fn plan_ages(facts: &Facts<'_>, course: &Course, cold: Option<Cold>) -> Ages {
    let placed = course.placed;
    let told = warmth_told(facts, course, cold);
    let warmth = Warmth {
        step: HOUR,
        temperatures: &told,
    };
    let aged = |wanted: Span| Some(later(placed, reach_equivalent_age(wanted, warmth)?));
    let protected = cold.map_or(placed, |cold| later(course.first, cold.protect));
    let job = facts.from.job;
    let cement = facts.from.pour.cement;
    let cure = job.curing.duration.max(cure_least(cement));
    let wet_until = if facts.is_covered() { cure } else { Span::ZERO };
    let seal = job.sealer.as_option();
    let stripped = measure_strip_age(warmth).map(|age| later(placed, age));
    Ages {
        strip: stripped.map(|at| at.max(protected)),
        walk: aged(SettingRows::built_in().traffic.foot.most),
        cure_until: later(course.cured, cure),
        seal: seal.map(|seal| later(placed, seal_age(seal.earliest_age, wet_until).max(cure))),
        rails: aged(rail_age(facts.strength(), cement)),
    }
}

const HOUR: Span = Span::from_hours(1.0);

/// Hours for which the slab is still warmer than the air from its placing; after them it is as warm as the air.
const FOLLOWS: i64 = 36;

/// How warm the concrete is, hour by hour from its placing, as far as the weather is told: kept warm while it is
/// protected, else by the air.
pub(super) fn warmth_told(
    facts: &Facts<'_>,
    course: &Course,
    cold: Option<Cold>,
) -> Vec<Temperature> {
    let weather = &facts.from.pour.weather;
    let kept = member(facts.thickness()).map(|row| row.placed);
    let protected = cold.map_or(course.first, |cold| later(course.first, cold.protect));
    (0_i64..)
        .map_while(|hour| {
            let at = course.placed + TimeDelta::hours(hour);
            let air = weather.at(at)?.air;
            let bare = if hour < FOLLOWS {
                course.temperature(at)
            } else {
                air
            };
            let kept = kept.filter(|_| at < protected);
            Some(kept.map_or(bare, |kept| bare.max(kept)))
        })
        .collect()
}
