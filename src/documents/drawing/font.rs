//! Widths of words.

use std::borrow::Cow;

/// Width of words in millimetres.
pub fn width_of(words: &str, size: f64, bold: bool) -> f64 {
    let each = if bold { 0.6 } else { 0.55 };
    words.chars().count() as f64 * size * each
}

/// Words of which every letter can be drawn.
pub fn drawable(words: &str) -> Cow<'_, str> {
    Cow::Borrowed(words)
}
