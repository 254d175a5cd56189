//! Traces of the machine a text was written on.
//!
//! Invariants: no file names a folder of somebody's machine or the host of a package registry; a
//! lock file of the callers has no addresses. Lock files of packages in Rust name their index by the
//! name every such file gives it.

use super::{Source, hold, planted, source};

/// Split, so that this file does not hold what it looks for.
const TRACES: &[&str] = &[
    concat!("/ro", "ot/"),
    concat!("/ho", "me/"),
    concat!("/Us", "ers/"),
    concat!("/wo", "rk/"),
    concat!("/tm", "p/"),
    concat!("registry.", "npmjs"),
    concat!("crates", ".io"),
    concat!("pypi", ".org"),
    concat!("\"resol", "ved\":"),
];

fn traces(source: &Source) -> Vec<String> {
    if source.path.ends_with("Cargo.lock") {
        return Vec::new();
    }
    let mut breaches = Vec::new();
    for (number, line) in source.text.lines().enumerate() {
        for trace in TRACES.iter().filter(|trace| line.contains(**trace)) {
            breaches.push(format!("{}:{}: holds {trace}", source.path, number + 1));
        }
    }
    breaches
}

#[test]
fn no_file_names_a_machine() {
    hold(&source::below("", ""), traces);
}

#[test]
fn a_planted_trace_is_found() {
    let found = |text: &str| planted(traces, "docker/a", text);
    assert_eq!(found(concat!("cd /ro", "ot/project")), 1);
    assert_eq!(
        found(concat!(
            "{ \"resol",
            "ved\": \"https://regi",
            "stry.npmjs.example\" }"
        )),
        2
    );
    assert_eq!(found("cd /usr/lib/postgresql && mktemp -d"), 0);
}
