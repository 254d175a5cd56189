//! The time that a value of a forecast holds for: a start and a duration (ISO 8601).
//!
//! Invariants: a duration is one of fixed length (weeks, days, hours, minutes, seconds) and no longer than
//! a year; a start has its offset. Absent: months and years, whose length hangs on the calendar.

use chrono::{DateTime, TimeDelta, Utc};

/// Longest duration that is read, in seconds; what is longer is a mistake.
const SECONDS_AT_MOST: i64 = 366 * 86_400;

/// Letters of a duration's days and of its clock, in their order, with the seconds of one.
const DAYS: &[(char, i64)] = &[('W', 604_800), ('D', 86_400)];
const CLOCK: &[(char, i64)] = &[('H', 3_600), ('M', 60), ('S', 1)];

/// From a moment up to another one, which it does not hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Interval {
    pub(super) from: DateTime<Utc>,
    pub(super) to: DateTime<Utc>,
}

impl Interval {
    /// Reads `2026-05-18T06:00:00+00:00/PT2H`; `None` for anything else.
    pub(super) fn parse(text: &str) -> Option<Self> {
        let (from, lasts) = text.split_once('/')?;
        let from = DateTime::parse_from_rfc3339(from).ok()?.to_utc();
        let to = from.checked_add_signed(duration(lasts)?)?;
        Some(Self { from, to })
    }
}

/// Reads `PT1H`, `P1D`, `P1DT6H`, `P2W`.
fn duration(text: &str) -> Option<TimeDelta> {
    let text = text.strip_prefix('P')?;
    let (days, clock) = match text.split_once('T') {
        Some((_, "")) => return None,
        Some((days, clock)) => (days, clock),
        None if text.is_empty() => return None,
        None => (text, ""),
    };
    let seconds = parts(days, DAYS)?.checked_add(parts(clock, CLOCK)?)?;
    (0..=SECONDS_AT_MOST)
        .contains(&seconds)
        .then(|| TimeDelta::seconds(seconds))
}

/// The seconds of a row of numbers, each followed by its letter, in the order of the letters.
fn parts(mut text: &str, letters: &[(char, i64)]) -> Option<i64> {
    let mut seconds = 0_i64;
    for (letter, size) in letters {
        let Some((number, rest)) = text.split_once(*letter) else {
            continue;
        };
        let digits = !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
        let number: i64 = number.parse().ok().filter(|_| digits)?;
        seconds = seconds.checked_add(number.checked_mul(*size)?)?;
        text = rest;
    }
    text.is_empty().then_some(seconds)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 8601-1:2019, 5.5.2 (durations by designators) and 5.5.4.2.b (start and duration); from memory.
    #[test]
    fn durations_of_fixed_length_are_read() {
        for (text, hours) in [
            ("PT1H", 1),
            ("PT6H", 6),
            ("P1D", 24),
            ("P1DT6H", 30),
            ("P7DT12H", 180),
            ("P2W", 336),
            ("PT90M", 1),
            ("PT0S", 0),
            ("P366D", 8_784),
        ] {
            let read = duration(text).map(|span| span.num_hours());
            assert_eq!(read, Some(hours), "{text}");
        }
        assert_eq!(duration("PT1H30M5S"), Some(TimeDelta::seconds(5_405)));
    }

    #[test]
    fn what_has_no_fixed_length_or_no_sense_is_not_read() {
        for text in [
            "",
            "P",
            "PT",
            "P1",
            "1D",
            "P1M",
            "P1Y",
            "PT1D",
            "P1H",
            "P1DT",
            "P-1D",
            "P+1D",
            "PT1.5H",
            "P1D1D",
            "PT1M1H",
            "P367D",
            "P99999999999999999999D",
            "PT1H ",
            "pt1h",
            "PT٣H",
        ] {
            assert_eq!(duration(text), None, "{text}");
        }
    }

    #[test]
    fn an_interval_is_a_start_with_its_offset_and_a_duration() {
        let read = Interval::parse("2026-05-18T06:00:00+00:00/PT2H").expect("reads");
        assert_eq!(read.to - read.from, TimeDelta::hours(2));
        let west = Interval::parse("2026-05-18T01:00:00-05:00/PT2H");
        assert_eq!(west, Some(read));
        assert_eq!(Interval::parse("2026-05-18T06:00:00Z/PT2H"), Some(read));
        for text in [
            "2026-05-18T06:00:00/PT2H",
            "2026-05-18/PT2H",
            "2026-05-18T06:00:00Z",
            "2026-02-30T06:00:00Z/PT2H",
            "PT2H/2026-05-18T06:00:00Z",
            "",
        ] {
            assert_eq!(Interval::parse(text), None, "{text}");
        }
    }
}
