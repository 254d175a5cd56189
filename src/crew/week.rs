//! Hours of one person in one day and one week, and what of them is overtime.
//!
//! Invariants: no hour is overtime twice, what a day's rule takes is not counted toward the week's;
//! the same people of a class come to every visit that has room for them, those who leave a pour
//! early last; a week begins on Monday where dates are known, else with every seventh day from the
//! first visit. Absent: money, other jobs, which state asks for a daily rule.

use super::Visit;
use crate::job::Class;
use crate::quantity::Span;
use chrono::Datelike;
use std::collections::{BTreeMap, BTreeSet};

/// Days of a week.
const WEEK: i64 = 7;

/// Above which hours of one person are overtime.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// In a week.
    pub week: Span,
    /// In a day, where a rule asks for it.
    pub day: Option<Span>,
}

/// Overtime of the people of one class.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overtime {
    /// Class.
    pub class: Class,
    /// Hours above the limit of a day.
    pub daily: Span,
    /// Hours above the limit of a week that are not above that of a day.
    pub weekly: Span,
}

impl Overtime {
    /// Both.
    pub fn hours(&self) -> Span {
        self.daily + self.weekly
    }
}

/// Hours of one person in one week.
#[derive(Clone, Copy, Debug, Default)]
struct Worked {
    plain: Span,
    daily: Span,
}

/// Hours above the limits, in the order of the classes; classes without any are left out.
///
/// # Source
/// 29 CFR 778.101 and 778.104: overtime is owed for hours over 40 in a workweek, each workweek
/// standing alone. A daily rule is a state's: that its hours are not counted again toward the week
/// is common practice, no source.
pub fn measure_overtime(visits: &[Visit], limits: Limits) -> Vec<Overtime> {
    let mut weeks: BTreeMap<(Class, i64, u32), Worked> = BTreeMap::new();
    for visit in visits {
        for (class, people) in &visit.crew {
            for person in 0..*people {
                let paid = visit.paid_to(*class, person);
                let plain = limits.day.map_or(paid, |limit| paid.min(limit));
                let worked = weeks.entry((*class, week_of(visit), person)).or_default();
                worked.plain += plain;
                worked.daily += paid - plain;
            }
        }
    }
    let mut over: BTreeMap<Class, Overtime> = BTreeMap::new();
    for ((class, _, _), worked) in weeks {
        let sum = over.entry(class).or_insert(Overtime {
            class,
            daily: Span::ZERO,
            weekly: Span::ZERO,
        });
        sum.daily += worked.daily;
        if !worked.plain.at_most(limits.week) {
            sum.weekly += worked.plain - limits.week;
        }
    }
    let some = |over: &Overtime| !over.hours().at_most(Span::ZERO);
    over.into_values().filter(some).collect()
}

/// How many weeks have a visit.
pub(super) fn count_weeks(visits: &[Visit]) -> u32 {
    let weeks: BTreeSet<i64> = visits.iter().map(week_of).collect();
    weeks.len() as u32
}

/// Number of the week of a visit; only equality means anything.
fn week_of(visit: &Visit) -> i64 {
    match visit.date {
        Some(date) => i64::from(date.0.num_days_from_ce() - 1).div_euclid(WEEK),
        None => (i64::from(visit.day) - 1).div_euclid(WEEK),
    }
}
