//! Every column of the table: both ends of its range, its default, its words.

use super::{expanded, job, read};
use crossfall::job::{ShortColumn, ShortKind, short_columns};
use crossfall::quantity::System;

/// A usual line with one cell more, in a system of units. What a column needs beside it stands there.
fn line<'a>(column: &'a ShortColumn, cell: &'a str, system: System) -> Vec<(&'a str, &'a str)> {
    let units = if system == System::Us { "us" } else { "metric" };
    let mut line = vec![("units", units)];
    match column.name.as_str() {
        "units" => line.clear(),
        "turn" => line.push(("runs", "2")),
        "steps_width" | "tread" => line.push(("steps", "4")),
        "walk_width" => line.push(("walk", "3 m")),
        "door_opens" | "beyond_latch" => line.push(("door_leaf", "36 in")),
        _ => {}
    }
    match column.name.as_str() {
        "rise" => {}
        // Many steps go with a high ramp.
        "steps" => line.push(("rise", "10 ft")),
        _ => line.push(("rise", "14 in")),
    }
    line.push((&column.name, cell));
    line
}

fn named_by_itself(column: &ShortColumn, cell: &str, system: System) -> bool {
    match read(&line(column, cell, system)) {
        Ok(_) => false,
        Err(faults) => faults
            .0
            .iter()
            .any(|fault| fault.column.as_deref() == Some(column.name.as_str())),
    }
}

/// A number a little beyond one end of a range, in the unit of the text.
fn beyond(text: &str, up: bool) -> Option<String> {
    let end = text.find(|one: char| !one.is_ascii_digit() && one != '.')?;
    let (number, unit) = text.split_at(end);
    // A fraction stands for one half.
    let (number, unit) = match unit.strip_prefix("/2") {
        Some(unit) => (0.5, unit),
        None => (number.parse::<f64>().ok()?, unit),
    };
    let step = 1e-3 * number.abs().max(1.0);
    let number = if up { number + step } else { number - step };
    Some(format!("{number}{unit}"))
}

#[test]
fn both_ends_of_every_range_are_kept_and_nothing_beyond() {
    let mut checked = 0;
    for column in short_columns() {
        for system in [System::Us, System::Metric] {
            let Some((least, most)) = column.range_in(system) else {
                continue;
            };
            for (end, up) in [(least, false), (most, true)] {
                assert!(
                    !named_by_itself(column, end, system),
                    "{} = {end}",
                    column.name
                );
                let beyond = match column.kind {
                    ShortKind::Count => {
                        let end: i64 = end.parse().expect("a count");
                        Some((if up { end + 1 } else { end - 1 }).to_string())
                    }
                    _ => beyond(end, up),
                };
                let beyond = beyond.expect("a number before a unit");
                assert!(
                    named_by_itself(column, &beyond, system),
                    "{} = {beyond}",
                    column.name
                );
                checked += 1;
            }
        }
    }
    assert!(checked > 100, "{checked} ends were looked at");
}

#[test]
fn a_default_that_is_written_out_changes_nothing() {
    let mut checked = 0;
    for column in short_columns() {
        for (system, units) in [(System::Us, "us"), (System::Metric, "metric")] {
            let Some(default) = column.default_in(system).filter(|_| column.name != "units") else {
                continue;
            };
            let told = line(column, default, system);
            let blank: Vec<(&str, &str)> = told
                .iter()
                .copied()
                .filter(|(name, _)| *name != column.name)
                .collect();
            assert_eq!(
                job(&told),
                job(&blank),
                "{} = {default} in {units}",
                column.name
            );
            checked += 1;
        }
    }
    assert!(checked > 50, "{checked} defaults were looked at");
}

#[test]
fn every_word_of_a_choice_is_read_in_any_case() {
    for column in short_columns()
        .iter()
        .filter(|column| column.kind == ShortKind::Choice)
    {
        for word in &column.words {
            let upper = word.to_uppercase();
            let plain = job(&line(column, word, System::Us));
            assert_eq!(
                job(&line(column, &upper, System::Us)),
                plain,
                "{} = {word}",
                column.name
            );
        }
        assert!(
            named_by_itself(column, "none of these", System::Us),
            "{}",
            column.name
        );
    }
}

/// A blank cell is listed among the assumptions, by the short form or by the full form.
#[test]
fn no_default_is_silent() {
    let short = read(&[
        ("rise_in", "28"),
        ("steps", "4"),
        ("walk_ft", "10"),
        ("door_leaf_in", "36"),
    ]);
    let short = short.expect("a good line");
    let mut listed: Vec<String> = short
        .assumed
        .iter()
        .map(|one| one.pointer.clone())
        .collect();
    let of_full = expanded(&[
        ("rise_in", "28"),
        ("steps", "4"),
        ("walk_ft", "10"),
        ("door_leaf_in", "36"),
    ]);
    listed.extend(of_full.assumptions.iter().map(|one| one.pointer.clone()));
    for pointer in [
        "/units",
        "/site/rule_sets",
        "/site/existing_and_space_limited",
        "/ramp/path",
        "/ramp/path/2/length",
        "/ramp/width",
        "/ramp/path/1/length",
        "/ramp/path/0/work",
        "/ramp/path/3/work",
        "/ramp/cross_slope",
        "/ramp/path/3/door/opens",
        "/ramp/path/2/edges",
        "/ramp/curb",
        "/slab/thickness",
        "/slab/concrete/strength",
        "/site/exposure",
        "/slab/finish",
        "/base",
        "/insulation",
        "/reinforcement",
        "/joints/method",
        "/joints/spacing",
        "/sealer",
        "/ramp/steps/0/risers",
        "/ramp/steps/0/width",
        "/ramp/steps/0/treads",
        "/ramp/path/0/width",
        "/crew/members",
        "/crew/placing",
        "/book/as_of",
    ] {
        assert!(
            listed.iter().any(|one| one == pointer),
            "{pointer} of {listed:#?}"
        );
    }
    let mut sorted = listed.clone();
    sorted.sort();
    sorted.dedup();
    assert_eq!(sorted.len(), listed.len(), "one is listed twice");
}
