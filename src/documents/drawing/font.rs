//! The font of drawings: an open sans in two weights, kept beside this file with its licence.
//!
//! Invariants: what is written is as wide as is reckoned here; a letter that the font lacks is drawn as a
//! question mark. Absent: shaping of scripts that need it.

use std::borrow::Cow;
use std::sync::LazyLock;
use ttf_parser::Face;

/// The font's files.
pub(super) const REGULAR: &[u8] = include_bytes!("font/condensed.ttf");
pub(super) const BOLD: &[u8] = include_bytes!("font/condensed-bold.ttf");

static FACES: LazyLock<[Face<'static>; 2]> = LazyLock::new(|| {
    [REGULAR, BOLD].map(|file| Face::parse(file, 0).expect("the embedded font is read by a test"))
});

fn face(bold: bool) -> &'static Face<'static> {
    &FACES[usize::from(bold)]
}

/// Advance of a letter, in the font's units.
fn advance(face: &Face<'_>, letter: char) -> u16 {
    let glyph = face.glyph_index(letter).or_else(|| face.glyph_index('?'));
    glyph
        .and_then(|glyph| face.glyph_hor_advance(glyph))
        .unwrap_or(0)
}

/// Advances of the letters that nearly every word is made of.
static COMMON: LazyLock<[[u16; 128]; 2]> = LazyLock::new(|| {
    let of = |face: &Face<'_>| std::array::from_fn(|n| advance(face, char::from(n as u8)));
    [of(face(false)), of(face(true))]
});

/// How wide words are in letters of a size, both in millimetres.
pub fn width_of(words: &str, size: f64, bold: bool) -> f64 {
    let face = face(bold);
    let common = &COMMON[usize::from(bold)];
    let known = |letter: char| common.get(letter as usize).copied();
    let wide = |letter: char| known(letter).unwrap_or_else(|| advance(face, letter));
    let units: f64 = words.chars().map(|letter| f64::from(wide(letter))).sum();
    units / f64::from(face.units_per_em()) * size
}

/// Words of which the font holds every letter.
pub fn drawable(words: &str) -> Cow<'_, str> {
    let holds = |letter: char| FACES.iter().all(|face| face.glyph_index(letter).is_some());
    if words.bytes().all(|byte| (b' '..=b'~').contains(&byte)) || words.chars().all(holds) {
        return Cow::Borrowed(words);
    }
    words
        .chars()
        .map(|letter| if holds(letter) { letter } else { '?' })
        .collect::<String>()
        .into()
}
