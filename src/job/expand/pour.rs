//! What the planning of a pour left open, answered; its faults, each at its place.
//!
//! Invariants: a gap in the weather, an hour that goes back, a day without weather are faults, one each;
//! the rest of the rows is read on. Absent: what the weather does.

use crate::job::Assumption;
use crate::job::choice::{Bleeding, Cement, WindAt};
use crate::job::day::Day;
use crate::job::fill::{Fill, Place};
use crate::job::full::{Job, Pour, Weather, WeatherHour};
use crate::job::moment::Moment;
use crate::job::sent::{PourRequest, WeatherHourRequest};
use crate::quantity::Faults;
use chrono::{NaiveDateTime, TimeDelta, Timelike};

/// Most hours of weather: those of a leap year.
const HOURS_AT_MOST: usize = 8_784;

/// Hours of a day.
const DAY: usize = 24;

/// Most days weighed in one call.
const DAYS_AT_MOST: usize = 31;

/// How a row of weather is written.
const EXAMPLE: &str = "{\"at\": \"2026-05-18T07:00\", \"air\": \"61 degF\", \"humidity\": \"55 %\", \
                       \"wind\": \"6 mph\", \"rain\": \"10 %\"}";

/// A pour to be planned, with the defaults that were used.
///
/// # Errors
/// All faults of the section, each at its place in the request as sent; one at `/pour` where there is none,
/// one at `/pour/weather` where no weather is told.
pub fn expand_pour(
    sent: Option<PourRequest>,
    job: &Job,
) -> Result<(Pour, Vec<Assumption>), Faults> {
    let mut fill = Fill::new(job.units);
    let root = Place::default();
    let place = root.field("pour");
    let Some(sent) = sent else {
        let example = format!("{{\"weather\": [{EXAMPLE}, ...]}}");
        fill.fault(&place, "nothing", "the pour to be planned", &example);
        return Err(fill.faults);
    };
    if sent.weather.is_none() {
        let accepted = "the weather, one row an hour, or a forecast by its name";
        let example = format!("[{EXAMPLE}, ...]");
        fill.fault(&place.field("weather"), "nothing", accepted, &example);
    }
    let pour = fill_pour(&mut fill, &place, sent);
    fill.faults.or((pour, fill.assumptions))
}

/// What other calls hold of the section: all but that there is weather.
pub(super) fn check_pour(fill: &mut Fill, place: &Place<'_>, sent: PourRequest) {
    let quiet = std::mem::replace(&mut fill.quiet, true);
    fill_pour(fill, place, sent);
    fill.quiet = quiet;
}

fn fill_pour(fill: &mut Fill, place: &Place<'_>, sent: PourRequest) -> Pour {
    let wind_at = fill.choice(&place.field("wind_at"), sent.wind_at, WindAt::Station);
    let told = sent.weather.is_some();
    let rows = sent.weather.unwrap_or_default();
    if told && sent.forecast.is_some() {
        let accepted = "either `weather` or `forecast`";
        fill.fault(&place.field("forecast"), "both", accepted, "weather alone");
    }
    let weather = fill_weather(fill, &place.field("weather"), (&rows, told), wind_at);
    let concrete = fill.optional(&place.field("concrete"), sent.concrete);
    if concrete.is_none() {
        fill.assume(&place.field("concrete"), "with the air");
    }
    if sent.first_truck.is_none() {
        fill.assume(&place.field("first_truck"), "the best hour of the morning");
    }
    let days = fill_days(fill, &place.field("days"), sent.days, &weather);
    Pour {
        days,
        first_truck: sent.first_truck,
        concrete,
        bleeding: fill.choice(&place.field("bleeding"), sent.bleeding, Bleeding::Usual),
        cement: fill.choice(&place.field("cement"), sent.cement, Cement::Usual),
        plant_travel: fill.quantity(&place.field("plant_travel"), sent.plant_travel),
        weather,
    }
}

/// Every row, held to its bounds and to its place in time.
fn fill_weather(
    fill: &mut Fill,
    place: &Place<'_>,
    (rows, told): (&[WeatherHourRequest], bool),
    wind_at: WindAt,
) -> Weather {
    if told && !(DAY..=HOURS_AT_MOST).contains(&rows.len()) {
        let accepted = format!("{DAY} to {HOURS_AT_MOST} rows, one an hour");
        let example = format!("[{EXAMPLE}, ...]");
        fill.fault(place, &format!("{} rows", rows.len()), &accepted, &example);
    }
    let rows = &rows[..rows.len().min(HOURS_AT_MOST)];
    let mut before: Option<NaiveDateTime> = None;
    let mut hours = Vec::with_capacity(rows.len());
    for (index, row) in rows.iter().enumerate() {
        let at = place.index(index);
        check_hour(fill, &at.field("at"), row.at.0, before);
        before = Some(row.at.0);
        hours.push(WeatherHour {
            air: fill
                .optional(&at.field("air"), Some(row.air))
                .unwrap_or(row.air),
            humidity: fill
                .optional(&at.field("humidity"), Some(row.humidity))
                .unwrap_or(row.humidity),
            wind: fill
                .optional(&at.field("wind"), Some(row.wind))
                .unwrap_or(row.wind),
            rain: fill.optional(&at.field("rain"), row.rain),
        });
    }
    Weather {
        from: rows.first().map_or(NaiveDateTime::MIN, |row| row.at.0),
        wind_at,
        hours,
    }
}

fn check_hour(
    fill: &mut Fill,
    place: &Place<'_>,
    at: NaiveDateTime,
    before: Option<NaiveDateTime>,
) {
    let next = before.and_then(|before| before.checked_add_signed(TimeDelta::hours(1)));
    let found = Moment(at).to_string();
    match (before, next) {
        (None, _) if at.minute() != 0 => {
            let whole = at.date().and_hms_opt(at.hour(), 0, 0).unwrap_or(at);
            let example = Moment(whole).to_string();
            fill.fault(place, &found, "a full hour", &example);
        }
        (Some(before), Some(next)) if at != next => {
            let how = if at <= before {
                "time goes on"
            } else {
                "no hour is left out"
            };
            let next = Moment(next).to_string();
            let accepted = format!("{next}, one hour after {}: {how}", Moment(before));
            fill.fault(place, &found, &accepted, &next);
        }
        _ => {}
    }
}

fn fill_days(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<Day>>,
    weather: &Weather,
) -> Option<Vec<Day>> {
    let Some(mut days) = sent else {
        fill.assume(place, "every working day that the weather covers");
        return None;
    };
    if !(1..=DAYS_AT_MOST).contains(&days.len()) {
        let accepted = format!("1 to {DAYS_AT_MOST} days");
        let found = format!("{} days", days.len());
        fill.fault(place, &found, &accepted, "[\"2026-05-18\"]");
    }
    if !weather.hours.is_empty() {
        let told = format!(
            "a day from 00:00 to 23:00 within the weather, which goes from {} to {}",
            Moment(weather.from),
            Moment(weather.last())
        );
        for (index, day) in days
            .iter()
            .enumerate()
            .filter(|(_, day)| !weather.covers(**day))
        {
            let example = weather.from.date().succ_opt().map_or(*day, Day).to_string();
            fill.fault(&place.index(index), &day.to_string(), &told, &example);
        }
    }
    days.sort_unstable();
    days.dedup();
    Some(days)
}
