//! What stands at the top of the repository: these names and no others.

use super::{refuse, source};
use std::process::Command;

const NAMES: &[&str] = &[
    ".ci",
    ".gitignore",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "benches",
    "docker",
    "examples",
    "migrations",
    "openapi",
    "src",
    "tests",
];

fn strangers(names: &[&str]) -> Vec<String> {
    let strange = names.iter().filter(|name| !NAMES.contains(*name));
    strange
        .map(|name| format!("`{name}` does not belong at the top"))
        .collect()
}

/// What is under version control, so that a stray file of one's own does not count.
#[test]
fn nothing_strange_stands_at_the_top() {
    let listed = Command::new("git")
        .args(["ls-tree", "--name-only", "HEAD"])
        .current_dir(source::top())
        .output()
        .expect("git runs; install it (Debian: apt-get install git)");
    assert!(
        listed.status.success(),
        "the tests run in a clone: {listed:?}"
    );
    let listed = String::from_utf8_lossy(&listed.stdout);
    let names: Vec<&str> = listed.lines().collect();
    assert!(names.contains(&"Cargo.toml"), "nothing was looked at");
    refuse(strangers(&names));
}

#[test]
fn a_planted_stranger_is_found() {
    assert_eq!(strangers(&["src", "notes.txt", ".ci"]).len(), 1);
    assert_eq!(strangers(NAMES).len(), 0);
}
