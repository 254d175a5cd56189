//! Two typical years of hourly weather (a town of the south-eastern United States, a coast of Alaska), planned
//! day by day.
//!
//! # Source
//! Typical meteorological years 723170TYA and 703165TY, as the library `pvlib` ships them.
//!
//! Invariants: every day of each year gets a plan without a contradiction; the months that wait for the cold
//! are those of winter. What a finisher expects of a month is common practice, no source.

use super::ask;
use chrono::{Datelike, Days, NaiveDate, TimeDelta};
use crossfall::book::demo_history;
use crossfall::catalog::{Catalog, PriceList};
use crossfall::crew::Rates;
use crossfall::estimate::{PlannedDay, With, choose, plan_pour, work_out};
use crossfall::job::{Day, JobRequest, expand, expand_pour};
use crossfall::pour::GoOrWait;
use crossfall::rules::RuleSets;
use crossfall::takeoff::Detail;
use serde_json::{Value, json};
use std::sync::Arc;

/// The typical year is put into a year of as many days.
const YEAR: i32 = 2026;

/// Hours of a typical year.
const HOURS: usize = 8_760;

/// The row of an hour of the year, which goes round.
fn row(year: &[Value], at: i64) -> Value {
    let start = NaiveDate::from_ymd_opt(YEAR, 1, 1).expect("a day");
    let start = start.and_hms_opt(0, 0, 0).expect("midnight");
    let hour = &year[at.rem_euclid(HOURS as i64) as usize];
    let told = |name: &str| hour[name].as_f64();
    let mut row = json!({
        "at": (start + TimeDelta::hours(at)).format("%Y-%m-%dT%H:%M").to_string(),
        "air": format!("{} degC", told("air").expect("measured")),
        "humidity": format!("{} %", told("humidity").expect("measured")),
        "wind": format!("{} m/s", told("wind").expect("measured")),
    });
    if let Some(rain) = told("rain") {
        // Fallen rain was certain: a typical year tells no chance.
        row["rain"] = json!(if rain > 0.2 { "100 %" } else { "0 %" });
    }
    row
}

/// A ramp of 24 in, and the days of a month with the hours around them.
fn month(year: &[Value], month: u32) -> Value {
    let first = NaiveDate::from_ymd_opt(YEAR, month, 1).expect("a day");
    let each = (0..31).filter_map(|day| first.checked_add_days(Days::new(day)));
    let days: Vec<NaiveDate> = each.filter(|day| day.month() == month).collect();
    let from = i64::from(first.ordinal0()) * 24 - 4 * 24;
    let hours = (days.len() as i64 + 8) * 24;
    json!({
        "ramp": {"path": [
            {"kind": "landing", "work": "existing"},
            {"kind": "run", "rise": "24 in", "length": "25 ft"},
            {"kind": "landing"},
        ]},
        "pour": {
            "days": days.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "weather": (from..from + hours).map(|at| row(year, at)).collect::<Vec<_>>(),
        },
    })
}

fn planned(job: &Value) -> Vec<PlannedDay> {
    let sent: JobRequest = serde_json::from_value(job.clone()).expect("a job");
    let today = Day::parse("2026-05-04").expect("a day");
    let list = PriceList::new(
        Arc::new(demo_history().expect("the demo book")),
        None,
        today.0,
    );
    let list = list.expect("a revision");
    let with = With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list: &list,
    };
    let asked = sent.pour.clone();
    let job = expand(sent, today)
        .unwrap_or_else(|faults| panic!("{faults}"))
        .job;
    let (pour, assumed) = expand_pour(asked, &job).unwrap_or_else(|faults| panic!("{faults}"));
    let chosen = choose(&job, with);
    let with = chosen.with(with);
    let worked = work_out(&job, with, Detail::Described);
    plan_pour((&job, &pour), &assumed, (&worked, with)).days
}

/// What a day has that it may not, or lacks.
fn contradiction(planned: &PlannedDay) -> Option<&'static str> {
    let day = &planned.day;
    let waits = day.reasons.iter().any(|reason| reason.waits);
    let takes = |code| day.measures.iter().any(|measure| measure.code == code);
    let Some(course) = &day.course else {
        return (!waits).then_some("no course and no reason to wait");
    };
    let hours = day
        .hours
        .windows(2)
        .all(|two| two[1].at - two[0].at == TimeDelta::hours(1));
    let told = [
        (
            waits == (day.verdict == GoOrWait::Wait),
            "verdict and reasons",
        ),
        (hours && !day.hours.is_empty(), "a gap in the hours"),
        (
            course.arrive < course.placed && course.placed <= course.edged,
            "order of the day",
        ),
        (
            course.edged <= course.broomed && course.broomed <= course.cured,
            "order of finishing",
        ),
        (
            waits || course.broomed <= course.broom_closes,
            "a broom that comes too late",
        ),
        (
            !(takes("accelerator") && takes("retarder")),
            "an accelerator and a retarder",
        ),
        (!(takes("heated") && takes("cooled")), "heated and cooled"),
        (
            waits || takes("blankets") == day.cold.is_some(),
            "blankets and cold",
        ),
        (
            !(takes("blankets") && takes("saw_same_day")),
            "blankets and a hot slab",
        ),
    ];
    told.into_iter()
        .find(|(holds, _)| !holds)
        .map(|(_, what)| what)
}

/// How many days of each month wait, and take something, for a reason or a measure.
struct Months([[u32; 3]; 12]);

fn count(file: &str) -> Months {
    let year = ask("typical_year.py", &json!(file));
    let year = year.as_array().expect("hours");
    assert_eq!(year.len(), HOURS);
    let mut months = Months([[0; 3]; 12]);
    let mut days = 0;
    for at in 1..=12 {
        for planned in planned(&month(year, at)) {
            assert_eq!(contradiction(&planned), None, "{}", planned.day.day);
            let codes: Vec<&str> = planned
                .day
                .reasons
                .iter()
                .filter(|one| one.waits)
                .map(|one| one.code)
                .collect();
            let cold = ["too_cold", "frozen_ground", "no_set", "long_day"];
            let kind = match planned.day.verdict {
                GoOrWait::Wait if codes.iter().any(|code| cold.contains(code)) => Some(0),
                _ if planned.day.cold.is_some() => Some(1),
                _ if planned.day.measures.iter().any(|one| {
                    ["film", "saw_same_day", "cooled", "retarder"].contains(&one.code)
                }) =>
                {
                    Some(2)
                }
                _ => None,
            };
            if let Some(kind) = kind {
                months.0[at as usize - 1][kind] += 1;
            }
            days += 1;
        }
    }
    assert_eq!(days, 365, "a day without a plan");
    months
}

#[test]
fn a_southern_town_waits_for_the_cold_in_winter_and_fights_heat_in_summer() {
    let months = count("723170TYA.CSV").0;
    let sum = |kind: usize, at: &[usize]| at.iter().map(|at| months[at - 1][kind]).sum::<u32>();
    assert!(sum(0, &[12, 1, 2]) > 0, "winter never waits");
    assert!(
        sum(1, &[12, 1, 2]) + sum(0, &[12, 1, 2]) > 45,
        "winter is hardly cold"
    );
    assert_eq!(
        sum(0, &[4, 5, 6, 7, 8, 9, 10]),
        0,
        "it is too cold in the warm half"
    );
    assert_eq!(sum(1, &[6, 7, 8]), 0, "blankets in summer");
    assert!(sum(2, &[6, 7, 8]) > 45, "summer is hardly hot");
    assert_eq!(sum(2, &[12, 1, 2]), 0, "winter is hot");
}

#[test]
fn a_cold_coast_has_no_hot_days_and_a_long_season_of_blankets() {
    let months = count("703165TY.csv").0;
    let sum = |kind: usize| months.iter().map(|month| month[kind]).sum::<u32>();
    assert!(sum(1) > 150, "blankets on too few days");
    let summer: u32 = months[5..8].iter().map(|month| month[0]).sum();
    assert_eq!(summer, 0, "it waits for the cold in summer");
    let winter: u32 = [12, 1, 2].iter().map(|at| months[at - 1][0]).sum();
    assert!(winter > 10, "winter hardly waits: {winter}");
}
