//! The pour by its weather, against the trade, against its own rows from both sides, and as laws.
//!
//! Weather here is made up: even, or a day's round, so that each test moves one thing.

mod course;
mod laws;
mod limits;
mod mended;
mod owner;

use crate::worked::{demo_list, read, today};
use chrono::{NaiveDate, TimeDelta};
use crossfall::catalog::Catalog;
use crossfall::crew::Rates;
use crossfall::estimate::{PlannedDay, With, choose, plan_pour, work_out};
use crossfall::job::{expand, expand_pour};
use crossfall::pour::PourDay;
use crossfall::rules::RuleSets;
use crossfall::takeoff::Detail;
use serde_json::{Value, json};

/// Even weather, from a Monday on.
#[derive(Clone, Copy)]
pub(super) struct Sky {
    pub(super) air: f64,
    pub(super) humidity: f64,
    pub(super) wind: f64,
    pub(super) rain: Option<f64>,
}

/// Common practice, no source: what nobody fears.
pub(super) const MILD: Sky = Sky {
    air: 70.0,
    humidity: 60.0,
    wind: 3.0,
    rain: Some(10.0),
};

/// The Monday that skies begin on; the Tuesday after it is poured on.
pub(super) const MONDAY: (i32, u32, u32) = (2026, 5, 18);

/// Hours of weather under a sky that is bent hour by hour.
pub(super) fn hours(sky: Sky, days: i64, bend: impl Fn(i64, Sky) -> Sky) -> Value {
    let (year, month, day) = MONDAY;
    let start = NaiveDate::from_ymd_opt(year, month, day).expect("a day");
    let start = start.and_hms_opt(0, 0, 0).expect("midnight");
    let row = |hour: i64| {
        let sky = bend(hour, sky);
        let mut row = json!({
            "at": (start + TimeDelta::hours(hour)).format("%Y-%m-%dT%H:%M").to_string(),
            "air": format!("{} degF", sky.air),
            "humidity": format!("{} %", sky.humidity),
            "wind": format!("{} mph", sky.wind),
        });
        if let Some(rain) = sky.rain {
            row["rain"] = json!(format!("{rain} %"));
        }
        row
    };
    (0..days * 24).map(row).collect()
}

/// A ramp of 28 in over 28 ft, in mild weather on the Tuesday; wind is told at hand height.
pub(super) fn job(sky: Sky) -> Value {
    let path = [
        json!({"kind": "landing", "work": "existing"}),
        json!({"kind": "run", "rise": "28 in", "length": "28 ft"}),
        json!({"kind": "landing"}),
    ];
    json!({
        "ramp": {"path": path},
        "pour": {
            "days": ["2026-05-19"],
            "first_truck": "08:00",
            "wind_at": "hand",
            "weather": hours(sky, 6, |_, sky| sky),
        },
    })
}

/// Every day of a pour, priced and ranked.
pub(super) fn planned(job: &Value) -> Vec<PlannedDay> {
    let sent = read(&job.to_string());
    let asked = sent.pour.clone();
    let list = demo_list();
    let with = With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list: &list,
    };
    let job = expand(sent, today())
        .unwrap_or_else(|faults| panic!("{faults}"))
        .job;
    let (pour, assumed) = expand_pour(asked, &job).unwrap_or_else(|faults| panic!("{faults}"));
    let chosen = choose(&job, with);
    let with = chosen.with(with);
    let worked = work_out(&job, with, Detail::Described);
    plan_pour((&job, &pour), &assumed, (&worked, with)).days
}

/// The one day of a pour.
pub(super) fn day(job: &Value) -> PourDay {
    let mut days = planned(job);
    assert_eq!(days.len(), 1);
    days.remove(0).day
}

pub(super) fn codes(day: &PourDay) -> Vec<&'static str> {
    day.reasons.iter().map(|reason| reason.code).collect()
}

pub(super) fn measures(day: &PourDay) -> Vec<&'static str> {
    day.measures.iter().map(|measure| measure.code).collect()
}

/// The faults of a pour, each as `pointer: found`.
pub(super) fn faults(job: &Value) -> Vec<String> {
    let faults = expand(read(&job.to_string()), today()).expect_err("a fault");
    let told = faults.0.iter();
    told.map(|fault| format!("{}: {}", fault.pointer, fault.found))
        .collect()
}
