//! Entries that beancount reads.
//!
//! Invariant: texts are quoted, with quotes and backslashes escaped. Absent: which accounts a ledger has open already.

use crate::billing::{Entry, Journal};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// A journal in the form of beancount; `open` begins with directives that open each of its accounts, for a file
/// that stands by itself.
pub fn write_beancount(journal: &Journal, open: bool) -> String {
    let mut text = String::new();
    if open {
        for (account, (day, currencies)) in first_days(journal) {
            // Into a text, which takes all there is.
            let _ = writeln!(text, "{day} open {account} {}", currencies.join(","));
        }
        text.push('\n');
    }
    let entries: Vec<String> = journal.entries.iter().map(write_entry).collect();
    text + &entries.join("\n")
}

/// The first day of each account, and its currencies.
fn first_days(journal: &Journal) -> BTreeMap<&str, (crate::job::Day, Vec<String>)> {
    let mut days = BTreeMap::new();
    for entry in &journal.entries {
        let code = entry.currency.code();
        for posting in &entry.postings {
            let known = days.entry(posting.account.as_str());
            let (day, currencies): &mut (crate::job::Day, Vec<String>) =
                known.or_insert((entry.date, Vec::new()));
            *day = (*day).min(entry.date);
            if !currencies.iter().any(|known| known == code) {
                currencies.push(code.to_owned());
            }
        }
    }
    days
}

fn write_entry(entry: &Entry) -> String {
    let (payee, what) = (quoted(&entry.payee), quoted(&entry.description));
    let mut text = format!("{} * {payee} {what}\n", entry.date);
    for (key, value) in [
        ("id", &entry.id),
        ("document", &entry.document),
        ("job", &entry.job),
    ] {
        if !value.is_empty() {
            let _ = writeln!(text, "  {key}: {}", quoted(value));
        }
    }
    for posting in &entry.postings {
        let amount = posting.signed();
        let _ = writeln!(text, "  {}  {amount} {}", posting.account, entry.currency);
        let _ = writeln!(text, "    note: {}", quoted(&posting.description));
    }
    text
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
