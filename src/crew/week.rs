//! Hours of one person in one week, and what of them is overtime.
//!
//! Invariants: the same people of a class come to every visit that has room for them; a week begins
//! on Monday where dates are known, else with every seventh day from the first visit; a visit's hours
//! are shared evenly among its people of a class. Absent: money, other jobs, any rule of a state.

use super::Visit;
use crate::job::Class;
use crate::quantity::Span;
use chrono::Datelike;
use std::collections::BTreeMap;

/// Days of a week.
const WEEK: i64 = 7;

/// Hours above `limit`, by class, in the order of the classes; classes without any are left out.
///
/// # Source
/// 29 CFR 778.101 and 778.104: overtime is owed for hours over 40 in a workweek, each workweek
/// standing alone.
pub fn measure_overtime(visits: &[Visit], limit: Span) -> Vec<(Class, Span)> {
    let mut hours: BTreeMap<(Class, i64, u32), Span> = BTreeMap::new();
    for visit in visits {
        for (class, paid) in &visit.paid_by_class {
            let came = visit.crew.iter().filter(|(of, _)| of == class);
            let people: u32 = came.map(|(_, count)| count).sum();
            for person in 0..people {
                let worked = hours.entry((*class, week_of(visit), person)).or_default();
                *worked += *paid / f64::from(people);
            }
        }
    }
    let mut over: BTreeMap<Class, Span> = BTreeMap::new();
    for ((class, _, _), worked) in hours {
        if !worked.at_most(limit) {
            *over.entry(class).or_default() += worked - limit;
        }
    }
    over.into_iter().collect()
}

/// Number of the week of a visit; only equality means anything.
fn week_of(visit: &Visit) -> i64 {
    match visit.date {
        Some(date) => i64::from(date.0.num_days_from_ce() - 1).div_euclid(WEEK),
        None => (i64::from(visit.day) - 1).div_euclid(WEEK),
    }
}
