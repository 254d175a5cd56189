//! Who names whom.
//!
//! Invariants: test code is held to the table as well; a room is left by `crate::` only, so that
//! every door can be seen.

use super::{
    Source, code, hold, planted,
    rooms::{may_name, room},
    source,
};

/// Rooms named that the table does not allow.
fn foreign_rooms(source: &Source) -> Vec<String> {
    let Some(own) = source.room() else {
        return Vec::new();
    };
    let Some(own) = room(own) else {
        return vec![format!("{}: no room of the table", source.path)];
    };
    let code = code::code(source);
    let tokens = code::tokens(&code);
    let mut breaches = Vec::new();
    for path in code::paths(&tokens) {
        let top = matches!(path.names[0], "crate" | "crossfall");
        let named = path.names[1];
        let allowed = match room(named) {
            Some(_) => may_name(own, named),
            // A function or a type at the top would be a door that the table does not know.
            None => false,
        };
        if top && !allowed {
            breaches.push(format!(
                "{}:{}: `{}` may not name `{named}`",
                source.path, path.line, own.name
            ));
        }
    }
    breaches
}

/// Ways out of a room other than `crate::`.
fn back_doors(source: &Source) -> Vec<String> {
    let code = code::code(source);
    let tokens = code::tokens(&code);
    let depths = inline_depths(&tokens);
    let mut breaches = Vec::new();
    for path in code::paths(&tokens) {
        let ups = path.names.iter().filter(|name| **name == "super").count();
        let depth = source.modules().len() + depths[path.at];
        if ups > 2 || ups >= depth.max(1) {
            breaches.push(format!(
                "{}:{}: `{}` leaves the room by the back door",
                source.path,
                path.line,
                path.names.join("::")
            ));
        }
    }
    breaches
}

/// How many `mod x { … }` of the same file stand around each token.
fn inline_depths(tokens: &[code::Token<'_>]) -> Vec<usize> {
    let mut depths = vec![0; tokens.len()];
    for at in 0..tokens.len() {
        let opens = code::starts(&tokens[at..], &["mod"])
            && tokens.get(at + 2).is_some_and(|token| token.text == "{");
        if opens {
            for depth in &mut depths[at + 2..=code::closing(tokens, at + 2)] {
                *depth += 1;
            }
        }
    }
    depths
}

/// What the crate's top may not do: let a room be named by another name.
fn second_names(source: &Source) -> Vec<String> {
    let code = code::code(source);
    let tokens = code::tokens(&code);
    let mut breaches = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        let next = tokens.get(at + 1).map_or("", |token| token.text);
        let fault = match token.text {
            "use" | "extern" | "macro_rules" => "gives a second name",
            "mod" if room(next).is_none() => "opens a room that is not in the table",
            _ => continue,
        };
        breaches.push(format!("{}:{}: {fault}", source.path, token.line));
    }
    breaches
}

#[test]
fn every_room_names_only_what_it_may() {
    hold(&source::rust(), foreign_rooms);
}

#[test]
fn no_room_is_left_by_the_back_door() {
    hold(&source::rust(), back_doors);
}

#[test]
fn the_top_gives_no_second_names() {
    let top = source::rust();
    let top: Vec<Source> = top
        .into_iter()
        .filter(|file| file.path == "src/lib.rs")
        .collect();
    hold(&top, second_names);
}

#[test]
fn a_planted_import_is_found() {
    let found = |path, text| planted(foreign_rooms, path, text);
    assert_eq!(found("src/job/full.rs", "use crate::geometry::Edge;"), 1);
    assert_eq!(found("src/job/full.rs", "fn a() { crate::http::b() }"), 1);
    let group = "use crate::{\n    quantity::Length,\n    rules::{self, Check},\n    http,\n};";
    assert_eq!(found("src/takeoff/part.rs", group), 3);
    assert_eq!(
        found("src/quantity/mod.rs", "pub use crate::{job as other};"),
        1
    );
    assert_eq!(found("src/quantity/mod.rs", "use crate::*;"), 1);
    assert_eq!(
        found(
            "src/rules/mod.rs",
            "macro_rules! m { () => { $crate::price::x() } }"
        ),
        1
    );
    assert_eq!(
        found(
            "src/rules/mod.rs",
            "#[cfg(test)]\nmod tests { use crate::book::Books; }"
        ),
        1
    );
    assert_eq!(
        found("src/http/a.rs", "use crossfall::startup::Service;"),
        1
    );
    assert_eq!(found("src/helpful/mod.rs", ""), 1);
}

#[test]
fn innocent_imports_are_left_alone() {
    let found = |path, text| planted(foreign_rooms, path, text);
    assert_eq!(
        found(
            "src/job/full.rs",
            "use crate::{job::Way, quantity::{Area, Length}};"
        ),
        0
    );
    assert_eq!(
        found(
            "src/job/full.rs",
            "const A: &str = \"crate::http\"; // crate::http"
        ),
        0
    );
    assert_eq!(
        found(
            "src/job/full.rs",
            "/* a /* crate::http */ crate::price */ fn f<'a>() { '\"'; }"
        ),
        0
    );
    assert_eq!(
        found("src/job/full.rs", "use other::http; use self::rules::a;"),
        0
    );
    assert_eq!(
        found("src/estimate/mod.rs", "use crate::{price, rules};"),
        0
    );
    assert_eq!(
        found("src/main.rs", "fn main() { crossfall::cli::run() }"),
        0
    );
}

#[test]
fn a_planted_back_door_is_found() {
    let found = |path, text| planted(back_doors, path, text);
    assert_eq!(
        found("src/job/expand/path.rs", "use super::super::super::rules;"),
        1
    );
    assert_eq!(
        found(
            "src/job/expand/path.rs",
            "use super::{a, super::{super::http}};"
        ),
        1
    );
    assert_eq!(found("src/job/full.rs", "use super::super::rules;"), 1);
    assert_eq!(found("src/job/mod.rs", "use super::rules;"), 1);
    assert_eq!(
        found("src/job/mod.rs", "mod tests { use super::super::rules; }"),
        1
    );
    assert_eq!(found("src/job/expand/path.rs", "use super::super::Job;"), 0);
    assert_eq!(found("src/job/mod.rs", "mod tests { use super::*; }"), 0);
    assert_eq!(
        found(
            "src/job/full.rs",
            "use super::{a, b}; // super::super::rules"
        ),
        0
    );
}

#[test]
fn a_planted_second_name_is_found() {
    let found = |text: &str| planted(second_names, "src/lib.rs", text);
    assert_eq!(found("pub use rules::Check;"), 1);
    assert_eq!(found("pub mod anything;"), 1);
    assert_eq!(
        found("pub mod rules;\n#[cfg(feature = \"service\")]\npub mod http;"),
        0
    );
}
