//! Words of refusals. Absent: what is refused, and why.

/// A number and what is counted.
pub(super) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// A text as a sentence: with a capital and a full stop.
pub(super) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|letter| letter.to_ascii_uppercase());
    format!(
        "{}{}.",
        first.unwrap_or_default(),
        letters.as_str().trim_end_matches('.')
    )
}
