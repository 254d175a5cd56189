//! The licences of everything that is linked in: permissive ones only.
//!
//! Invariants: read from the package manager's own metadata, without the network; an expression
//! passes when a choice of its parts is on the list.

use super::{refuse, source};
use serde_json::Value;
use std::process::Command;

/// Licences that ask for no more than their text and a notice.
const PERMISSIVE: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "CDLA-Permissive-2.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Whether an SPDX expression can be kept with permissive licences alone.
fn is_permissive(expression: &str) -> bool {
    let spaced = expression
        .replace('/', " OR ")
        .replace('(', " ( ")
        .replace(')', " ) ");
    let spaced = spaced
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" WITH ", "+WITH+");
    let words: Vec<&str> = spaced.split(' ').collect();
    let mut rest = &words[..];
    any_of(&mut rest) && rest.is_empty()
}

fn any_of(rest: &mut &[&str]) -> bool {
    let mut holds = all_of(rest);
    while take(rest, "OR") {
        // Both sides are read, whatever the first one gave.
        holds = all_of(rest) || holds;
    }
    holds
}

fn all_of(rest: &mut &[&str]) -> bool {
    let mut holds = one(rest);
    while take(rest, "AND") {
        holds = one(rest) && holds;
    }
    holds
}

fn one(rest: &mut &[&str]) -> bool {
    if take(rest, "(") {
        let holds = any_of(rest);
        return take(rest, ")") && holds;
    }
    let Some((first, after)) = rest.split_first() else {
        return false;
    };
    *rest = after;
    PERMISSIVE.contains(&first.replace("+WITH+", " WITH ").as_str())
}

fn take(rest: &mut &[&str], word: &str) -> bool {
    let found = rest.first() == Some(&word);
    if found {
        *rest = &rest[1..];
    }
    found
}

fn run(program: &str, arguments: &[&str]) -> String {
    let ran = Command::new(program)
        .args(arguments)
        .current_dir(source::top())
        .output();
    let ran = ran.expect("the program runs");
    assert!(
        ran.status.success(),
        "{program}: {}",
        String::from_utf8_lossy(&ran.stderr)
    );
    String::from_utf8(ran.stdout).expect("text")
}

/// The kind of machine that packages were fetched for; those of others are not here to be read.
fn host() -> String {
    let told = run("rustc", &["-vV"]);
    let host = told.lines().find_map(|line| line.strip_prefix("host: "));
    host.expect("the compiler names its host").to_owned()
}

#[test]
fn every_dependency_is_permissive() {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let host = host();
    let asked = [
        "metadata",
        "--offline",
        "--locked",
        "--format-version=1",
        "--filter-platform",
        &host,
    ];
    let told: Value = serde_json::from_str(&run(&cargo, &asked)).expect("JSON");
    let packages = told["packages"].as_array().expect("a list");
    assert!(packages.len() > 50, "nothing was looked at");
    let refused = packages
        .iter()
        .filter(|package| !package["license"].as_str().is_some_and(is_permissive));
    refuse(
        refused
            .map(|package| format!("{}: {}", package["name"], package["license"]))
            .collect(),
    );
}

#[test]
fn a_planted_licence_is_found() {
    let cases = [
        ("MIT", true),
        ("MIT/Apache-2.0", true),
        ("MIT OR GPL-3.0-only", true),
        ("(MIT OR Apache-2.0) AND Unicode-3.0", true),
        ("Apache-2.0 WITH LLVM-exception OR MIT", true),
        ("MIT OR Apache-2.0 OR LGPL-2.1-or-later", true),
        ("GPL-3.0-only", false),
        ("MIT AND MPL-2.0", false),
        ("LGPL-2.1-or-later OR AGPL-3.0-only", false),
        (
            "(MIT OR Apache-2.0) AND GPL-2.0-only WITH Classpath-exception-2.0",
            false,
        ),
        ("", false),
        ("MIT MIT", false),
    ];
    for (expression, permissive) in cases {
        assert_eq!(is_permissive(expression), permissive, "{expression}");
    }
}
