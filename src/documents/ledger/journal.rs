//! Entries that hledger and ledger read.
//!
//! Invariant: a sign that begins a comment or parts a payee is written as another. Absent: directives.

use crate::billing::{Entry, Journal};
use std::fmt::Write as _;

/// A journal in the form of hledger and ledger.
pub fn write_ledger(journal: &Journal) -> String {
    let entries: Vec<String> = journal.entries.iter().map(write_entry).collect();
    entries.join("\n")
}

fn write_entry(entry: &Entry) -> String {
    let payee = match entry.payee.is_empty() {
        true => String::new(),
        false => format!("{}, ", plain(&entry.payee)),
    };
    let head = format!(
        "{} * ({}) {payee}{}",
        entry.date,
        entry.document,
        plain(&entry.description)
    );
    let mut text = format!("{head}\n    ; id: {}\n", plain(&entry.id));
    if !entry.job.is_empty() {
        // Into a text, which takes all there is.
        let _ = writeln!(text, "    ; job: {}", plain(&entry.job));
    }
    for posting in &entry.postings {
        let amount = posting.signed();
        let note = plain(&posting.description);
        let _ = writeln!(
            text,
            "    {}  {} {amount}  ; {note}",
            posting.account, entry.currency
        );
    }
    text
}

/// A text that begins no comment and parts no payee. A colon in a comment would make a tag.
fn plain(text: &str) -> String {
    let signs = text.chars().map(|c| match c {
        ';' | '|' => ',',
        '[' | '{' => '(',
        ']' | '}' => ')',
        other => other,
    });
    signs.collect()
}
