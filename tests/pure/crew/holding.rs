//! Holds: what a visit waits for, and the latest day to ask for it.

use super::jobs::{Solved, straight, with};
use crossfall::crew::{CrewHours, Hold};
use serde_json::{Value, json};

fn plan(job: Value) -> CrewHours {
    Solved::of(job).hours()
}

fn hold<'a>(hours: &'a CrewHours, code: &str) -> Option<&'a Hold> {
    hours.holds.iter().find(|hold| hold.code == code)
}

fn codes(hours: &CrewHours) -> Vec<&str> {
    hours.holds.iter().map(|hold| hold.code.as_str()).collect()
}

/// Days 1 and 2 prepare, day 3 pours. By hand, days without dates are all worked: three days before
/// day 1 is day -2, one day before day 3 is day 2, two days before it day 1.
#[test]
fn days_to_ask_are_counted_back_from_the_visit() {
    let hours = plan(straight());
    for (code, visit, day, text) in [
        ("locate", 1, -2, "3 working days before day 1"),
        ("access", 1, -2, "3 working days before day 1"),
        ("permit", 1, -9, "10 working days before day 1"),
        ("inspection", 3, 2, "day 2"),
        ("concrete", 3, 1, "day 1"),
        ("threshold", 3, 0, "1 working day before day 1"),
    ] {
        let hold = hold(&hours, code).unwrap_or_else(|| panic!("no hold {code}"));
        assert_eq!((hold.visit, hold.ask_by.day), (visit, day), "{code}");
        assert_eq!(hold.ask_by.text, text, "{code}");
        assert_eq!(hold.needed_by.day, hours.visits[visit as usize - 1].day);
        assert!(hold.notice >= hold.notice_least, "{code}");
    }
    assert_eq!(codes(&hours).len(), 6, "{:?}", codes(&hours));
}

/// A calendar of 2026: 11 May is a Monday, so that three working days before it are Friday, Thursday and
/// Wednesday the 6th; the pour is on Wednesday the 13th, and one day before it Tuesday the 12th.
#[test]
fn days_to_ask_leave_out_days_that_are_not_worked() {
    let hours = plan(with(straight(), "/site/start", json!("2026-05-11")));
    let date = |code| {
        let hold = hold(&hours, code).expect("such a hold");
        hold.ask_by.date.expect("a date").to_string()
    };
    assert_eq!(date("locate"), "2026-05-06");
    assert_eq!(date("inspection"), "2026-05-12");
    assert_eq!(date("permit"), "2026-04-27");
    let locate = hold(&hours, "locate").expect("a hold");
    assert_eq!((locate.ask_by.day, locate.needed_by.day), (-4, 1));
    assert_eq!(
        locate.ask_by.text,
        "3 working days before day 1, 2026-05-06"
    );
}

#[test]
fn a_hold_is_there_where_its_fact_is() {
    let walls = with(straight(), "/ramp/support", json!("between_walls"));
    assert!(codes(&plan(walls.clone())).contains(&"fill"));
    let ours = with(walls, "/site_work/fill", json!("us"));
    assert!(!codes(&plan(ours)).contains(&"fill"));

    let bars = with(
        straight(),
        "/reinforcement",
        json!({"by": "others_supply_we_install"}),
    );
    let hours = plan(bars);
    let bars = hold(&hours, "bars").expect("bars from others");
    assert_eq!(bars.task.as_deref(), Some("bars"));

    let bags = with(straight(), "/crew/placing", json!("bags"));
    assert!(!codes(&plan(bags)).contains(&"concrete"));

    let mut no_door = straight();
    no_door["ramp"]["path"][2]
        .as_object_mut()
        .expect("a landing")
        .remove("door");
    assert!(!codes(&plan(no_door)).contains(&"threshold"));
}

/// A prime asks by itself, a sub through whoever has it in hand.
#[test]
fn who_gives_it_follows_the_scope() {
    let from = |job| {
        let hours = plan(job);
        hold(&hours, "permit").expect("a permit").from.clone()
    };
    assert_eq!(from(straight()), "whoever holds the permit");
    assert_eq!(
        from(with(straight(), "/scope", json!("prime"))),
        "the permit office"
    );
}

#[test]
fn a_job_that_pours_nothing_waits_for_nothing() {
    let mut job = straight();
    for piece in 0..3 {
        job = with(job, &format!("/ramp/path/{piece}/work"), json!("existing"));
    }
    assert!(plan(job).holds.is_empty());
}
