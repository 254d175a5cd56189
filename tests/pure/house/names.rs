//! What files and modules are called, and how each opens.
//!
//! Invariants: every Rust file says at its top what lives in it; no module has a name that would fit
//! anything; the entry point stays short.

use super::{Source, hold, planted, rooms::ROOMS, source};

/// Names that fit anything say nothing.
const EMPTY: &[&str] = &[
    "utils", "util", "helpers", "helper", "common", "manager", "managers", "service", "services",
    "misc", "stuff", "base", "core", "types",
];

/// Most lines of `src/main.rs`.
const ENTRY_LINES: usize = 20;

fn without_opening(source: &Source) -> Vec<String> {
    let first = source.text.lines().next().unwrap_or_default();
    let says = first
        .strip_prefix("//! ")
        .is_some_and(|said| said.trim().len() > 10);
    if says {
        return Vec::new();
    }
    vec![format!(
        "{}: does not open with `//!` and what lives there",
        source.path
    )]
}

fn empty_names(source: &Source) -> Vec<String> {
    let modules = source.modules();
    let empty = modules.iter().filter(|name| EMPTY.contains(*name));
    empty
        .map(|name| format!("{}: `{name}` fits anything", source.path))
        .collect()
}

fn long_entry(source: &Source) -> Vec<String> {
    let lines = source.text.lines().count();
    let long = source.path == "src/main.rs" && lines >= ENTRY_LINES;
    let say = || {
        format!(
            "{}: {lines} lines, and it stays under {ENTRY_LINES}",
            source.path
        )
    };
    long.then(say).into_iter().collect()
}

#[test]
fn every_file_opens_with_what_lives_there() {
    hold(&source::rust(), without_opening);
    hold(&source::below("tests", ".rs"), without_opening);
}

#[test]
fn every_module_is_a_noun_of_the_trade() {
    hold(&source::rust(), empty_names);
}

#[test]
fn the_entry_point_is_short() {
    hold(&source::rust(), long_entry);
}

/// The map for developers names every room that is there.
#[test]
fn the_map_names_every_room() {
    let map = std::fs::read_to_string(source::top().join("DEVELOPERS.md")).expect("a map");
    let files = source::rust();
    for room in ROOMS
        .iter()
        .filter(|room| files.iter().any(|file| file.room() == Some(room.name)))
    {
        let named = map
            .lines()
            .any(|line| line.starts_with('|') && line.contains(&format!("`{}`", room.name)));
        assert!(
            named,
            "DEVELOPERS.md does not name `{}` in its table",
            room.name
        );
    }
}

#[test]
fn planted_names_are_found() {
    assert_eq!(
        planted(without_opening, "src/job/a.rs", "use b;\n//! Late."),
        1
    );
    assert_eq!(planted(without_opening, "src/job/a.rs", "//!\n"), 1);
    assert_eq!(
        planted(without_opening, "src/job/a.rs", "//! What a thing is.\n"),
        0
    );
    assert_eq!(planted(empty_names, "src/job/utils.rs", ""), 1);
    assert_eq!(planted(empty_names, "src/common/mod.rs", ""), 1);
    assert_eq!(planted(empty_names, "src/job/commons.rs", ""), 0);
    assert_eq!(planted(long_entry, "src/main.rs", &"\n".repeat(20)), 1);
    assert_eq!(planted(long_entry, "src/main.rs", &"\n".repeat(19)), 0);
}
