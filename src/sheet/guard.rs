//! The apostrophe that keeps a spreadsheet from taking a text for a formula.
//!
//! Invariant: taking it off undoes putting it on, for every text. A text that begins with
//! apostrophes and then such a mark gets one more, so that its own are not taken off.

use super::decimal::is_number;
use std::borrow::Cow;

/// What a formula can begin with, as spreadsheets read CSV.
///
/// # Source
/// Common practice, no source.
const MARKS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// Whether a text would be run, with or without apostrophes before it.
fn is_marked(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(MARKS)
}

/// A text as it is written into a table, with an apostrophe before what would be run.
pub fn guarded(text: &str) -> Cow<'_, str> {
    match needs_guard(text) {
        true => Cow::Owned(format!("'{text}")),
        false => Cow::Borrowed(text),
    }
}

/// Whether a text has to be written with an apostrophe before it.
fn needs_guard(text: &str) -> bool {
    is_marked(text) && !is_number(text)
}

/// A cell without the apostrophe that guarded it.
pub(super) fn unguard(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if is_marked(rest) => rest,
        _ => cell,
    }
}
