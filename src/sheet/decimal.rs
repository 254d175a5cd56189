//! Decimal numbers as text: how a column's reader asks for one, and how a workbook's float is shown.
//!
//! Invariants: a number with a thousands mark, a currency sign or a blank inside is refused, never
//! guessed; what comes out has a point, a digit before it, and no sign `+`.

use super::Dialect;

/// A cell that is no number, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{accepted}")]
pub struct NumberFault {
    /// What is accepted, in a sentence for people.
    pub accepted: String,
    /// A number that would be accepted.
    pub example: String,
}

/// Reads a cell as a decimal number with the decimal mark of its dialect, and writes it with a point.
///
/// # Errors
/// What to write instead, where the cell is empty or holds anything but a sign, digits and one
/// decimal mark.
pub fn plain_number(cell: &str, dialect: Dialect) -> Result<String, NumberFault> {
    let mark = dialect.decimal_mark();
    let cell = cell.trim();
    let (sign, digits) = match cell.strip_prefix(['+', '-']) {
        Some(digits) if cell.starts_with('-') => ("-", digits),
        Some(digits) => ("", digits),
        None => ("", cell),
    };
    let (whole, places) = digits.split_once(mark).unwrap_or((digits, "0"));
    let all_digits = |text: &str| text.bytes().all(|one| one.is_ascii_digit());
    let marked = digits.contains(mark);
    let readable = all_digits(whole) && all_digits(places) && !places.is_empty();
    if !readable || (whole.is_empty() && !marked) {
        return Err(refusal(cell, mark));
    }
    let whole = if whole.is_empty() { "0" } else { whole };
    let point = if marked { "." } else { "" };
    let places = if marked { places } else { "" };
    Ok(format!("{sign}{whole}{point}{places}"))
}

/// What to write, as plain as can be told from what stands there.
fn refusal(cell: &str, mark: char) -> NumberFault {
    let marks = cell.chars().filter(|one| matches!(one, '.' | ',')).count();
    let strange = |one: char| !one.is_ascii_digit() && !matches!(one, '.' | ',' | '+' | '-');
    let accepted = if cell.is_empty() {
        "a number, and the cell is empty".to_owned()
    } else if cell.contains(strange) || marks == 0 {
        format!(
            "a number alone: digits and at most one “{mark}”, no unit, currency sign or blank in it"
        )
    } else if marks > 1 {
        format!("a number without thousands marks, with “{mark}” before its decimals")
    } else {
        format!("a number with “{mark}” before its decimals, as goes with this file's delimiter")
    };
    NumberFault {
        accepted,
        example: format!("1234{mark}56"),
    }
}

/// Whether a text is a number with either decimal mark, so that no spreadsheet runs it.
pub(super) fn is_number(text: &str) -> bool {
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    let parts: Vec<&str> = digits.split(['.', ',']).collect();
    let plain = |part: &&str| !part.is_empty() && part.bytes().all(|one| one.is_ascii_digit());
    parts.len() <= 2 && parts.iter().all(plain)
}

/// How far a float may lie from a decimal of four places and still be meant as it, as a share.
const NOISE: f64 = 1e-9;

/// A float as the shortest decimal that is meant by it; none where it is not finite.
///
/// Noise of computing in binary (`0.1 + 0.2`) is taken off where a decimal of four places lies
/// within a share of 1e-9.
pub(super) fn shortest(value: f64) -> Option<String> {
    if !value.is_finite() {
        return None;
    }
    let near = (value * 1e4).round() / 1e4;
    let meant = if (value - near).abs() <= NOISE * value.abs() {
        near
    } else {
        value
    };
    // A negative zero is a zero.
    let meant = if meant == 0.0 { 0.0 } else { meant };
    Some(meant.to_string())
}

/// A decimal number with a point and nothing needless: no `+`, no zeros at either end, no `-0`.
/// None where the text is no such number.
pub(super) fn plain(number: &str) -> Option<String> {
    let read = plain_number(number, Dialect::default()).ok()?;
    let (sign, digits) = match read.strip_prefix('-') {
        Some(digits) => ("-", digits),
        None => ("", read.as_str()),
    };
    let (whole, places) = digits.split_once('.').unwrap_or((digits, ""));
    let whole = whole.trim_start_matches('0');
    let whole = if whole.is_empty() { "0" } else { whole };
    let places = places.trim_end_matches('0');
    Some(match (whole, places) {
        ("0", "") => "0".to_owned(),
        (whole, "") => format!("{sign}{whole}"),
        (whole, places) => format!("{sign}{whole}.{places}"),
    })
}
