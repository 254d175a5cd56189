//! The jobs that come with the project, written out in the full form, said on one line.

use super::{full, job};
use serde_json::{Value, json};
use std::path::Path;

/// An example as it stands in the project, with the changes that the short form has no column for.
fn example(name: &str, changes: &[(&str, Value)]) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name);
    let text = std::fs::read_to_string(path).expect("the example");
    let mut sent: Value = serde_json::from_str(&text).expect("JSON");
    for (pointer, value) in changes {
        *sent.pointer_mut(pointer).expect(pointer) = value.clone();
    }
    full(&sent.to_string())
}

#[test]
fn the_straight_example_fits_on_a_line() {
    let line = job(&[
        ("job", "Larkfield branch library, side entrance (invented)"),
        ("exposure", "F2"),
        ("start", "2026-05-11"),
        ("width", "5 ft 6 in"),
        ("rise_in", "24"),
        ("length", "26 ft 8 in"),
        ("door_leaf_in", "36"),
        ("beyond_latch_in", "20"),
        ("spacing_in", "18"),
        ("book", "demo"),
        ("as_of", "2026-05-04"),
    ]);
    let truck = ("/site/truck_to_pour", json!("10 ft"));
    assert_eq!(
        line,
        example("straight.json", &[truck, ("/basis", json!({}))])
    );
}

#[test]
fn the_switchback_example_fits_on_a_line() {
    let line = job(&[
        ("job", "Larkfield meeting hall, rear entrance (invented)"),
        ("start", "2026-07-06"),
        ("rise_in", "20"),
        ("length", "22 ft 4 in"),
        ("runs", "2"),
        ("turn", "back_right"),
        ("foot", "existing"),
        ("door_leaf", "3 ft"),
        ("beyond_latch", "2 ft"),
        ("place", "barrow"),
        ("book", "demo"),
        ("as_of", "2026-05-04"),
    ]);
    let truck = ("/site/truck_to_pour", json!("10 ft"));
    // The short form's landings are as wide as its runs.
    let head = ("/ramp/path/4/width", json!("5 ft"));
    assert_eq!(line, example("switchback.json", &[truck, head]));
}

#[test]
fn the_l_example_fits_on_a_line_but_for_walls_that_begin_halfway() {
    let line = job(&[
        ("job", "Larkfield clinic, east entrance (invented)"),
        ("start", "2026-06-01"),
        ("exposure", "F3"),
        ("rise_in", "24"),
        ("length", "26 ft 8 in"),
        ("runs", "2"),
        ("turn", "left"),
        ("door_leaf_in", "36"),
        ("beyond_latch_in", "18"),
        ("door_opens", "onto"),
        ("insulation_in", "2"),
        ("book", "demo"),
        ("as_of", "2026-05-04"),
    ]);
    let formed = |pointer| (pointer, json!("formed"));
    let changes = [
        ("/site/truck_to_pour", json!("10 ft")),
        ("/base/material", json!("dense_graded_stone")),
        formed("/ramp/path/3/edges/right"),
        formed("/ramp/path/4/edges/right"),
    ];
    // A landing where the way turns is 5 ft wide and clear beside its curb: 5 ft 6 in.
    assert_eq!(line, example("l-shape.json", &changes));
}
