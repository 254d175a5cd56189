//! How long people stay and what they are paid: visits by hand, early release, a day's overtime.

use super::jobs::{Solved, straight, usual, with};
use crossfall::crew::{CrewHours, Visit};
use crossfall::job::{Day, JobRequest, expand};
use serde_json::{Value, json};

const NOISE: f64 = 1e-6;

fn plan(job: Value) -> CrewHours {
    Solved::of(job).hours()
}

fn pour(hours: &CrewHours) -> &Visit {
    let place = hours
        .tasks
        .iter()
        .find(|task| task.code.starts_with("place-"));
    &hours.visits[place.expect("a pour").visit as usize - 1]
}

/// The straight ramp of 190 ft2, 30 min from the yard, a quarter hour the step, 4 h the least.
///
/// By hand, from the rows. Preparation: layout 2.393, fetching 0.5, grade 0.014 x 228.58 = 3.2, stone
/// 0.5 + 0.9 x 2.822 = 3.04, forms 0.12 x 56.19 + 0.12 x 10 + 0.08 x 10 = 8.743, filler 0.25, bars 2.87 (169
/// lb), curb forms 0.08 x 66.19 = 5.296, the inspector 0.5, and 1.75 h twice that each visit brings: 30.29 h,
/// 7.57 h each for two people on two days, up to 7.75; 8.75 h paid. The day after: 1.0 + 0.5 + 0.5 of the
/// level, saw 2.0 + 0.008 x 35 = 2.28, strip 0.018 x 142.39 = 2.563, rub 2.87: 9.71 h, 4.86 h each, up to 5. The pour, three people: half of 1.0 h of loading by three is 0.167 h; grades
/// (0.5 h, two) and the building (0.5 h, one, then three) end at 0.5 h; the trucks take 50 min; 5 h with
/// the concrete: 0.5 + 0.833 + 5 = 6.333, up to 6.5 h; 7.5 h paid with the way. The cover: 1.0 h loading,
/// 0.5 h clean up, 0.005 x (38.097 x 5 + 66.194 / 3 ft2 of curb sides) = 1.063 h: 2.563, up to 2.75; with the
/// way 3.75, so 4 h are paid. The sealer: 1.0 + 0.5 + 1.75 + 0.003 x 212.55 + 0.035 x 10 ft = 4.238, up to
/// 4.25, and 5.25 paid.
#[test]
fn visits_of_a_usual_ramp_by_hand() {
    let hours = plan(straight());
    let table = [
        (2, 7.75, 2.0, 17.5),
        (2, 7.75, 2.0, 17.5),
        (3, 6.5, 3.0, 22.5),
        (2, 5.0, 2.0, 12.0),
        (1, 2.75, 1.0, 4.0),
        (1, 4.25, 1.0, 5.25),
    ];
    for (visit, (people, on_site, travel, paid)) in hours.visits.iter().zip(table) {
        let found = (
            visit.people,
            visit.on_site.hours(),
            visit.travel.hours(),
            visit.paid.hours(),
        );
        assert_eq!(
            found,
            (people, on_site, travel, paid),
            "visit {}",
            visit.visit
        );
    }
    let (cover, sealer) = (&hours.visits[4], &hours.visits[5]);
    let treated = 38.097_054 * 5.0 + 2.0 * 33.097_054 / 3.0;
    assert!((cover.task_hours.hours() - (1.5 + 0.005 * treated)).abs() < 1e-4);
    assert!((sealer.task_hours.hours() - (3.25 + 0.003 * treated + 0.35)).abs() < 1e-4);
    // 17.5 + 17.5 + 22.5 + 12 + 4 + 5.25, and 15.5 + 15.5 + 19.5 + 10 + 2.75 + 4.25.
    assert_eq!(hours.totals.paid.hours(), 78.75);
    assert_eq!(hours.totals.on_site.hours(), 67.5);
    assert_eq!(hours.totals.travel.hours(), 11.0);
    assert!((hours.totals.standby.hours() - (67.5 - hours.totals.task.hours())).abs() < NOISE);
}

#[test]
fn a_schedule_holds_every_task_of_its_visit_and_ends_when_the_people_leave() {
    for (name, sent) in usual() {
        let hours = plan(sent);
        for visit in &hours.visits {
            let of_visit = || hours.tasks.iter().filter(|task| task.visit == visit.visit);
            for task in of_visit() {
                let own = visit
                    .schedule
                    .iter()
                    .filter(|spell| spell.task == task.code);
                let spent = own.map(|one| (one.to - one.from).hours() * f64::from(one.people));
                let spent: f64 = spent.sum();
                let fits = (spent - task.hours.hours()).abs() < NOISE;
                // At a truck people wait for each other.
                let waits = task.code.starts_with("place-") && spent > task.hours.hours() - NOISE;
                assert!(fits || waits, "{name}: {} {spent} h", task.code);
            }
            let last = visit
                .schedule
                .iter()
                .map(|spell| spell.to.hours())
                .fold(0.0, f64::max);
            assert!(last <= visit.on_site.hours() + NOISE, "{name}: {visit:?}");
            let bound = visit.lower_bound.hours();
            assert!(
                bound <= visit.on_site.hours() + NOISE && bound > 0.0,
                "{name}"
            );
        }
    }
}

/// Grades are checked before anything is poured, the slab is struck off before it is finished, and the
/// finish waits at least the hour after placing that the rows of the setting tell (common practice, no
/// source).
#[test]
fn the_pour_goes_in_its_order() {
    let hours = plan(straight());
    let visit = pour(&hours);
    let span = |code: &str| {
        let own = || visit.schedule.iter().filter(|spell| spell.task == code);
        let first = own()
            .map(|spell| spell.from.hours())
            .fold(f64::INFINITY, f64::min);
        let last = own().map(|spell| spell.to.hours()).fold(0.0, f64::max);
        assert!(first <= last, "{code} is not there");
        (first, last)
    };
    assert!(span("grade-check").1 <= span("place-chute").0 + NOISE);
    assert!(span("place-chute").1 <= span("strike-off").0 + NOISE);
    assert!(span("strike-off").1 <= span("finish").0 + NOISE);
    assert!(span("finish").0 >= span("place-chute").1 + 1.0 - NOISE);
    assert!(span("cover-on").0 >= span("place-chute").1 + 2.0 - NOISE);
    assert!(span("secure").0 >= span("cover-on").1 - NOISE);
}

/// By hand: one finisher carries 350 ft2 in mild weather, and nobody is left alone, so that two stay and
/// one helper goes home once the slab is struck off, never paid less than the least hours.
#[test]
fn a_helper_goes_home_after_strike_off_where_the_job_lets_him() {
    let all = plan(straight());
    let some = plan(with(straight(), "/crew/release", json!("after_strike_off")));
    let (whole, part) = (pour(&all), pour(&some));
    assert_eq!(whole.released, None);
    let released = part.released.expect("somebody leaves");
    assert_eq!((released.people, part.people), (1, 3));
    let struck = part
        .schedule
        .iter()
        .filter(|spell| spell.task == "strike-off");
    let struck = struck.map(|spell| spell.to.hours()).fold(0.0, f64::max);
    assert!(released.on_site.hours() >= struck && released.on_site.hours() < struck + 0.25 + NOISE);
    let alone = (released.on_site.hours() + 1.0).max(4.0);
    assert_eq!(released.paid.hours(), alone);
    assert_eq!(
        part.paid.hours(),
        2.0 * (part.on_site.hours() + 1.0) + alone
    );
    assert!(part.paid < whole.paid);
    assert_eq!(part.standing, part.on_site * 2.0 + released.on_site);
    assert!(some.advices.iter().any(|advice| advice.kind == "release"));
    assert!(all.advices.iter().all(|advice| advice.kind != "release"));
}

/// By hand: the pour of 7.5 h paid is under 8 h a day; with a limit of 6 h each of three people has 1.5 h
/// above it, the two days of preparation (8.75 h, two people) 2.75 h each person and day.
#[test]
fn a_day_s_limit_makes_overtime() {
    assert!(plan(straight()).overtime.is_empty());
    let eight = plan(with(straight(), "/crew/daily_limit", json!("8 h")));
    let hours = |plan: &CrewHours| {
        plan.overtime
            .iter()
            .map(|over| over.hours().hours())
            .sum::<f64>()
    };
    // 0.75 h a person on two days of preparation by two people.
    assert!(
        (hours(&eight) - 4.0 * 0.75).abs() < NOISE,
        "{:?}",
        eight.overtime
    );
    let six = plan(with(straight(), "/crew/daily_limit", json!("6 h")));
    assert!(
        (hours(&six) - (4.0 * 2.75 + 3.0 * 1.5)).abs() < NOISE,
        "{:?}",
        six.overtime
    );
    assert!(six.overtime.iter().all(|over| over.weekly.is_zero()));
}

/// Each value out of its bounds is one fault, at its place, with an example.
#[test]
fn a_limit_of_a_day_has_bounds() {
    for bad in ["0 h", "30 h", "-2 h"] {
        let job = with(straight(), "/crew/daily_limit", json!(bad));
        let request: JobRequest = match serde_json::from_value(job) {
            Ok(request) => request,
            Err(error) => {
                assert!(error.to_string().contains("-2"), "{error}");
                continue;
            }
        };
        let today = Day::parse("2026-05-04").expect("a day");
        let faults = expand(request, today).expect_err("a fault");
        let faults = faults.0;
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert_eq!(faults[0].pointer, "/crew/daily_limit");
        assert!(
            faults[0].accepted.contains("4 h") && faults[0].example.is_some(),
            "{faults:?}"
        );
    }
}

/// One hour in the office for each week with a visit (common practice, no source): the straight ramp's
/// days 1 to 4, 10 and 17 lie in three weeks.
#[test]
fn certified_payrolls_take_an_hour_a_week_where_a_schedule_applies() {
    assert!(plan(straight()).office.is_zero());
    assert!(
        plan(with(straight(), "/crew/wages", json!("own")))
            .office
            .is_zero()
    );
    let county = plan(with(straight(), "/crew/wages", json!("county")));
    assert_eq!(county.office.hours(), 3.0);
    assert_eq!(county.totals, plan(straight()).totals);
    assert!(county.advices.iter().any(|advice| advice.kind == "office"));
}
