//! Rust text parted into code and literals, so that no check is misled by a comment or a string.
//!
//! Invariants: both parts have the lines and columns of the whole; what is not theirs is blank.
//! Absent: macros; what they expand to is not seen.

/// A text in two layers.
pub(super) struct Layers {
    /// Everything but comments, strings and characters.
    pub(super) code: String,
    /// Strings and characters only.
    pub(super) literals: String,
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Code,
    Comment,
    Literal,
}

/// Parts a Rust text.
pub(super) fn part(text: &str) -> Layers {
    let chars: Vec<char> = text.chars().collect();
    let mut kinds = Vec::with_capacity(chars.len());
    while kinds.len() < chars.len() {
        let at = kinds.len();
        let (kind, end) = span(&chars, at);
        kinds.resize(end.clamp(at + 1, chars.len()), kind);
    }
    let layer = |wanted| {
        let shown = |(one, kind): (&char, &Kind)| match *one {
            '\n' => '\n',
            other if *kind == wanted => other,
            _ => ' ',
        };
        chars.iter().zip(&kinds).map(shown).collect()
    };
    Layers {
        code: layer(Kind::Code),
        literals: layer(Kind::Literal),
    }
}

/// What begins at a place, and where it ends.
fn span(chars: &[char], at: usize) -> (Kind, usize) {
    let next = chars.get(at + 1).copied();
    let inside_word = at > 0 && (chars[at - 1].is_alphanumeric() || chars[at - 1] == '_');
    match chars[at] {
        '/' if next == Some('/') => (Kind::Comment, find(chars, at, |one| one == '\n')),
        '/' if next == Some('*') => (Kind::Comment, end_of_block(chars, at)),
        '"' => (Kind::Literal, end_of_quoted(chars, at, '"')),
        'r' | 'b' | 'c' if !inside_word => end_of_raw(chars, at),
        '\'' if next == Some('\\') || chars.get(at + 2) == Some(&'\'') => {
            (Kind::Literal, end_of_quoted(chars, at, '\''))
        }
        _ => (Kind::Code, at + 1),
    }
}

fn find(chars: &[char], from: usize, wanted: impl Fn(char) -> bool) -> usize {
    let found = chars[from..].iter().position(|one| wanted(*one));
    found.map_or(chars.len(), |offset| from + offset)
}

fn end_of_block(chars: &[char], at: usize) -> usize {
    let mut depth = 0_usize;
    let mut place = at;
    while place < chars.len() {
        match (chars[place], chars.get(place + 1)) {
            ('/', Some('*')) => depth += 1,
            ('*', Some('/')) => depth -= 1,
            _ => {
                place += 1;
                continue;
            }
        }
        place += 2;
        if depth == 0 {
            break;
        }
    }
    place
}

fn end_of_quoted(chars: &[char], at: usize, quote: char) -> usize {
    let mut place = at + 1;
    while place < chars.len() && chars[place] != quote {
        place += if chars[place] == '\\' { 2 } else { 1 };
    }
    place + 1
}

/// A raw string, with any number of hashes; anything else is code.
fn end_of_raw(chars: &[char], at: usize) -> (Kind, usize) {
    let letters = if chars[at] == 'r' { 1 } else { 2 };
    let raw = letters == 1 || chars.get(at + 1) == Some(&'r');
    let quote = find(chars, (at + letters).min(chars.len()), |one| one != '#');
    if !raw || chars.get(quote) != Some(&'"') {
        return (Kind::Code, at + 1);
    }
    let hashes = quote - at - letters;
    let closes = |place: usize| {
        let after = chars.get(place + 1..=place + hashes);
        chars[place] == '"' && after.is_some_and(|rest| rest.iter().all(|one| *one == '#'))
    };
    let end = (quote + 1..chars.len()).find(|place| closes(*place));
    let end = end.map_or(chars.len(), |place| place + hashes + 1);
    (Kind::Literal, end)
}

#[test]
fn comments_strings_and_characters_are_no_code() {
    let cases = [
        ("a // crate::b", "a"),
        ("a /* x /* crate::b */ y */ c", "a c"),
        (r#"a "crate::b \" c" d"#, "a d"),
        (r###"a r#"crate::b " c"# d"###, "a d"),
        (r#"a r"crate::b" d"#, "a d"),
        (r#"a br"b" c"#, "a c"),
        (r#"a b"b" c"#, "a b c"),
        (r"a '\'' b '\u{2044}' c 'x' d '\\' e", "a b c d e"),
        (
            "fn a<'b>(c: &'b str) -> char { '\"' } // d",
            "fn a<'b>(c: &'b str) -> char { }",
        ),
        ("r#type bar r# \"x\"", "r#type bar r#"),
        ("\"// no comment\" a", "a"),
        ("\"never closed", ""),
        ("/* never closed", ""),
    ];
    for (text, code) in cases {
        let layers = part(text);
        let words: Vec<&str> = layers.code.split_whitespace().collect();
        assert_eq!(words.join(" "), code, "{text}");
        assert_eq!(layers.code.chars().count(), text.chars().count(), "{text}");
    }
}

#[test]
fn literals_stand_alone_and_on_their_lines() {
    let layers = part("let a = \"one\";\n// \"two\"\nlet b = r\"three\";");
    let lines: Vec<&str> = layers.literals.lines().map(str::trim).collect();
    assert_eq!(lines, ["\"one\"", "", "r\"three\""]);
}
