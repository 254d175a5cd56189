//! Days counted from the first visit, and the dates they fall on.
//!
//! Invariants: day 1 is the first day worked; with a date given no visit falls on a day of the week
//! that is not worked; without one days are only numbers. Absent: public holidays, weather, the
//! clock.

use super::figure::Week;
use crate::job::Day;
use chrono::{Datelike, Days, NaiveDate};

/// Days of a week; no search goes further than two of them.
const TWO_WEEKS: u32 = 14;

/// The calendar of one job.
#[derive(Clone, Copy, Debug)]
pub(super) struct Calendar<'a> {
    first: Option<NaiveDate>,
    week: &'a Week,
}

impl<'a> Calendar<'a> {
    /// A calendar whose day 1 is `start`, or the first day worked after it.
    pub(super) fn starting(start: Option<Day>, week: &'a Week) -> Self {
        let stated = Self {
            first: start.map(|day| day.0),
            week,
        };
        let first = stated.on_or_after(1);
        Self {
            first: stated.date(first).map(|day| day.0),
            week,
        }
    }

    /// The date of a day.
    pub(super) fn date(&self, day: u32) -> Option<Day> {
        self.date_of(i64::from(day))
    }

    /// The date of a day that may lie before the first.
    pub(super) fn date_of(&self, day: i64) -> Option<Day> {
        let first = self.first?;
        let days = Days::new((day - 1).unsigned_abs());
        let date = if day >= 1 {
            first.checked_add_days(days)
        } else {
            first.checked_sub_days(days)
        };
        date.map(Day)
    }

    /// So many days worked before a day, and how many of them lie before day 1.
    pub(super) fn worked_before(&self, day: u32, count: u32) -> (i64, u32) {
        let (mut at, mut early) = (i64::from(day), 0);
        for _ in 0..count {
            // No week is without a day worked, so that one of seven is found.
            let earlier = (1..=7).map(|back| at - back);
            let mut worked = earlier.filter(|day| self.is_worked_on(*day));
            at = worked.next().unwrap_or(at - 1);
            early += u32::from(at < 1);
        }
        (at, early)
    }

    fn is_worked_on(&self, day: i64) -> bool {
        let date = self.date_of(day);
        date.is_none_or(|date| !self.week.not_worked.contains(&date.0.weekday()))
    }

    pub(super) fn is_worked(&self, day: u32) -> bool {
        self.is_worked_on(i64::from(day))
    }

    /// The first day worked, from `day` on.
    pub(super) fn on_or_after(&self, day: u32) -> u32 {
        self.first_of(day, |day| self.is_worked(day))
    }

    /// The first day worked, from `day` on, after which the day `later` days on is worked too.
    pub(super) fn with_a_day_after(&self, day: u32, later: u32) -> u32 {
        self.first_of(day, |day| {
            self.is_worked(day) && self.is_worked(day + later)
        })
    }

    fn first_of(&self, day: u32, suits: impl Fn(u32) -> bool) -> u32 {
        let mut days = day..day + TWO_WEEKS;
        days.find(|day| suits(*day)).unwrap_or(day)
    }
}
