//! Days: what may follow what, and which days are not worked.

use super::jobs::{Solved, straight, with};
use crossfall::crew::{CrewHours, Visit};
use serde_json::{Value, json};

fn starting(job: Value, date: &str) -> CrewHours {
    Solved::of(with(job, "/site/start", json!(date))).hours()
}

fn visit_of<'a>(hours: &'a CrewHours, code: &str) -> &'a Visit {
    let task = hours.tasks.iter().find(|task| task.code == code);
    &hours.visits[task.expect("such a task").visit as usize - 1]
}

fn date_of(hours: &CrewHours, code: &str) -> String {
    visit_of(hours, code).date.expect("a date").to_string()
}

fn days_from_pour(hours: &CrewHours, code: &str) -> u32 {
    visit_of(hours, code).day - visit_of(hours, "place-chute").day
}

/// Two days of preparation from Monday 2026-05-11.
#[test]
fn a_job_without_a_date_has_numbered_days() {
    let hours = Solved::of(straight()).hours();
    assert!(hours.visits.iter().all(|visit| visit.date.is_none()));
    let days: Vec<u32> = hours.visits.iter().map(|visit| visit.day).collect();
    assert_eq!(days, [1, 2, 3, 4, 10, 17]);
    assert_eq!(hours.calendar_days, 17);
    assert_eq!(hours.days_entrance_closed, 4);
}

#[test]
fn a_job_with_a_date_has_dates() {
    let hours = starting(straight(), "2026-05-11");
    assert_eq!(date_of(&hours, "layout"), "2026-05-11");
    assert_eq!(date_of(&hours, "place-chute"), "2026-05-13");
    assert_eq!(date_of(&hours, "saw-early-entry"), "2026-05-14");
    assert_eq!(date_of(&hours, "seal-surface"), "2026-05-27");
}

#[test]
fn a_start_on_a_saturday_waits_for_monday() {
    let hours = starting(straight(), "2026-05-09");
    assert_eq!(date_of(&hours, "layout"), "2026-05-11");
    assert_eq!(hours.visits[0].day, 1);
}

/// Preparation on Wednesday and Thursday: the pour would fall on Friday and the saw on Saturday.
#[test]
fn a_pour_waits_until_the_day_after_it_is_worked() {
    let hours = starting(straight(), "2026-05-13");
    assert_eq!(date_of(&hours, "place-chute"), "2026-05-18");
    assert_eq!(days_from_pour(&hours, "saw-early-entry"), 1);
    assert!(hours.advices.iter().any(|advice| advice.kind == "pour_day"));
    let tooled = starting(
        with(straight(), "/joints/method", json!("tooled")),
        "2026-05-13",
    );
    assert_eq!(date_of(&tooled, "place-chute"), "2026-05-15");
}

#[test]
fn nobody_comes_on_a_day_that_is_not_worked() {
    use chrono::{Datelike, Weekday};
    for day in 1..=28 {
        let hours = starting(straight(), &format!("2026-06-{day:02}"));
        for visit in &hours.visits {
            let weekday = visit.date.expect("a date").0.weekday();
            assert!(!matches!(weekday, Weekday::Sat | Weekday::Sun), "{visit:?}");
        }
        assert_eq!(days_from_pour(&hours, "saw-early-entry"), 1);
        assert!(days_from_pour(&hours, "seal-surface") >= 14);
        assert!(days_from_pour(&hours, "cover-off") >= 7);
    }
}

#[test]
fn a_sealer_waits_for_its_age() {
    let aged = with(straight(), "/sealer/earliest_age", json!("28 d"));
    assert_eq!(
        days_from_pour(&Solved::of(aged).hours(), "seal-surface"),
        28
    );
}

/// A sealer that may go on at once still waits for the cover to come off, and two days to dry.
#[test]
fn a_sealer_never_goes_on_before_curing_ends_and_the_slab_is_dry() {
    let early = with(straight(), "/sealer/earliest_age", json!("1 d"));
    assert_eq!(
        days_from_pour(&Solved::of(early.clone()).hours(), "seal-surface"),
        9
    );
    let film = with(early, "/curing/method", json!("compound"));
    assert_eq!(days_from_pour(&Solved::of(film).hours(), "seal-surface"), 7);
}

#[test]
fn a_cover_of_one_day_comes_off_when_the_saw_comes() {
    let short = with(straight(), "/curing/duration", json!("1 d"));
    let hours = Solved::of(short).hours();
    assert_eq!(
        visit_of(&hours, "cover-off").visit,
        visit_of(&hours, "saw-early-entry").visit
    );
}
