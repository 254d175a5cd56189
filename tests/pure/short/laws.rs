//! Laws: any line within its ranges is a job, or says which columns do not go together.

use super::read;
use crate::config;
use crossfall::job::{Day, ShortColumn, ShortHeading, ShortKind, expand, short_columns};
use crossfall::quantity::System;
use proptest::prelude::*;

/// A cell within the range of a column, or a blank one.
fn cell(column: &'static ShortColumn) -> BoxedStrategy<String> {
    let filled = match column.kind {
        ShortKind::Choice => prop::sample::select(column.words.clone()).boxed(),
        ShortKind::YesNo => prop::sample::select(vec!["yes", "no"])
            .prop_map(str::to_owned)
            .boxed(),
        ShortKind::Date => Just("2026-05-11".to_owned()).boxed(),
        ShortKind::Text => Just(text(column)).boxed(),
        ShortKind::Count => {
            let (least, most) = column.range_in(System::Us).expect("counts have ranges");
            let (least, most) = (least.parse::<u32>(), most.parse::<u32>());
            let (least, most) = (least.expect("a count"), most.expect("a count"));
            (least..=most.min(20))
                .prop_map(|count| count.to_string())
                .boxed()
        }
        _ => {
            let (least, most) = column.range_in(System::Us).expect("quantities have ranges");
            prop::sample::select(vec![least, most, middle(least, most)])
                .prop_map(str::to_owned)
                .boxed()
        }
    };
    if column.required {
        return filled;
    }
    prop_oneof![3 => Just(String::new()), 1 => filled].boxed()
}

fn text(column: &ShortColumn) -> String {
    match column.name.as_str() {
        "rule_set" => "ada-2010".to_owned(),
        "book" => "demo".to_owned(),
        _ => "East entrance".to_owned(),
    }
}

/// Some value between two ends, as a text that does not go away.
fn middle(least: &'static str, most: &'static str) -> &'static str {
    match (least, most) {
        (_, "20 ft") => "30 in",
        (_, "400 ft") => "28 ft",
        (_, "50 %") => "8 %",
        (_, "40 ft") => "66 in",
        (least, _) => least,
    }
}

fn line() -> impl Strategy<Value = Vec<String>> {
    let cells: Vec<BoxedStrategy<String>> = short_columns().iter().map(cell).collect();
    cells
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn a_line_within_its_ranges_is_a_job_or_names_its_columns(cells in line()) {
        let names: Vec<&str> = short_columns().iter().map(|column| column.name.as_str()).collect();
        let heading = ShortHeading::bind(&names);
        let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
        match heading.read(&cells, '.') {
            Ok(short) => {
                let day = Day::parse("2026-05-04").expect("a day");
                prop_assert!(expand(short.sent, day).is_ok());
            }
            Err(faults) => {
                for fault in &faults.0 {
                    let column = fault.column.as_deref().unwrap_or_default();
                    prop_assert!(names.contains(&column), "{:?}", fault);
                }
            }
        }
    }

    /// No text in any cell makes it panic, and every fault names the cell's own column or one beside.
    #[test]
    fn any_text_in_any_cell_is_answered(place in 0..short_columns().len(), text in "\\PC{0,12}") {
        let column = &short_columns()[place];
        let line = [("rise_in", "14"), (column.name.as_str(), text.as_str())];
        if let Err(faults) = read(&line) {
            for fault in &faults.0 {
                prop_assert!(fault.column.is_some(), "{:?}", fault);
            }
        }
    }
}

/// A whole job with every column set, as a query: it must fit into the address of a spreadsheet.
#[test]
fn a_whole_line_is_a_short_address() {
    let mut query = String::from("/v1/row?");
    for column in short_columns() {
        let form = column
            .forms()
            .into_iter()
            .nth(1)
            .unwrap_or_else(|| column.name.clone());
        let value = match column.kind {
            ShortKind::Date => "2026-05-11",
            ShortKind::Text => "ada-2010",
            ShortKind::Choice => column.words.last().map_or("", String::as_str),
            ShortKind::YesNo => "yes",
            _ => "12.25",
        };
        query.push_str(&format!("{form}={value}&"));
    }
    assert!(query.len() < 900, "{} characters: {query}", query.len());
}
