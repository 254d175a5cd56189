//! What bends a rate: which tasks, by how much, and how several combine; the laws stand in `bent`.
//! Factors are common practice, no source, unless a test says otherwise; expected numbers are worked by
//! hand beside them.

use super::jobs::{Solved, straight, with};
use crossfall::crew::{CrewHours, Modifier, Rates, plans_the_same};
use crossfall::documents::write_tasks;
use crossfall::job::{Day, JobRequest, expand};
use serde_json::{Value, json};

const RATES: &str = include_str!("../../../src/crew/rates.toml");
const FILE: &str = include_str!("../../../src/crew/modifiers.toml");

fn plan(job: Value) -> CrewHours {
    Solved::of(job).hours()
}

fn factor(hours: &CrewHours, code: &str) -> f64 {
    let found = hours.tasks.iter().find(|task| task.code == code);
    found.unwrap_or_else(|| panic!("no task {code}")).factor
}

fn modifier(code: &str) -> &'static Modifier {
    let mut modifiers = Rates::built_in().modifiers.iter();
    modifiers
        .find(|modifier| modifier.code == code)
        .expect("a modifier of that code")
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-6, "{found}, not {expected}");
}

/// The straight ramp with one board on a wall, placed by barrow, with what a job of its own may say.
fn walled() -> Value {
    let edges = json!({"left": "form_on_wall", "right": "formed"});
    with(
        with(straight(), "/ramp/path/1/edges", edges),
        "/crew/placing",
        json!("barrow"),
    )
}

/// Each fact that a job states bends the tasks of its row by the factor of its row, and no others.
#[test]
fn each_fact_bends_its_own_tasks_and_no_others() {
    let plain = plan(walled());
    for (pointer, value, code, likely) in [
        ("/site/access", json!("limited"), "limited-access", 1.2),
        ("/site/occupied", json!(true), "occupied", 1.1),
        (
            "/crew/first_of_its_kind",
            json!(true),
            "first-of-its-kind",
            1.2,
        ),
        ("/site/air", json!("35 degF"), "cold", 1.25),
        ("/site/air", json!("45 degF"), "cool", 1.1),
        ("/site/air", json!("95 degF"), "hot", 1.15),
        ("/site/truck_to_pour", json!("150 ft"), "far-barrow", 1.15),
    ] {
        let bent = plan(with(walled(), pointer, value));
        let of = &modifier(code).applies_to;
        let mut held = 0;
        for task in &bent.tasks {
            let bends = of.contains(&task.code);
            held += u32::from(bends);
            near(
                task.factor / factor(&plain, &task.code),
                if bends { likely } else { 1.0 },
            );
            let told = task.modifiers.iter().any(|one| one.code == code);
            assert_eq!(told, bends, "{code} {}", task.code);
        }
        assert!(held > 0, "{code} bends nothing here");
        assert!(bent.totals.task > plain.totals.task, "{code}");
    }
}

/// What each fact is about, written out beside the rows: some tasks that it must bend and some that it
/// must not.
#[test]
fn each_fact_is_about_what_it_says() {
    for (code, bent, not) in [
        (
            "limited-access",
            vec!["bars-cut", "place-barrow", "load-unload"],
            vec!["place-chute", "finish"],
        ),
        (
            "occupied",
            vec!["break-out", "form-edge-low", "place-chute"],
            vec!["secure", "seal-surface"],
        ),
        (
            "first-of-its-kind",
            vec!["layout", "form-edge-slope", "finish"],
            vec!["stone", "bars"],
        ),
        (
            "cold",
            vec!["layout", "bars", "finish"],
            vec!["material-pickup", "inspection-wait", "cover-off"],
        ),
        (
            "sloped",
            vec!["place-pump", "strike-off"],
            vec!["finish", "curb-finish", "form-edge-slope"],
        ),
        (
            "narrow",
            vec!["strike-off", "finish"],
            vec!["place-chute", "fine-grade"],
        ),
        (
            "curved",
            vec!["form-edge-low", "form-edge-slope"],
            vec!["form-wall", "strip-staked"],
        ),
        (
            "tapering",
            vec!["form-edge-low"],
            vec!["form-edge-slope", "form-side"],
        ),
    ] {
        let of = &modifier(code).applies_to;
        let holds = |task: &&str| of.iter().any(|other| other == task);
        assert!(bent.iter().all(&holds), "{code}: {of:?}");
        assert!(!not.iter().any(holds), "{code}: {of:?}");
    }
}

/// 28.097 ft of run at 1:12 and 10 ft of landings. Placing and striking off take 1.2 on the run; of
/// floating, edging and brooming half is the float's: 1.1.
#[test]
fn a_slope_bends_placing_striking_off_and_the_float_of_its_part_only() {
    let hours = plan(straight());
    let run = 28.097_054 / 38.097_054;
    for (code, likely) in [("place-chute", 1.2), ("strike-off", 1.2), ("finish", 1.1)] {
        near(factor(&hours, code), 1.0 + run * (likely - 1.0));
    }
    for task in &hours.tasks {
        let sloped = ["place-chute", "strike-off", "finish"].contains(&task.code.as_str());
        assert!(sloped || task.factor == 1.0, "{}", task.code);
    }
    let told = hours.tasks.iter().find(|task| task.code == "finish");
    let told = &told.expect("a finish").modifiers;
    assert_eq!((told[0].code.as_str(), told[0].factor), ("sloped", 1.2));
    near(told[0].share.expect("a share"), run / 2.0);
    let table = write_tasks(&hours);
    assert!(table.contains(",1.0738,sloped 1.2 on 0.3688,"), "{table}");
    let level = plan(with(straight(), "/ramp/path/1/rise", json!("16 in")));
    assert_eq!(factor(&level, "finish"), 1.0);
}

/// A run at 1:12 and one of the same length at 1:10: the shares of one surface add, 1 + s × 0.2 + t × 0.5.
#[test]
fn a_slope_and_a_steep_slope_add_since_they_exclude_each_other() {
    let job = json!({"ramp": {"path": [{"kind": "landing", "length": "5 ft"},
        {"kind": "run", "rise": "10 in", "length": "10 ft"}, {"kind": "landing", "length": "5 ft"},
        {"kind": "run", "rise": "12 in", "length": "10 ft"}, {"kind": "landing", "length": "5 ft"}]}});
    let (sloped, steep) = (10.0_f64.hypot(10.0 / 12.0), 10.0_f64.hypot(1.0));
    let all = 15.0 + sloped + steep;
    let expected = 1.0 + (sloped * 0.2 + steep * 0.5) / all;
    near(factor(&plan(job), "strike-off"), expected);
}

/// Full up to 4 ft, nothing from 4 ft 11 in on, in proportion between: at 4 ft 5 1/2 in half of it.
#[test]
fn a_narrow_slab_bends_striking_off_and_finishing_by_its_width() {
    let level = |width: &str| {
        let job = with(straight(), "/ramp/path/1/rise", json!("16 in"));
        plan(with(job, "/ramp/width", json!(width)))
    };
    for (width, expected) in [
        ("3 ft", 1.1),
        ("4 ft", 1.1),
        ("53.5 in", 1.05),
        ("1500 mm", 1.0),
        ("6 ft", 1.0),
    ] {
        let hours = level(width);
        near(factor(&hours, "strike-off"), expected);
        near(factor(&hours, "finish"), expected);
        near(factor(&hours, "place-chute"), 1.0);
    }
}

/// Rounding the corners of a job: 10 ft of its edge forms along a curve take 1.75.
#[test]
fn a_curve_bends_the_edge_forms_by_its_length() {
    let solved = Solved::of(with(straight(), "/forms/curved", json!("10 ft")));
    let forms = &solved.takeoff.measures.form_staked;
    let edges: f64 = forms.iter().map(|form| form.length.feet()).sum();
    assert!(edges > 60.0, "{edges}");
    for code in ["form-edge-low", "form-edge-slope"] {
        near(factor(&solved.hours(), code), 1.0 + 10.0 / edges * 0.75);
    }
    let more = plan(with(straight(), "/forms/curved", json!("900 ft")));
    near(factor(&more, "form-edge-low"), 1.75);
}

/// A ramp of solid concrete that rises 1:48 has side boards that are higher at their upper end, on stone
/// it has none. Slab 5 in, curb 4 in: both sides of the run are 9 to 10 in high and 4 ft x 1.000217 long,
/// those of the upper landing 10 in and 5 ft: 8.00174 of 18.00174 ft taper, 1 + 0.444498 x 0.5.
#[test]
fn boards_that_run_out_take_what_boards_on_a_slope_take() {
    let job = json!({"ramp": {"path": [{"kind": "landing", "length": "5 ft"},
        {"kind": "run", "rise": "1 in", "length": "4 ft"}, {"kind": "landing", "length": "5 ft"}]}});
    let on_stone = plan(job.clone());
    let solid = plan(with(job, "/ramp/support", json!("solid")));
    near(factor(&on_stone, "form-edge-high"), 1.0);
    near(factor(&solid, "form-edge-high"), 1.222_249);
    near(factor(&solid, "form-edge-low"), 1.0);
    near(factor(&solid, "strip-staked"), 1.0);
}

/// The factor is the ratio of our own row for a slope to the one for a level edge: 0.12 / 0.08.
#[test]
fn the_taper_comes_from_the_rows_of_edge_forms() {
    let rates = Rates::built_in();
    let likely = |code: &str| {
        let mut rows = rates.rows().into_iter();
        rows.find(|row| row.code == code).expect("a row").likely
    };
    near(
        modifier("tapering").likely,
        likely("form-edge-slope") / likely("form-edge-low"),
    );
}

#[test]
fn one_person_holds_boards_longer() {
    let alone = json!([{"class": "finisher", "count": 1}]);
    let two = json!([{"class": "finisher", "count": 1}, {"class": "labourer", "count": 1}]);
    let on_wall = |members: Value| plan(with(walled(), "/crew/members", members));
    assert_eq!(factor(&on_wall(two), "form-on-wall"), 1.0);
    near(factor(&on_wall(alone), "form-on-wall"), 1.4);
}

/// Each further 75 ft of a barrow takes 0.15 more, each further 200 ft of a buggy 0.10, in proportion.
#[test]
fn a_longer_way_counts_from_the_end_of_the_row_s_own() {
    let placed = |by: &str, feet: f64| {
        let job = with(straight(), "/ramp/path/1/rise", json!("16 in"));
        let job = with(job, "/crew/placing", json!(by));
        let away = json!(format!("{feet} ft"));
        plan(with(job, "/site/truck_to_pour", away))
    };
    for (by, feet, expected) in [
        ("barrow", 75.0, 1.0),
        ("barrow", 112.5, 1.075),
        ("barrow", 225.0, 1.3),
        ("buggy", 200.0, 1.0),
        ("buggy", 300.0, 1.05),
        ("pump", 300.0, 1.0),
    ] {
        near(factor(&placed(by, feet), &format!("place-{by}")), expected);
    }
}

/// The bands of the air: below 40, from 40 to 50, above 90, and nothing where the job does not say.
#[test]
fn the_bands_of_the_air_end_where_they_say() {
    let rate = |air: &str| factor(&plan(with(straight(), "/site/air", json!(air))), "stone");
    for (air, expected) in [
        ("39.9 degF", 1.25),
        ("40 degF", 1.1),
        ("10 degC", 1.1),
        ("50.1 degF", 1.0),
        ("90 degF", 1.0),
        ("90.1 degF", 1.15),
    ] {
        near(rate(air), expected);
    }
    assert_eq!(factor(&plan(straight()), "stone"), 1.0);
}

/// Limited access, an occupied site and 45 degF on one row: 1.2 × 1.1 × 1.1 = 1.452.
#[test]
fn several_facts_multiply() {
    let job = with(straight(), "/site/access", json!("limited"));
    let job = with(job, "/site/occupied", json!(true));
    let hours = plan(with(job, "/site/air", json!("45 degF")));
    near(factor(&hours, "form-edge-low"), 1.452);
}

/// What bends hours is part of what hours are planned from, so that a moved job is planned anew.
#[test]
fn jobs_that_state_other_facts_are_not_planned_the_same() {
    let plain = Solved::of(straight());
    for (pointer, value) in [
        ("/site/access", json!("limited")),
        ("/site/occupied", json!(true)),
        ("/site/air", json!("45 degF")),
        ("/site/truck_to_pour", json!("90 ft")),
        ("/forms/curved", json!("3 ft")),
        ("/crew/first_of_its_kind", json!(true)),
    ] {
        let other = Solved::of(with(straight(), pointer, value));
        let (one, other) = ((&plain.job, &plain.takeoff), (&other.job, &other.takeoff));
        assert!(
            plans_the_same(one, one) && !plans_the_same(one, other),
            "{pointer}"
        );
    }
}

/// Every way in which a file of modifiers may be wrong is caught, and the fault names the row.
#[test]
fn a_broken_file_is_refused() {
    let broken = |from: &str, to: &str| {
        assert!(FILE.contains(from), "{from} is not in the file");
        Rates::read(RATES, &FILE.replacen(from, to, 1)).err()
    };
    for (from, to) in [
        ("\"strike-off\"]", "\"strike-of\"]"),
        ("likely = 1.2", "likely = 2.2"),
        ("low = 1.1", "low = 0.0"),
        ("float_of = [\"finish\"]", "float_of = [\"polish\"]"),
    ] {
        let fault = broken(from, to).expect("it is refused");
        assert!(
            fault.contains("steep") || fault.contains("sloped"),
            "{fault}"
        );
    }
    for (from, to) in [
        ("fact = \"curved\"", "fact = \"round\""),
        ("\"1:12\"]", "\"12 ft\"]"),
        ("document = \"common practice, no source\"\n", ""),
        ("base = ", "bases = "),
    ] {
        assert!(broken(from, to).is_some(), "{from}");
    }
}

#[test]
fn every_modifier_names_tasks_its_base_and_its_source() {
    let rates = Rates::built_in();
    let air: Vec<_> = ["cold", "cool", "hot"].map(modifier).into();
    for modifier in &rates.modifiers {
        let tasks = modifier.applies_to.iter().chain(&modifier.float_of);
        for (index, task) in tasks.clone().enumerate() {
            assert!(rates.has_task(task), "{}: {task}", modifier.code);
            assert!(
                !tasks.clone().take(index).any(|other| other == task),
                "{task} twice"
            );
        }
        assert!(!modifier.base.is_empty() && !modifier.why.is_empty());
        assert!(!modifier.source().document.is_empty());
        assert!(
            modifier.low >= 1.0,
            "{} makes a task shorter",
            modifier.code
        );
    }
    assert!(
        air.windows(2)
            .all(|two| two[0].applies_to == two[1].applies_to)
    );
}

fn faults(pointer: &str, value: Value) -> Vec<(String, String, Option<String>)> {
    let request: JobRequest =
        serde_json::from_value(with(straight(), pointer, value)).expect("a job");
    let today = Day::parse("2026-05-04").expect("a day");
    let faults = expand(request, today).expect_err("it has faults");
    let told = faults.0.into_iter();
    told.map(|fault| (fault.pointer, fault.accepted, fault.example))
        .collect()
}

#[test]
fn what_no_site_has_is_one_fault_with_an_example() {
    for (pointer, value) in [
        ("/forms/curved", "-1 ft"),
        ("/forms/curved", "2000 ft"),
        ("/site/air", "-60 degF"),
        ("/site/air", "80 degC"),
    ] {
        let found = faults(pointer, json!(value));
        assert_eq!(found.len(), 1, "{found:?}");
        let (at, accepted, example) = &found[0];
        assert_eq!(at, pointer);
        assert!(accepted.contains(" to ") && example.is_some(), "{found:?}");
    }
}
