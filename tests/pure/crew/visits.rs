//! Visits: what shares one, who comes, what makes it long.

use super::jobs::{Solved, corner, straight, with};
use crossfall::crew::{CrewHours, Task, Visit};
use crossfall::job::Class;
use serde_json::{Value, json};

fn plan(job: Value) -> CrewHours {
    Solved::of(job).hours()
}

fn crew(finishers: u32, labourers: u32) -> Value {
    let members = [("finisher", finishers), ("labourer", labourers)];
    let there = members.iter().filter(|(_, count)| *count > 0);
    there
        .map(|(class, count)| json!({"class": class, "count": count}))
        .collect()
}

fn with_crew(job: Value, finishers: u32, labourers: u32) -> Value {
    with(job, "/crew/members", crew(finishers, labourers))
}

fn visit_of<'a>(hours: &'a CrewHours, code: &str) -> &'a Visit {
    let task = task_of(hours, code);
    &hours.visits[task.visit as usize - 1]
}

fn task_of<'a>(hours: &'a CrewHours, code: &str) -> &'a Task {
    let found = hours.tasks.iter().find(|task| task.code == code);
    found.unwrap_or_else(|| panic!("no task {code}"))
}

fn has(hours: &CrewHours, code: &str) -> bool {
    hours.tasks.iter().any(|task| task.code == code)
}

fn advised(hours: &CrewHours, kind: &str) -> bool {
    hours.advices.iter().any(|advice| advice.kind == kind)
}

fn small(run_ft: u32) -> Value {
    let job = with(
        straight(),
        "/ramp/path/1/length",
        json!(format!("{run_ft} ft")),
    );
    let job = with(job, "/ramp/path/1/rise", json!(format!("{run_ft} in")));
    with(job, "/ramp/curb", json!("none"))
}

#[test]
fn preparation_that_fits_into_one_day_is_one_visit() {
    let hours = plan(with_crew(small(12), 2, 3));
    assert_eq!(task_of(&hours, "layout").visit, 1);
    assert_eq!(task_of(&hours, "bars-cut").visit, 1);
    assert_eq!(task_of(&hours, "place-chute").visit, 2);
}

#[test]
fn preparation_of_two_days_keeps_the_steel_for_the_second() {
    let hours = plan(corner());
    // One visit each, not two halves of the same hours.
    assert!(!hours.visits[0].description.contains("(day "));
    assert_eq!(task_of(&hours, "form-edge-slope").visit, 1);
    assert_eq!(task_of(&hours, "bars-cut").visit, 2);
    assert_eq!(task_of(&hours, "place-chute").visit, 3);
}

#[test]
fn a_long_task_is_carried_into_the_next_day_without_being_set_up_twice() {
    let hours = plan(with_crew(straight(), 1, 0));
    let forms: Vec<_> = hours
        .tasks
        .iter()
        .filter(|task| task.code == "form-edge-slope")
        .collect();
    assert!(
        forms.len() > 1,
        "one person alone cannot set every form in a day"
    );
    let stone: Vec<_> = hours
        .tasks
        .iter()
        .filter(|task| task.code == "stone")
        .collect();
    let setups = stone.iter().filter(|task| !task.setup.is_zero()).count();
    assert_eq!(setups, 1);
    for visit in &hours.visits {
        if visit.description.contains("(day ") {
            assert!(visit.on_site.hours() <= 8.0, "{visit:?}");
        }
    }
}

#[test]
fn the_pour_is_a_visit_of_its_own_and_waits_for_the_concrete() {
    let hours = plan(straight());
    let pour = visit_of(&hours, "place-chute");
    let codes: Vec<&str> = hours
        .tasks
        .iter()
        .filter(|task| task.visit == pour.visit)
        .map(|task| task.code.as_str())
        .collect();
    assert!(
        !codes.contains(&"bars-cut") && !codes.contains(&"saw-early-entry"),
        "{codes:?}"
    );
    assert_eq!(pour.people, 3);
    assert_eq!(pour.governed_by, "setting");
    assert!(pour.on_site.hours() > 5.0, "presence and placing");
    assert!(pour.standby.hours() > 1.0, "{}", pour.standby.hours());
    assert!(pour.description.ends_with("bottom to top"));
}

#[test]
fn a_longer_presence_lengthens_the_pour_by_as_much() {
    let five = plan(straight());
    let seven = plan(with(straight(), "/crew/pour_presence", json!("7 h")));
    let stay = |hours: &CrewHours| visit_of(hours, "place-chute").on_site.hours();
    assert_eq!(stay(&seven) - stay(&five), 2.0);
}

#[test]
fn a_crew_of_two_is_told_that_the_pour_takes_three() {
    let hours = plan(with_crew(straight(), 1, 1));
    assert_eq!(visit_of(&hours, "place-chute").people, 2);
    assert!(advised(&hours, "pour_crew"));
    assert!(!advised(&plan(straight()), "pour_crew"));
}

#[test]
fn more_than_seven_yards_take_four_people() {
    let large = with_crew(with(straight(), "/slab/thickness", json!("12 in")), 2, 3);
    let solved = Solved::of(large);
    assert!(solved.takeoff.measures.concrete_volume.cubic_yards() > 7.0);
    assert_eq!(visit_of(&solved.hours(), "place-chute").people, 4);
}

#[test]
fn a_person_alone_takes_longer_at_the_wall() {
    let walled = with(
        straight(),
        "/ramp/path/1/edges",
        json!({"left": "form_on_wall", "right": "formed"}),
    );
    let two = plan(with_crew(walled.clone(), 1, 1));
    let one = plan(with_crew(walled, 1, 0));
    assert_eq!(task_of(&two, "form-on-wall").factor, 1.0);
    assert_eq!(task_of(&one, "form-on-wall").factor, 1.4);
}

#[test]
fn a_short_visit_is_paid_its_least_hours() {
    let hours = plan(straight());
    let cover = visit_of(&hours, "cover-off");
    assert_eq!(cover.people, 1);
    assert_eq!(cover.crew, [(Class::Labourer, 1)]);
    assert_eq!(cover.governed_by, "least_hours");
    assert_eq!(cover.paid.hours(), 4.0);
    assert!(advised(&hours, "cover_visit"));
}

#[test]
fn backfill_of_ours_shares_the_visit_that_takes_the_cover_off() {
    let hours = plan(with(straight(), "/site_work/backfill", json!("us")));
    assert_eq!(
        task_of(&hours, "backfill").visit,
        task_of(&hours, "cover-off").visit
    );
    assert!(!advised(&hours, "cover_visit"));
}

#[test]
fn a_compound_needs_no_visit_to_take_it_off() {
    let hours = plan(with(straight(), "/curing/method", json!("compound")));
    assert!(has(&hours, "cure-compound") && !has(&hours, "cover-off"));
    assert_eq!(hours.visits.len(), plan(straight()).visits.len() - 1);
}

#[test]
fn what_the_site_asks_of_each_person_counts_once_for_the_largest_crew() {
    let asked = json!([{"name": "Site induction", "hours_per_person": "2 h"}]);
    let (plain, asking) = (
        plan(straight()),
        plan(with(straight(), "/requirements", asked)),
    );
    let task = task_of(&asking, "requirement");
    let largest = asking
        .visits
        .iter()
        .map(|visit| visit.people)
        .max()
        .expect("visits");
    assert_eq!(task.hours.hours(), 2.0 * f64::from(largest));
    let visit = task.visit as usize - 1;
    assert_eq!(asking.visits[visit].people, largest);
    let longer = asking.visits[visit].on_site.hours() - plain.visits[visit].on_site.hours();
    assert_eq!(longer, 2.0);
}

#[test]
fn what_exists_already_takes_no_hours() {
    let mut job = straight();
    for piece in 0..3 {
        job = with(job, &format!("/ramp/path/{piece}/work"), json!("existing"));
    }
    let hours = plan(job);
    assert!(hours.tasks.is_empty() && hours.visits.is_empty());
    assert_eq!((hours.calendar_days, hours.days_entrance_closed), (0, 0));
    assert!(hours.totals.paid.is_zero());
}

#[test]
fn bars_that_others_cut_take_less() {
    let cut = json!({"by": "others_supply_we_install"});
    let hours = plan(with(straight(), "/reinforcement", cut));
    assert!(has(&hours, "bars") && !has(&hours, "bars-cut"));
}

/// Far beyond a small crew: the plan stays bounded and says so.
#[test]
fn a_job_of_years_for_one_person_is_bounded_and_told() {
    let long = with(straight(), "/ramp/path/1/length", json!("400 ft"));
    let long = with(long, "/ramp/path/1/rise", json!("20 ft"));
    let hours = plan(with_crew(with(long, "/ramp/width", json!("20 ft")), 1, 0));
    assert!(hours.visits.len() <= 5 * 60, "{}", hours.visits.len());
    for kind in ["long_day", "finishers", "pour_crew"] {
        assert!(advised(&hours, kind), "{kind}");
    }
}
