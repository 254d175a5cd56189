//! Days of a handover: what was done when, how old the slab was, and what follows from it.
//!
//! Invariants: a month that has no such day ends on its last one, so that a year after 29 February is 28
//! February; a day beyond the calendar's end is its last. Absent: the clock.

use super::rows::WinterRow;
use crate::job::Day;
use crate::quantity::{Fault, Faults};
use chrono::{Datelike as _, Days, Months, NaiveDate};
use serde::Serialize;

/// Something that was done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Done {
    /// `poured`, `sawn`, `forms_off`, `sealed` or `handed_over`.
    pub what: &'static str,
    /// The day.
    pub on: Day,
    /// Days after the pour.
    pub age_days: i64,
}

/// Days from one day to another.
pub(super) fn days_between(from: Day, to: Day) -> i64 {
    (to.0 - from.0).num_days()
}

/// So many days later.
pub(super) fn days_after(from: Day, days: u32) -> Day {
    let later = from.0.checked_add_days(Days::new(days.into()));
    Day(later.unwrap_or(NaiveDate::MAX))
}

/// So many months later: the same day of the month, or its last.
pub(super) fn months_after(from: Day, months: u32) -> Day {
    let later = from.0.checked_add_months(Months::new(months));
    Day(later.unwrap_or(NaiveDate::MAX))
}

/// The last day of the first winter that begins on or after a day.
///
/// A winter that is under way already is lived through besides: the slab is youngest in it.
pub(super) fn end_of_first_winter(from: Day, row: &WinterRow) -> Day {
    let on = |year: i32, text: &str| Day::parse(&format!("{year:04}-{text}"));
    let year = from.0.year();
    let begins = on(year, &row.begins).filter(|begins| begins.0 >= from.0);
    let begun = if begins.is_some() { year } else { year + 1 };
    on(begun + 1, &row.ends).unwrap_or(Day(NaiveDate::MAX))
}

/// Refuses a day before the pour, or after the handover.
pub(super) fn check_day(
    (pointer, day): (&str, Option<Day>),
    (poured, handed): (Day, Day),
    faults: &mut Faults,
) {
    let Some(day) = day else {
        return;
    };
    if day.0 < poured.0 || day.0 > handed.0 {
        let accepted = format!("a day from the pour, {poured}, to the handover, {handed}");
        let example = poured.to_string();
        faults.push(Fault::new(
            pointer,
            day.to_string(),
            accepted,
            Some(&example),
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::parse(text).expect("a day")
    }

    /// Counted on a calendar: 2028 is a leap year, 2026 and 2027 are none.
    #[test]
    fn months_and_years_end_where_the_calendar_does() {
        for (from, months, to) in [
            ("2026-06-15", 12, "2027-06-15"),
            ("2028-02-29", 12, "2029-02-28"),
            ("2027-02-28", 12, "2028-02-28"),
            ("2026-01-31", 1, "2026-02-28"),
            ("2028-01-31", 1, "2028-02-29"),
            ("2026-12-31", 120, "2036-12-31"),
        ] {
            assert_eq!(months_after(day(from), months), day(to), "{from}");
        }
        assert_eq!(days_after(day("2028-02-28"), 1), day("2028-02-29"));
        assert_eq!(days_after(day("2026-12-30"), 28), day("2027-01-27"));
        assert_eq!(days_between(day("2028-02-28"), day("2028-03-01")), 2);
        let last = Day(NaiveDate::MAX);
        assert_eq!((days_after(last, 7), months_after(last, 1)), (last, last));
    }

    /// By hand, with winters from 1 November to 30 April.
    #[test]
    fn the_first_winter_is_one_that_is_lived_through_whole() {
        let row = WinterRow {
            begins: "11-01".to_owned(),
            ends: "04-30".to_owned(),
        };
        for (from, to) in [
            ("2026-06-15", "2027-04-30"),
            ("2026-10-31", "2027-04-30"),
            ("2026-11-01", "2027-04-30"),
            ("2026-11-02", "2028-04-30"),
            ("2027-04-29", "2028-04-30"),
        ] {
            assert_eq!(end_of_first_winter(day(from), &row), day(to), "{from}");
        }
    }
}
