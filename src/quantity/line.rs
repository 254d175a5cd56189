//! What may stand in one line of words: a name, a place, a note.
//!
//! Invariant: a text of such characters breaks no line of a table, a ledger or a log, can be written as
//! XML, and does not turn what is written after it. Absent: lengths, and which fields hold words.

/// Whether a character may stand in a line of words.
///
/// # Source
/// Extensible Markup Language 1.0, production 2, from memory: no control characters, no U+FFFE and
/// U+FFFF. Departs: line ends and tabs are refused too, since a ledger reads by lines, and so are the signs that turn the direction of what follows without end.
pub fn may_stand(c: char) -> bool {
    let turns = matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
    let breaks = matches!(c, '\u{2028}' | '\u{2029}');
    !(c.is_control() || turns || breaks || matches!(c, '\u{FFFE}' | '\u{FFFF}'))
}

/// Whether words stand on one line of at most so many characters.
pub fn is_line(words: &str, most: usize) -> bool {
    words.chars().count() <= most && words.chars().all(may_stand)
}
