//! What a refusal says: nothing is blamed for another cell, and its example can be written there.

use super::{read, read_with, refused};
use crossfall::job::{ShortColumn, ShortKind, short_columns};
use crossfall::quantity::Fault;

/// Cells that no column but one of texts takes.
const NONSENSE: [&str; 4] = ["??", "9999999999", "-1", "1e3"];

/// Whether a fault is there when `cell` stands under `name` beside a usual rise.
fn faults_of(name: &str, cell: &str, (units, mark): (&str, char)) -> Vec<Fault> {
    let rise = if name.starts_with("rise") { "" } else { "14" };
    let line = [("units", units), ("rise_in", rise), (name, cell)];
    let read = read_with(&line, mark);
    read.err().map_or_else(Vec::new, |faults| faults.0)
}

fn is_quantity(column: &ShortColumn) -> bool {
    column.kind.dimension().is_some()
}

#[test]
fn an_example_can_be_written_into_the_cell_that_was_refused() {
    let mut tried = 0;
    let columns = short_columns();
    for column in columns.iter().filter(|column| column.name != "units") {
        for name in column.forms().iter().filter(|name| *name != "rise_in") {
            for table in [("us", '.'), ("us", ','), ("metric", '.'), ("metric", ',')] {
                for cell in NONSENSE {
                    let found = faults_of(name, cell, table);
                    let own = found
                        .iter()
                        .find(|fault| fault.column.as_deref() == Some(name));
                    let Some(own) = own else {
                        assert_eq!(column.kind, ShortKind::Text, "{name}={cell} is taken");
                        continue;
                    };
                    let example = own.example.as_deref().expect("an example");
                    let again = faults_of(name, example, table);
                    let again = again
                        .iter()
                        .find(|fault| fault.column.as_deref() == Some(name));
                    assert!(again.is_none(), "{name}={cell} {table:?}: {own:?}");
                    tried += usize::from(is_quantity(column));
                }
            }
        }
    }
    assert!(tried > 1000, "{tried} examples were written");
}

#[test]
fn nothing_is_blamed_for_a_rise_or_a_count_that_was_refused() {
    let turning = [("rise_in", "tall"), ("turn", "left")];
    assert_eq!(refused(&turning), ["rise_in"]);
    let sloping = [("rise_in", "tall"), ("length_ft", "28"), ("slope", "1:12")];
    assert_eq!(refused(&sloping), ["rise_in"]);
    let counted = [("rise_in", "28"), ("runs", "2.0"), ("turn", "left")];
    assert_eq!(refused(&counted), ["runs"]);
}

#[test]
fn a_cell_is_refused_once_however_often_it_is_looked_at() {
    assert_eq!(refused(&[("units", "feet"), ("rise_in", "28")]), ["units"]);
    let long = "x".repeat(81);
    assert_eq!(
        refused(&[("rule_set", &long), ("rise_in", "28")]),
        ["rule_set"]
    );
}

#[test]
fn what_a_cell_came_to_in_the_whole_job_is_told_beside_it() {
    for (line, column, found) in [
        (
            [("rise_in", "28"), ("insulation_in", "0.5")],
            "insulation_in",
            "\"0.5\", so 1/2 in at /insulation/thickness",
        ),
        (
            [("rise_ft", "20"), ("steps", "1")],
            "steps",
            "\"1\", so 20 ft at /ramp/steps/0/risers/0",
        ),
        (
            [("rise_in", "0.5"), ("slope", "50 %")],
            "length",
            "blank, so 1 in at /ramp/path/1/length",
        ),
    ] {
        let faults = read(&line).expect_err("out of bounds").0;
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert_eq!(faults[0].column.as_deref(), Some(column));
        assert_eq!(faults[0].found, found);
    }
}

#[test]
fn an_example_of_the_whole_job_is_written_as_the_column_is() {
    let line = [("units", "metric"), ("rise_mm", "300"), ("base_mm", "10,5")];
    let faults = read_with(&line, ',').expect_err("too thin").0;
    assert_eq!(faults[0].column.as_deref(), Some("base_mm"));
    let example = faults[0].example.as_deref().expect("an example");
    let better = [line[0], line[1], ("base_mm", example)];
    assert!(read_with(&better, ',').is_ok(), "{example}");
}

#[test]
fn a_cell_that_says_nothing_without_another_is_listed() {
    let line = [
        ("rise_in", "14"),
        ("beyond_latch_in", "20"),
        ("Door_Opens", "away"),
        ("tread_in", "12"),
        ("walk_width_ft", "6"),
        ("bar", "none"),
        ("spacing_in", "18"),
    ];
    let short = read(&line).expect("a good line");
    for (pointer, name) in [
        ("/ramp/path/2/door", "Door_Opens and beyond_latch_in"),
        ("/ramp/steps", "tread_in"),
        ("/ramp/path/0/width", "walk_width_ft"),
        ("/reinforcement", "spacing_in"),
    ] {
        let mut listed = short.assumed.iter();
        let one = listed.find(|one| one.pointer == pointer).expect(pointer);
        assert!(one.why.starts_with(name), "{one:?}");
    }
}

#[test]
fn the_example_of_a_slope_that_disagrees_with_the_length_agrees() {
    for (name, cell) in [("slope", "1:12"), ("slope_pct", "8")] {
        let line = [("rise_in", "24"), ("length_ft", "20"), (name, cell)];
        let faults = read(&line).expect_err("10 % are not 1:12").0;
        let example = faults[0].example.as_deref().expect("an example");
        assert!(
            read(&[line[0], line[1], (name, example)]).is_ok(),
            "{example}"
        );
    }
}

#[test]
fn where_nought_is_none_the_bounds_of_the_whole_job_say_so() {
    for name in [
        "landing_in",
        "insulation_in",
        "base_in",
        "curb_in",
        "walk_in",
    ] {
        let faults = read(&[("rise_in", "14"), (name, "0.5")]).expect_err(name).0;
        assert_eq!(faults[0].column.as_deref(), Some(name));
        assert!(
            faults[0].accepted.starts_with("0 for none, or "),
            "{faults:?}"
        );
        assert!(read(&[("rise_in", "14"), (name, "0")]).is_ok(), "{name}");
    }
}

/// A length that comes from the slope is told as a tape shows it: 14 in at 7.5 % are 186 2/3 in.
#[test]
fn an_assumed_length_reads_like_a_tape() {
    let short = read(&[("rise_in", "14")]).expect("a good line");
    let mut listed = short.assumed.iter();
    let one = listed.find(|one| one.pointer == "/ramp/path/1/length");
    assert_eq!(one.expect("it is listed").value, "15 ft 6 11/16 in");
}
