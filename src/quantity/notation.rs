//! How people write: the marks that mean the same, and the fractions of the tape, as rows.
//!
//! Invariants: the reader and the published pattern are both made from these rows, so neither
//! accepts a mark the other does not know. Absent here: units, numbers as values.

/// Longest text that is read.
pub const TEXT_AT_MOST: usize = 64;
/// Most digits before the point.
pub(super) const WHOLE_DIGITS: usize = 12;
/// Most digits after the point.
pub(super) const DECIMALS: usize = 30;

/// A plain mark, and what stands for it in typeset text.
pub(super) const MARKS: &[(char, &[char])] = &[
    (
        ' ',
        &[
            '\u{a0}', '\u{2007}', '\u{2009}', '\u{200a}', '\u{202f}', '\t',
        ],
    ),
    ('-', &['−', '–', '‐', '‑']),
    ('\'', &['′', '’', '‘']),
    ('"', &['″', '”', '“']),
    ('/', &['⁄', '∕']),
    (':', &['∶']),
    ('°', &['º']),
];

/// Raised digits, which mean the digit only in a unit, as in `m²`.
pub(super) const RAISED: &[(char, char)] = &[('2', '²'), ('3', '³')];

/// Fractions in one character.
pub(super) const VULGAR: &[(char, &str)] = &[
    ('½', "1/2"),
    ('¼', "1/4"),
    ('¾', "3/4"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
];

/// The denominators a tape or a drawing uses.
pub(super) const DENOMINATORS: &[u32] = &[2, 3, 4, 8, 16, 32, 64];

/// Rewrites a text in plain marks: one space at most, ASCII primes and minus, fractions spelled.
pub(super) fn normalise(text: &str) -> String {
    let mut plain = String::with_capacity(text.len() + 8);
    let mut after_vulgar = false;
    for mark in text.chars() {
        let mark = plain_mark(mark);
        if let Some((_, spelled)) = VULGAR.iter().find(|(one, _)| *one == mark) {
            if plain.ends_with(|last: char| last.is_ascii_digit()) {
                plain.push(' ');
            }
            plain.push_str(spelled);
            after_vulgar = true;
            continue;
        }
        // A digit after a fraction must not lengthen its denominator.
        if after_vulgar && mark.is_ascii_digit() {
            plain.push(' ');
        }
        after_vulgar = false;
        if mark != ' ' || !plain.ends_with(' ') {
            plain.push(mark);
        }
    }
    plain.trim_matches(' ').replace("''", "\"")
}

fn plain_mark(mark: char) -> char {
    MARKS
        .iter()
        .find(|(_, alike)| alike.contains(&mark))
        .map_or(mark, |(plain, _)| *plain)
}

/// A unit with its raised digits let down. Not part of [`normalise`]: `2 ft² 3` is no `2 ft 23`.
pub(super) fn lowered(unit: &str) -> String {
    let lower = |mark| {
        RAISED
            .iter()
            .find(|(_, raised)| *raised == mark)
            .map_or(mark, |(digit, _)| *digit)
    };
    unit.chars().map(lower).collect()
}
