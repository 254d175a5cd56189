//! What a line becomes: runs, landings, edges, a walk, steps, and the rest of the job.

use super::{expanded, full, job, read};
use crossfall::geometry::solve;
use crossfall::job::Day;
use serde_json::{Value, json};

fn path(cells: &[(&str, &str)]) -> Vec<Value> {
    job(cells)["ramp"]["path"]
        .as_array()
        .expect("a path")
        .clone()
}

#[test]
fn a_straight_ramp_is_the_job_that_a_person_would_write() {
    let short = job(&[
        ("rise_in", "24"),
        ("length_ft", "27"),
        ("door_leaf_in", "36"),
        ("beyond_latch_in", "20"),
    ]);
    let written = full(
        r#"{"ramp": {"path": [{"kind": "landing"}, {"kind": "run", "rise": "24 in", "length": "27 ft"},
        {"kind": "landing", "door": {"edge": "end", "leaf": "36 in", "beyond_latch": "20 in"}}]}}"#,
    );
    assert_eq!(short, written);
}

#[test]
fn an_l_with_a_wall_is_the_job_that_a_person_would_write() {
    let short = job(&[
        ("rise_in", "28"),
        ("length_ft", "30"),
        ("runs", "2"),
        ("turn", "left"),
        ("left", "wall"),
        ("width_in", "66"),
        ("base_in", "6"),
        ("bar", "5"),
        ("spacing_in", "18"),
        ("sealer", "none"),
    ]);
    let wall = r#""edges": {"left": "against_wall"}"#;
    let run = format!(r#"{{"kind": "run", "rise": "14 in", "length": "15 ft", {wall}}}"#);
    let written = full(&format!(
        r#"{{"ramp": {{"width": "66 in", "path": [{{"kind": "landing", {wall}}}, {run},
        {{"kind": "landing", "turn": "left"}}, {run}, {{"kind": "landing", {wall}}}]}},
        "base": {{"depth": "6 in"}}, "sealer": "none",
        "reinforcement": {{"bar": "no. 5", "spacing_along": "18 in", "spacing_across": "18 in"}}}}"#
    ));
    assert_eq!(short, written);
}

/// 2010 ADA Standards, 405.6: the rise of a run is 30 in at most.
#[test]
fn runs_are_as_few_as_the_rule_allows_and_equal() {
    for (rise, runs) in [("30", 1), ("30.01", 2), ("60", 2), ("61", 3), ("240", 8)] {
        let path = path(&[("rise_in", rise)]);
        assert_eq!(path.len(), 2 * runs + 1, "{rise} in");
        let rises: Vec<&Value> = path
            .iter()
            .filter(|piece| piece["kind"] == "run")
            .map(|run| &run["rise"])
            .collect();
        assert!(rises.iter().all(|own| *own == rises[0]), "{rises:?}");
    }
    for runs in 1..=20_usize {
        let count = runs.to_string();
        assert_eq!(
            path(&[("rise_in", "40"), ("runs", &count)]).len(),
            2 * runs + 1
        );
    }
}

#[test]
fn runs_share_a_length_along_the_surface_equally() {
    let path = path(&[
        ("rise_in", "24"),
        ("length_ft", "26"),
        ("runs", "2"),
        ("measured", "surface"),
    ]);
    for run in [1, 3] {
        assert_eq!(path[run]["length"], "13 ft");
        assert_eq!(path[run]["measured"], "surface");
    }
}

#[test]
fn a_switchback_turns_to_the_other_side_each_time() {
    let path = path(&[("rise_in", "28"), ("runs", "4"), ("turn", "back_left")]);
    let turns: Vec<&Value> = [2, 4, 6].iter().map(|at| &path[*at]["turn"]).collect();
    assert_eq!(turns, ["back_left", "back_right", "back_left"]);
    // Two runs of 5 ft and the gap of 6 in.
    assert_eq!(path[2]["width"], "10 ft 6 in");
}

#[test]
fn walls_stand_where_a_person_walking_up_has_them() {
    let path = path(&[
        ("rise_in", "28"),
        ("runs", "2"),
        ("turn", "right"),
        ("left", "wall"),
        ("right", "form_on_wall"),
    ]);
    assert_eq!(
        path[1]["edges"],
        json!({"left": "against_wall", "right": "form_on_wall"})
    );
    assert_eq!(
        path[3]["edges"],
        json!({"left": "against_wall", "right": "form_on_wall"})
    );
    // Around the outside of a right turn the left side goes on.
    assert_eq!(
        path[2]["edges"],
        json!({"end": "against_wall", "left": "against_wall"})
    );
    assert_eq!(path[0]["edges"]["start"], "against_walk");
    assert_eq!(path[4]["edges"]["end"], "against_wall");
}

#[test]
fn a_walk_is_poured_before_the_foot_and_adds_its_own_area_alone() {
    let plain = expanded(&[("rise_in", "14"), ("width_in", "48")]);
    let walk = expanded(&[
        ("rise_in", "14"),
        ("width_in", "48"),
        ("walk_ft", "20"),
        ("walk_width_in", "72"),
    ]);
    let (before, after) = (solve(&plain.job), solve(&walk.job));
    let added = after.new_area().square_feet() - before.new_area().square_feet();
    // 20 ft of 6 ft; the foot landing and all behind it stay as they were.
    assert!((added - 120.0).abs() < 1e-6, "{added} ft2 more");
    let path = path(&[
        ("rise_in", "14"),
        ("walk_ft", "20"),
        ("walk_width_in", "72"),
    ]);
    assert_eq!(path[0]["edges"]["start"], "against_walk");
    assert_eq!(path[0]["curbs"], json!([]));
    assert_eq!(path[1]["curbs"], json!([]));
    assert_eq!(path[1]["edges"]["start"], Value::Null);
}

#[test]
fn steps_climb_as_high_as_the_ramp() {
    let job = job(&[("rise_in", "28"), ("steps", "4"), ("tread_in", "12")]);
    let flight = &job["ramp"]["steps"][0];
    assert_eq!(flight["risers"], json!(["7 in", "7 in", "7 in", "7 in"]));
    assert_eq!(flight["treads"], json!(["1 ft", "1 ft", "1 ft"]));
}

#[test]
fn existing_landings_are_judged_and_not_poured() {
    let new = expanded(&[("rise_in", "14")]);
    let existing = expanded(&[
        ("rise_in", "14"),
        ("foot", "existing"),
        ("head", "existing"),
    ]);
    let area = |job| solve(job).new_area().square_feet();
    assert!(area(&new.job) - area(&existing.job) > 40.0);
}

#[test]
fn nought_is_none() {
    let job = job(&[
        ("rise_in", "14"),
        ("curb_in", "0"),
        ("base_in", "0"),
        ("insulation_in", "0"),
        ("bar", "none"),
        ("sealer", "none"),
        ("handrail", "none"),
        ("steps", "0"),
        ("walk_ft", "0"),
    ]);
    for part in [
        "/base",
        "/insulation",
        "/reinforcement",
        "/sealer",
        "/ramp/curb",
        "/ramp/handrails",
    ] {
        assert_eq!(job.pointer(part), Some(&json!("none")), "{part}");
    }
    assert_eq!(job["ramp"]["steps"], json!([]));
    assert_eq!(job["ramp"]["path"].as_array().map(Vec::len), Some(3));
}

#[test]
fn a_crew_is_people_of_which_every_third_finishes() {
    for (people, finishers) in [("1", 1), ("2", 1), ("3", 1), ("4", 2), ("12", 4)] {
        let job = job(&[("rise_in", "14"), ("crew", people)]);
        assert_eq!(
            job["crew"]["members"][0],
            json!({"class": "finisher", "count": finishers})
        );
    }
}

#[test]
fn money_columns_go_to_their_places() {
    let job = job(&[
        ("rise_in", "14"),
        ("overhead_pct", "12.5"),
        ("contingency_pct", "3"),
        ("markup_pct", "20"),
        ("tax_pct", "6.25"),
        ("tax_base", "price"),
    ]);
    let price = &job["price"];
    assert_eq!(price["overhead"], "12.5 %");
    assert_eq!(price["profit"], json!({"basis": "markup", "rate": "20 %"}));
    assert_eq!(
        price["sales_tax"],
        json!({"rate": "6.25 %", "base": "price"})
    );
}

#[test]
fn day_and_zone_are_of_the_batch_and_not_of_the_job() {
    let line =
        read(&[("rise_in", "14"), ("day", "2026-05-11"), ("zone", "north")]).expect("a good line");
    assert_eq!(line.day, Day::parse("2026-05-11"));
    assert_eq!(line.zone.as_deref(), Some("north"));
    assert_eq!(
        line.sent,
        read(&[("rise_in", "14")]).expect("a good line").sent
    );
}

/// A landing that is left to the full form is as long as the run that leaves it sideways is wide.
#[test]
fn a_turning_landing_grows_with_a_wide_run() {
    let cells = [
        ("rise_in", "28"),
        ("runs", "2"),
        ("turn", "right"),
        ("width_in", "96"),
    ];
    let wide = expanded(&cells);
    let length = wide
        .assumptions
        .iter()
        .find(|one| one.pointer == "/ramp/path/2/length");
    assert_eq!(length.expect("it is assumed").value, "8 ft");
    assert_eq!(path(&cells)[2]["length"], "8 ft");
    let narrow = path(&[
        ("rise_in", "28"),
        ("runs", "2"),
        ("turn", "right"),
        ("width_in", "48"),
    ]);
    // 60 in clear and a curb of 6 in at its end.
    assert_eq!(narrow[2]["length"], "5 ft 6 in");
}
