//! Days side by side on paper, long waits cut short.
//!
//! Invariants: days with a visit, and the last one on which the entrance is closed, are never cut out;
//! every day that is drawn is as wide as every other. Absent: what is done on a day.

use super::canvas::LETTERS;
use super::font::width_of;
use chrono::{Datelike, Days, NaiveDate, Weekday};

/// Fewest days without a visit that are cut short.
const LONG: u32 = 5;

/// Width of days that are cut short, in millimetres.
const CUT: f64 = 15.0;

/// Widest day, in millimetres.
const WIDEST: f64 = 30.0;

/// Room between two labels of days, in millimetres.
const BETWEEN: f64 = 1.4;

/// Days that stand side by side.
#[derive(Debug)]
pub(super) struct DayAxis {
    pub(super) columns: Vec<Column>,
    /// Width of one day, in millimetres.
    pub(super) day: f64,
    /// The date of day 1, where it is known.
    first: Option<NaiveDate>,
}

/// One day, or many that are cut short.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Column {
    pub(super) from: u32,
    pub(super) days: u32,
    pub(super) left: f64,
    pub(super) right: f64,
}

/// A label of a column.
pub(super) struct Label {
    pub(super) middle: f64,
    pub(super) words: String,
}

impl Column {
    pub(super) const fn is_cut(&self) -> bool {
        self.days > 1
    }

    pub(super) const fn last(&self) -> u32 {
        self.from + self.days - 1
    }
}

impl DayAxis {
    /// Days 1 to `last` between two places on the paper; those of `kept` are never cut out.
    pub(super) fn new(
        (last, kept): (u32, &[u32]),
        first: Option<NaiveDate>,
        (left, right): (f64, f64),
    ) -> Self {
        let spans = spans(last, kept);
        let cut = spans.iter().filter(|(_, days)| *days > 1).count();
        let shown = (spans.len() - cut).max(1);
        let room = (right - left - cut as f64 * CUT).max(0.0);
        let day = (room / shown as f64).min(WIDEST);
        let mut at = left;
        let columns = spans.into_iter().map(|(from, days)| {
            let left = at;
            at += if days > 1 { CUT } else { day };
            Column {
                from,
                days,
                left,
                right: at,
            }
        });
        Self {
            columns: columns.collect(),
            day,
            first,
        }
    }

    /// The column of a day.
    pub(super) fn column(&self, day: u32) -> Option<&Column> {
        let mut columns = self.columns.iter();
        columns.find(|column| (column.from..=column.last()).contains(&day))
    }

    pub(super) fn right(&self) -> f64 {
        self.columns.last().map_or(0.0, |column| column.right)
    }

    /// Whether a day is a Saturday or a Sunday; unknown without dates.
    pub(super) fn is_weekend(&self, day: u32) -> bool {
        let date = self.date(day);
        date.is_some_and(|date| matches!(date.weekday(), Weekday::Sat | Weekday::Sun))
    }

    fn date(&self, day: u32) -> Option<NaiveDate> {
        let after = Days::new(u64::from(day.saturating_sub(1)));
        self.first?.checked_add_days(after)
    }

    /// A day in words, with its day of the week where there is room.
    pub(super) fn name(&self, day: u32, wide: bool) -> String {
        match self.date(day) {
            Some(date) if wide => date.format("%a %-d %b").to_string(),
            Some(date) => date.format("%-d %b").to_string(),
            None => format!("day {day}"),
        }
    }

    /// Labels that keep clear of each other: of what is cut short, of days with a visit, of the rest.
    pub(super) fn labels(&self, visited: &[u32]) -> Vec<Label> {
        let widest = width_of("Wed 30 Sep", LETTERS, false) + BETWEEN;
        let name = |column: &Column| match column.is_cut() {
            true => format!("{} days", column.days),
            false => self.name(column.from, self.day > widest),
        };
        let rank = |column: &Column| match column.is_cut() {
            true => 0,
            false if visited.contains(&column.from) => 1,
            false => 2,
        };
        let mut labels: Vec<Label> = Vec::new();
        for wanted in 0..=2 {
            for column in self.columns.iter().filter(|column| rank(column) == wanted) {
                let label = Label {
                    middle: f64::midpoint(column.left, column.right),
                    words: name(column),
                };
                if labels.iter().all(|other| other.is_clear_of(&label)) {
                    labels.push(label);
                }
            }
        }
        labels
    }
}

impl Label {
    fn is_clear_of(&self, other: &Self) -> bool {
        let half = |label: &Self| width_of(&label.words, LETTERS, false) / 2.0;
        (self.middle - other.middle).abs() >= half(self) + half(other) + BETWEEN
    }
}

/// Days one by one, and long rows of days that need not be kept in one piece: the first and how many.
fn spans(last: u32, kept: &[u32]) -> Vec<(u32, u32)> {
    let mut spans = Vec::new();
    let mut from = 1;
    while from <= last {
        let next = kept.iter().copied().filter(|day| *day >= from).min();
        let free = next.unwrap_or(last + 1).min(last + 1) - from;
        if free >= LONG {
            spans.push((from, free));
        } else {
            spans.extend((from..from + free).map(|day| (day, 1)));
        }
        from += free;
        if from <= last {
            spans.push((from, 1));
            from += 1;
        }
    }
    spans
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_waits_are_cut_and_nothing_else() {
        assert_eq!(spans(4, &[1, 2, 4]), [(1, 1), (2, 1), (3, 1), (4, 1)]);
        assert_eq!(spans(8, &[1, 7]), [(1, 1), (2, 5), (7, 1), (8, 1)]);
        assert_eq!(
            spans(7, &[1, 6]),
            [(1, 1), (2, 1), (3, 1), (4, 1), (5, 1), (6, 1), (7, 1)]
        );
        assert_eq!(spans(34, &[3, 5, 34]).len(), 7);
        assert_eq!(spans(30, &[1]), [(1, 1), (2, 29)]);
        assert!(spans(0, &[]).is_empty());
    }

    #[test]
    fn days_are_equally_wide_and_end_where_they_may() {
        let axis = DayAxis::new((34, &[1, 2, 3, 34]), None, (100.0, 200.0));
        assert!((axis.right() - 200.0).abs() < 1e-9, "{}", axis.right());
        let shown = axis.columns.iter().filter(|column| !column.is_cut());
        assert!(
            shown
                .into_iter()
                .all(|column| (column.right - column.left - axis.day).abs() < 1e-9)
        );
        assert_eq!(axis.column(20).map(|column| column.days), Some(30));
    }

    /// 2026-05-16 is a Saturday: `date -d 2026-05-16 +%A`.
    #[test]
    fn weekends_are_those_of_the_calendar() {
        let first = NaiveDate::from_ymd_opt(2026, 5, 15);
        let axis = DayAxis::new((5, &[1]), first, (0.0, 100.0));
        let weekend: Vec<u32> = (1..=5).filter(|day| axis.is_weekend(*day)).collect();
        assert_eq!(weekend, [2, 3]);
        assert_eq!(axis.name(2, true), "Sat 16 May");
        assert_eq!(axis.name(2, false), "16 May");
    }
}
