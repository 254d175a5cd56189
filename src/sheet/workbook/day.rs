//! Serial numbers of a workbook as days and times.
//!
//! Invariants: days count from 1900, with a 29 February 1900 that never was, or from 1904; what no
//! calendar has is refused, never moved. Absent: time zones.
//!
//! # Source
//! ECMA-376 part 1, section 18.17.4 (dates and times), from memory.

use super::styles::Shown;
use crate::sheet::CellFault;
use chrono::{NaiveDate, NaiveDateTime, TimeDelta};

const DAY_SECONDS: i64 = 86_400;

/// The serial number after the last day of 9999, counted from 1900.
const AFTER_THE_LAST: f64 = 2_958_466.0;

/// A number that is shown as a day or a time, as text: `YYYY-MM-DD`, with `THH:MM:SS` where it has a
/// time of day; times alone as `HH:MM:SS`, to the nearest second.
pub(super) fn written(serial: f64, shown: Shown, from_1904: bool) -> Result<String, CellFault> {
    if !(0.0..AFTER_THE_LAST).contains(&serial) {
        return Err(CellFault::NoSuchDate);
    }
    // In range, so that nothing is cut off.
    let seconds = (serial * DAY_SECONDS as f64).round() as i64;
    let (day, of_day) = (seconds / DAY_SECONDS, seconds % DAY_SECONDS);
    if shown == Shown::Time {
        let (minutes, second) = (seconds / 60, seconds % 60);
        return Ok(format!(
            "{:02}:{:02}:{second:02}",
            minutes / 60,
            minutes % 60
        ));
    }
    let date = date(day, from_1904).ok_or(CellFault::NoSuchDate)?;
    if of_day == 0 {
        return Ok(date.to_string());
    }
    let moment = date.and_time(chrono::NaiveTime::MIN) + TimeDelta::seconds(of_day);
    Ok(moment.format(MOMENT).to_string())
}

const MOMENT: &str = "%Y-%m-%dT%H:%M:%S";

fn date(day: i64, from_1904: bool) -> Option<NaiveDate> {
    let (year, before) = match (from_1904, day) {
        (true, _) => (1904, 0),
        // The day before the first, and the one that never was.
        (false, 0 | 60) => return None,
        (false, 1..60) => (1900, 1),
        (false, _) => (1900, 2),
    };
    let first = NaiveDate::from_ymd_opt(year, 1, 1)?;
    let date = first.checked_add_signed(TimeDelta::days(day - before))?;
    (date.to_string().len() == 10).then_some(date)
}

/// A day or a moment that the workbook holds as ISO 8601 text, in the same two forms.
pub(super) fn rewritten(text: &str) -> Result<String, CellFault> {
    let text = text.trim().trim_end_matches('Z');
    if let Ok(date) = text.parse::<NaiveDate>() {
        return Ok(date.to_string());
    }
    let moment: NaiveDateTime = text.parse().map_err(|_| CellFault::NoSuchDate)?;
    if moment.time() == chrono::NaiveTime::MIN {
        return Ok(moment.date().to_string());
    }
    Ok(moment.format(MOMENT).to_string())
}
