//! Cells: which are read, which are refused, and what the refusal says.

use super::{job, read, read_with, refused};
use crossfall::job::ShortHeading;

#[test]
fn the_example_of_the_contract_is_read() {
    let line = [
        ("rise_in", "28"),
        ("length_ft", "28"),
        ("runs", "2"),
        ("turn", "left"),
        ("left", "wall"),
    ];
    let job = job(&line);
    let path = job["ramp"]["path"].as_array().expect("a path");
    let kinds: Vec<&str> = path
        .iter()
        .filter_map(|piece| piece["kind"].as_str())
        .collect();
    assert_eq!(kinds, ["landing", "run", "landing", "run", "landing"]);
    for run in [1, 3] {
        assert_eq!(path[run]["rise"], "1 ft 2 in");
        assert_eq!(path[run]["length"], "14 ft");
        assert_eq!(path[run]["edges"]["left"], "against_wall");
        assert_eq!(path[run]["edges"]["right"], "formed");
    }
    assert_eq!(path[2]["turn"], "left");
    // The next run leaves to the left, so nothing stands there.
    assert_eq!(path[2]["edges"]["left"], serde_json::Value::Null);
}

#[test]
fn every_form_of_a_name_says_the_same() {
    let plain = job(&[("rise_in", "28")]);
    for (name, cell) in [
        ("rise", "28 in"),
        ("rise", "2' 4\""),
        ("Rise_MM", "711.2"),
        (" RISE_ft ", "2.33333333333333333333"),
        ("rise_cm", "71.12"),
        ("rise_m", "0.7112"),
    ] {
        assert_eq!(job(&[(name, cell)]), plain, "{name}={cell}");
    }
    let strong = job(&[("rise_in", "28"), ("strength_psi", "5000")]);
    assert_eq!(job(&[("rise_in", "28"), ("strength", "5000 psi")]), strong);
    let steep = job(&[("rise_in", "28"), ("slope_pct", "8")]);
    assert_eq!(job(&[("rise_in", "28"), ("slope", "8 %")]), steep);
    assert_eq!(job(&[("rise_in", "28"), ("slope", "1:12.5")]), steep);
}

#[test]
fn a_blank_cell_is_no_cell() {
    let plain = job(&[("rise_in", "28")]);
    let blanks = [
        ("rise_in", "28"),
        ("rise_mm", ""),
        ("width_in", "  "),
        ("turn", ""),
    ];
    assert_eq!(job(&blanks), plain);
}

#[test]
fn all_faults_of_a_line_are_told_at_once_by_the_columns_as_written() {
    let line = [
        ("RISE_in", "tall"),
        ("Width_IN", "12"),
        ("runs", "2.0"),
        ("left", "hedge"),
        ("existing", "maybe"),
        ("start", "2026-02-30"),
        ("waste_pct", "31"),
    ];
    let expected = [
        "existing",
        "RISE_in",
        "Width_IN",
        "runs",
        "left",
        "start",
        "waste_pct",
    ];
    let mut found = refused(&line);
    found.sort();
    let mut expected = expected.map(str::to_owned);
    expected.sort();
    assert_eq!(found, expected);
}

#[test]
fn two_columns_for_one_thing_are_told_with_both_their_names() {
    for line in [
        [("rise_in", "28"), ("rise", "28 in"), ("x", "")],
        [
            ("rise_in", "28"),
            ("margin_pct", "10"),
            ("Markup_pct", "10"),
        ],
    ] {
        let faults = read(&line).expect_err("both are filled in");
        assert_eq!(faults.0.len(), 1, "{faults}");
        let names: Vec<&str> = line.iter().map(|(name, _)| *name).collect();
        let both = if names[2] == "x" {
            [names[0], names[1]]
        } else {
            [names[1], names[2]]
        };
        for name in both {
            assert!(faults.0[0].found.contains(name), "{faults}");
            assert!(faults.0[0].accepted.contains(name), "{faults}");
        }
    }
}

#[test]
fn a_number_without_a_unit_is_told_both_ways_of_writing_it() {
    let faults = read(&[("rise", "28")]).expect_err("which unit?");
    assert!(faults.0[0].accepted.contains("28 in"), "{faults}");
    assert!(faults.0[0].accepted.contains("rise_in"), "{faults}");
    let faults = read(&[("units", "metric"), ("rise", "700")]).expect_err("which unit?");
    assert!(faults.0[0].accepted.contains("rise_mm"), "{faults}");
}

#[test]
fn a_slope_and_a_length_must_agree() {
    let agree = [("rise_in", "28"), ("length_ft", "28"), ("slope", "1:12")];
    assert!(read(&agree).is_ok());
    assert_eq!(
        refused(&[("rise_in", "28"), ("length_ft", "30"), ("slope", "1:12")]),
        ["slope"]
    );
    // Along the surface the plan is shorter, and so the slope is more.
    let surface = [
        ("rise_in", "28"),
        ("length_ft", "28"),
        ("slope", "1:12"),
        ("measured", "surface"),
    ];
    assert_eq!(refused(&surface), ["slope"]);
}

#[test]
fn the_decimal_mark_is_that_of_the_table() {
    let pointed = job(&[("rise_in", "28.5")]);
    let line = read_with(&[("rise_in", "28,5")], ',').expect("a decimal comma");
    assert_eq!(
        line.sent,
        read(&[("rise_in", "28.5")]).expect("a point").sent
    );
    assert_eq!(pointed["ramp"]["path"][1]["rise"], "2 ft 4 1/2 in");
    let text = read_with(&[("rise", "28,5 in")], ',').expect("in a text too");
    assert_eq!(text.sent, line.sent);
    for (cell, mark) in [
        ("28,5", '.'),
        ("28.5", ','),
        ("1,028", '.'),
        ("1.028", ','),
        ("2e1", '.'),
        ("1 0", '.'),
    ] {
        assert!(
            read_with(&[("rise_in", cell)], mark).is_err(),
            "{cell} with {mark}"
        );
    }
}

#[test]
fn a_line_without_a_rise_says_which_column_is_missing() {
    assert_eq!(refused(&[("job", "x")]), ["rise"]);
    assert_eq!(refused(&[("rise_in", ""), ("job", "x")]), ["rise_in"]);
}

#[test]
fn a_turn_needs_a_landing_to_turn_at() {
    assert_eq!(refused(&[("rise_in", "14"), ("turn", "left")]), ["turn"]);
    assert!(read(&[("rise_in", "14"), ("turn", "left"), ("runs", "2")]).is_ok());
    // Two runs are needed anyway.
    assert!(read(&[("rise_in", "33"), ("turn", "left")]).is_ok());
}

#[test]
fn faults_of_the_whole_job_come_back_to_their_columns() {
    // A leaf of a landing that is stated too short for the run that leaves it.
    let line = [
        ("rise_in", "33"),
        ("turn", "left"),
        ("landing_ft", "4"),
        ("width_in", "72"),
    ];
    assert_eq!(refused(&line), ["landing_ft"]);
    let heading = ShortHeading::bind(&["rise_in", "Book"]);
    let fault = crossfall::quantity::Fault::new("/book/code", "x", "a book", None);
    let back = heading.point_back(crossfall::quantity::Faults(vec![fault]));
    assert_eq!(back.0[0].column.as_deref(), Some("Book"));
}

#[test]
fn names_that_are_no_column_are_told_apart() {
    let heading = ShortHeading::bind(&["job", "contact", "rise_in", "rise_yd", "zone", ""]);
    assert_eq!(heading.unknown(), [1, 3, 5]);
    assert_eq!(heading.batch_only(), [4]);
}
