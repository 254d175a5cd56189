//! Pours gathered for shared loads: bounded, in the order of their rows, split where a day has too many.

use crate::worked::priced;
use crossfall::batch::{Gathers, Summary, ToShare, Told};
use crossfall::estimate::Estimate;
use crossfall::job::Day;
use crossfall::job::TimeOfDay;
use crossfall::loads::LoadPlanRequest;
use crossfall::quantity::System;
use std::sync::LazyLock;

static JOB: LazyLock<Estimate> =
    LazyLock::new(|| priced(include_str!("../../../examples/straight.json")));

const LOADS: Gathers = Gathers {
    loads: true,
    cuts: false,
};
const HOURS: (TimeOfDay, TimeOfDay) = (TimeOfDay::from_minutes(420), TimeOfDay::from_minutes(720));

fn summed(rows: std::ops::Range<u64>, area: impl Fn(u64) -> Option<&'static str>) -> Summary {
    let mut summary = Summary::gathering(LOADS);
    for row in rows {
        let told = Told {
            row,
            day: Day::parse("2026-06-02"),
            area: area(row),
        };
        summary.add(&JOB, told, None);
    }
    summary
}

fn gathered(summary: Summary) -> ToShare {
    summary.to_share.expect("it was asked for")
}

fn names(request: &LoadPlanRequest) -> Vec<&str> {
    request
        .pours
        .iter()
        .map(|pour| pour.name.as_str())
        .collect()
}

#[test]
fn a_pour_is_the_jobs_mix_with_its_waste_and_not_rounded() {
    let shared = gathered(summed(2..4, |_| Some(" Hill ")));
    let (asked, alone) = shared.ask(HOURS, System::Metric);
    assert_eq!((asked.len(), alone), (1, 0));
    let pour = &asked[0].request.pours[1];
    let concrete = &JOB.takeoff.concrete;
    assert_eq!(pour.volume, concrete.net + concrete.waste);
    assert!(pour.volume < concrete.order);
    assert_eq!(pour.placing, concrete.unload_minutes_needed);
    assert_eq!(
        (pour.area.as_str(), pour.mix.as_str()),
        ("Hill", "concrete-4500-air")
    );
    assert!(pour.name.starts_with("row 3 "), "{}", pour.name);
    assert_eq!((pour.arrive.from, pour.arrive.to), HOURS);
    assert_eq!(asked[0].request.units, Some(System::Metric));
    assert_eq!(asked[0].area, None);
}

#[test]
fn groups_gather_what_one_run_gathers_and_no_more_than_three_hundred() {
    let whole = gathered(summed(0..310, |_| None));
    let mut merged = Summary::gathering(LOADS);
    for start in (0..310).step_by(64) {
        merged.merge(summed(start..(start + 64).min(310), |_| None));
    }
    let merged = gathered(merged);
    assert_eq!(whole, merged);
    assert_eq!(whole.left_out, 10);
    // One area alone, so that the day is asked in the order of its rows.
    let (asked, _) = whole.ask(HOURS, System::Us);
    assert_eq!(asked.len(), 10);
    assert!(names(&asked[1].request)[0].starts_with("row 30 "));
}

#[test]
fn a_day_of_more_than_thirty_is_split_by_area() {
    let area = |row| Some(if row % 4 == 0 { "South" } else { "North" });
    let (asked, alone) = gathered(summed(0..30, area)).ask(HOURS, System::Us);
    assert_eq!((asked.len(), alone), (1, 0));
    let (asked, alone) = gathered(summed(0..41, area)).ask(HOURS, System::Us);
    let parts: Vec<(Option<&str>, usize)> = asked
        .iter()
        .map(|asked| (asked.area.as_deref(), asked.request.pours.len()))
        .collect();
    assert_eq!(parts, [(Some("North"), 30), (Some("South"), 11)]);
    assert_eq!(alone, 0);
    let area = |row| Some(if row == 7 { "South" } else { "North" });
    let (_, alone) = gathered(summed(0..31, area)).ask(HOURS, System::Us);
    assert_eq!(alone, 1);
}

#[test]
fn what_was_not_asked_for_is_not_gathered() {
    let mut summary = Summary::default();
    summary.add(&JOB, Told::default(), None);
    assert_eq!(summary.to_share, None);
    let mut undated = Summary::gathering(LOADS);
    // Without a first day no visit has a date.
    let bare = r#"{"ramp": {"path": [{"kind": "landing"},
        {"kind": "run", "rise": "7 in", "length": "7 ft"}, {"kind": "landing"}]}}"#;
    undated.add(&priced(bare), Told::default(), None);
    assert_eq!(undated.to_share.map(|shared| shared.undated), Some(1));
}
