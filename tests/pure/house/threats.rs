//! The threats of DEVELOPERS.md: every guard and every test that it names is there.
//!
//! Invariant: a row names a file that guards and at least one test. Absent: whether the test would fail without
//! its guard, which has to be tried.

use super::{Source, hold, planted, refuse, source};
use std::fs;

const HEADING: &str = "## Threats";

/// The rows of the table, each as its cells.
fn rows(document: &str) -> Vec<Vec<&str>> {
    let (_, rest) = document.split_once(HEADING).unwrap_or_default();
    let section = rest.split("\n## ").next().unwrap_or_default();
    let rows = section.lines().filter(|line| line.starts_with("| "));
    rows.skip(1)
        .map(|row| row.trim_matches('|').split('|').map(str::trim).collect())
        .filter(|cells: &Vec<&str>| !cells[0].starts_with("---"))
        .collect()
}

/// What stands in backquotes.
fn quoted(cell: &str) -> impl Iterator<Item = &str> {
    cell.split('`').skip(1).step_by(2)
}

/// What a row names that is not there; `text_of` reads a file.
fn missing(row: &[&str], text_of: impl Fn(&str) -> Option<String>) -> Vec<String> {
    let [threat, guard, tests] = row else {
        return vec![format!("{row:?}: a row is threat, guard, test")];
    };
    let mut breaches = Vec::new();
    let mut named = 0;
    for path in quoted(guard).filter(|path| path.contains('/')) {
        named += 1;
        if text_of(path).is_none() {
            breaches.push(format!("{threat}: no {path}"));
        }
    }
    let tests: Vec<&str> = quoted(tests).collect();
    for test in &tests {
        let (path, name) = test.rsplit_once("::").unwrap_or((test, ""));
        let text = text_of(path).unwrap_or_default();
        if name.is_empty() || !text.contains(&format!("fn {name}(")) {
            breaches.push(format!("{threat}: no {test}"));
        }
    }
    if named == 0 || tests.is_empty() {
        breaches.push(format!("{threat}: names no guard or no test"));
    }
    breaches
}

fn read(path: &str) -> Option<String> {
    fs::read_to_string(source::top().join(path)).ok()
}

#[test]
fn every_threat_has_a_guard_and_a_test_that_are_there() {
    let document = read("DEVELOPERS.md").expect("it is there");
    let rows = rows(&document);
    assert!(rows.len() > 20, "nothing was looked at");
    refuse(rows.iter().flat_map(|row| missing(row, read)).collect());
}

#[test]
fn a_planted_row_is_found() {
    let held = |path: &str| (path == "src/a.rs").then(|| "fn holds() {}".to_owned());
    let found = |row: &str| {
        let text = format!(
            "{HEADING}\n\n| threat | guard | test |\n| --- | --- | --- |\n{row}\n\n## Next"
        );
        let rows = rows(&text);
        assert_eq!(rows.len(), 1);
        missing(&rows[0], held).len()
    };
    assert_eq!(found("| a | `src/a.rs` | `src/a.rs::holds` |"), 0);
    assert_eq!(
        found("| a | a library, seen in `src/a.rs` | `src/a.rs::holds`, `src/a.rs::holds` |"),
        0
    );
    assert_eq!(found("| a | `src/b.rs` | `src/a.rs::holds` |"), 1);
    assert_eq!(found("| a | `src/a.rs` | `src/a.rs::hold` |"), 1);
    assert_eq!(found("| a | `src/a.rs` | `src/a.rs` |"), 1);
    assert_eq!(found("| a | none | none |"), 1);
    assert_eq!(found("| a | `src/a.rs` |"), 1);
}

/// The files that put a statement together, from constants of their own; every other one is written down, and
/// the library takes no text that is not.
const STATEMENTS: [&str; 2] = ["src/book/moving.rs", "src/book/open.rs"];

fn puts_together(source: &Source) -> Vec<String> {
    let asserts = source.text.contains("AssertSqlSafe(");
    let elsewhere = asserts && !STATEMENTS.contains(&source.path.as_str());
    elsewhere
        .then(|| format!("{}: puts a statement together", source.path))
        .into_iter()
        .collect()
}

#[test]
fn no_statement_is_put_together_from_words() {
    hold(&source::rust(), puts_together);
    let text = "sqlx::query(AssertSqlSafe(statement))";
    assert_eq!(planted(puts_together, "src/book/open.rs", text), 0);
    assert_eq!(planted(puts_together, "src/book/steps.rs", text), 1);
}
