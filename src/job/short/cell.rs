//! The numbers of a cell, brought into the one notation that quantities are read in.
//!
//! Invariants: a thousands mark, an exponent or a blank inside a number is refused, never guessed;
//! the mark before decimals is the one of the table. Absent: units, ranges.

/// What to write instead of a cell that cannot be read.
pub(super) struct Plain {
    pub(super) accepted: String,
    /// Where another example than that of the column says more.
    pub(super) example: Option<String>,
}

/// A plain number of a unit, as a text with that unit; a sign of percent may stand behind it.
pub(super) fn plain_number(text: &str, unit: &str, mark: char) -> Result<String, Plain> {
    let number = match text.strip_suffix('%') {
        Some(number) if unit == "%" => number.trim_end(),
        _ => text,
    };
    let unsigned = number.strip_prefix(['-', '+']).unwrap_or(number);
    let sign = if number.starts_with('-') { "-" } else { "" };
    let (whole, places) = unsigned.split_once(mark).unwrap_or((unsigned, ""));
    let digits = |text: &str| text.bytes().all(|one| one.is_ascii_digit());
    let marked = unsigned.contains(mark);
    let whole_is = digits(whole) && (!whole.is_empty() || marked);
    if !whole_is || !digits(places) || (marked && places.is_empty()) {
        return Err(Plain {
            accepted: format!(
                "a number alone (its unit is {unit}): digits and at most one “{mark}” before decimals, \
                 no unit, blank, thousands mark or exponent"
            ),
            example: None,
        });
    }
    let point = if marked { "." } else { "" };
    Ok(format!("{sign}{whole}{point}{places} {unit}"))
}

/// A text with a unit whose decimals stand behind a point.
pub(super) fn plain_quantity(text: &str, mark: char) -> Result<String, Plain> {
    if mark == '.' {
        return Ok(text.to_owned());
    }
    let point_in_number = text.as_bytes().windows(2).any(|two| {
        let [first, second] = two else { return false };
        *first == b'.' && second.is_ascii_digit()
    });
    if point_in_number {
        return Err(Plain {
            accepted: format!(
                "“{mark}” before decimals, as goes with this table, and no thousands mark"
            ),
            example: None,
        });
    }
    Ok(text.replace(mark, "."))
}
