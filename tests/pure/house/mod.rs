//! The house held to its plan: who may know whom, what a file may hold, where figures come from.
//!
//! Invariants: each check is a function from a text to its breaches, and each is shown to find
//! planted ones and to leave innocents alone; a check that looked at nothing fails. The purity of
//! the rooms is proved elsewhere, by compiling them without the feature `service`. Absent: the code
//! of the package; this reads its sources as text.

mod budgets;
mod code;
mod imports;
mod keys;
mod names;
mod rooms;
mod rows;
mod source;
mod statuses;
mod text;
mod threats;
mod top;
mod traces;
mod words;

use source::Source;

/// Fails with every breach, one a line.
fn refuse(breaches: Vec<String>) {
    assert!(
        breaches.is_empty(),
        "the house has {} breaches:\n{}",
        breaches.len(),
        breaches.join("\n")
    );
}

/// Runs one check over sources, of which there must be some.
fn hold(sources: &[Source], check: impl Fn(&Source) -> Vec<String>) {
    assert!(!sources.is_empty(), "nothing was looked at");
    refuse(sources.iter().flat_map(check).collect());
}

/// How many breaches a check finds in a text that is said to stand at a path.
fn planted(check: impl Fn(&Source) -> Vec<String>, path: &str, text: &str) -> usize {
    check(&Source::new(path, text)).len()
}
