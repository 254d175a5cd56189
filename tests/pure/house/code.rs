//! Rust code as words and paths.
//!
//! Invariants: a group `a::{b, c::{d}}` is as many paths, over any number of lines; items under
//! `#[cfg(test)]` can be left out. Absent: types, scopes and macros.

use super::{source::Source, text};

/// A word or a mark, and the line it stands on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Token<'a> {
    pub(super) text: &'a str,
    pub(super) line: usize,
}

/// A path of two names or more.
#[derive(Debug)]
pub(super) struct Path<'a> {
    pub(super) names: Vec<&'a str>,
    pub(super) line: usize,
    /// Where it begins among the tokens.
    pub(super) at: usize,
}

impl Path<'_> {
    /// Whether the names stand in it, one after another.
    pub(super) fn holds(&self, wanted: &str) -> bool {
        let wanted: Vec<&str> = wanted.split("::").collect();
        self.names
            .windows(wanted.len())
            .any(|names| names == wanted)
    }
}

/// The code of a source.
pub(super) fn code(source: &Source) -> String {
    text::part(&source.text).code
}

/// Its tokens, tests included.
pub(super) fn tokens(code: &str) -> Vec<Token<'_>> {
    let mut found = Vec::new();
    for (number, line) in code.lines().enumerate() {
        let mut rest = line.trim_start();
        while !rest.is_empty() {
            let (text, after) = rest.split_at(token_length(rest));
            found.push(Token {
                text,
                line: number + 1,
            });
            rest = after.trim_start();
        }
    }
    found
}

/// Its tokens without test code.
pub(super) fn tokens_outside_tests<'a>(source: &Source, code: &'a str) -> Vec<Token<'a>> {
    if source.is_test() {
        return Vec::new();
    }
    let all = tokens(code);
    let mut kept = Vec::new();
    let mut at = 0;
    while at < all.len() {
        if starts(&all[at..], &["#", "[", "cfg", "(", "test", ")", "]"]) {
            at = end_of_item(&all, at + 7);
        } else {
            kept.push(all[at]);
            at += 1;
        }
    }
    kept
}

/// Whether tokens begin so.
pub(super) fn starts(tokens: &[Token<'_>], wanted: &[&str]) -> bool {
    let begin = tokens.iter().map(|token| token.text).take(wanted.len());
    begin.eq(wanted.iter().copied())
}

/// Where the bracket that opens at a place is closed; the last token when it never is.
pub(super) fn closing(tokens: &[Token<'_>], at: usize) -> usize {
    let mut depth = 0_i32;
    for (offset, token) in tokens[at..].iter().enumerate() {
        depth += match token.text {
            "(" | "[" | "{" => 1,
            ")" | "]" | "}" => -1,
            _ => 0,
        };
        if depth == 0 {
            return at + offset;
        }
    }
    tokens.len().saturating_sub(1)
}

/// Whether it is a name, a keyword or a lifetime.
pub(super) fn is_word(token: &str) -> bool {
    token.starts_with(|one: char| one.is_alphabetic() || one == '_')
}

/// Every path of two names or more.
pub(super) fn paths<'a>(tokens: &[Token<'a>]) -> Vec<Path<'a>> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let begins = is_word(tokens[at].text) && starts(&tokens[at + 1..], &["::"]);
        if begins {
            let before = found.len();
            let end = read_tree(tokens, at, &[], &mut found);
            for path in &mut found[before..] {
                path.at = at;
            }
            at = end.max(at + 1);
        } else {
            at += 1;
        }
    }
    found
}

/// Reads one path or group of paths; says where it ends.
fn read_tree<'a>(
    tokens: &[Token<'a>],
    at: usize,
    before: &[&'a str],
    found: &mut Vec<Path<'a>>,
) -> usize {
    let Some(first) = tokens.get(at) else {
        return at;
    };
    let mut names = before.to_vec();
    names.push(first.text);
    let mut end = at + 1;
    if starts(&tokens[end..], &["::"]) {
        match tokens.get(end + 1).map(|token| token.text) {
            Some("{") => return read_group(tokens, end + 1, &names, found),
            Some(next) if is_word(next) || next == "*" => {
                return read_tree(tokens, end + 1, &names, found);
            }
            // A turbofish: the path ends here, its arguments are read on their own.
            _ => end += 1,
        }
    }
    if names.len() > 1 {
        found.push(Path {
            names,
            line: first.line,
            at,
        });
    }
    end
}

fn read_group<'a>(
    tokens: &[Token<'a>],
    open: usize,
    before: &[&'a str],
    found: &mut Vec<Path<'a>>,
) -> usize {
    let close = closing(tokens, open);
    let mut at = open + 1;
    while at < close {
        at = match tokens[at].text {
            "," => at + 1,
            "as" => at + 2,
            _ => read_tree(tokens, at, before, found),
        };
    }
    close + 1
}

fn token_length(text: &str) -> usize {
    let mut chars = text.chars();
    let first = chars.next().unwrap_or(' ');
    let word = |one: char| one.is_alphanumeric() || one == '_';
    let joined = ["::", "->", "=>"].iter().any(|mark| text.starts_with(mark));
    if word(first) {
        text.find(|one| !word(one)).unwrap_or(text.len())
    } else if first == '\'' {
        let rest = chars.as_str();
        1 + rest.find(|one| !word(one)).unwrap_or(rest.len())
    } else if joined {
        2
    } else {
        first.len_utf8()
    }
}

/// Where the item that begins at a place ends: after its `;` or its block.
fn end_of_item(tokens: &[Token<'_>], from: usize) -> usize {
    let mut at = from;
    while at < tokens.len() {
        match tokens[at].text {
            ";" => return at + 1,
            "{" => return closing(tokens, at) + 1,
            "(" | "[" => at = closing(tokens, at) + 1,
            _ => at += 1,
        }
    }
    at
}

#[cfg(test)]
fn names(code: &str) -> Vec<String> {
    let found = paths(&tokens(code));
    found.iter().map(|path| path.names.join("::")).collect()
}

#[test]
fn groups_are_as_many_paths() {
    let code = "use crate::{\n    a,\n    b::{self, c as d, e::*},\n};\nuse std::fs; x::y::<z::w>(); f(g);";
    let wanted = [
        "crate::a",
        "crate::b::self",
        "crate::b::c",
        "crate::b::e::*",
        "std::fs",
        "x::y",
        "z::w",
    ];
    assert_eq!(names(code), wanted);
    assert_eq!(
        names("::sqlx::query(&crate::a::B::c)"),
        ["sqlx::query", "crate::a::B::c"]
    );
    assert_eq!(
        names("vec![1, 2]; a < b; 'c: loop {}"),
        Vec::<String>::new()
    );
}

#[test]
fn test_code_is_left_out() {
    let text = "fn a() {}\n#[cfg(test)]\nmod tests { fn b() { c(); } }\n#[cfg(test)]\nuse d::{e};\nfn f() {}";
    let source = Source::new("src/job/full.rs", text);
    let code = code(&source);
    let kept: Vec<&str> = tokens_outside_tests(&source, &code)
        .iter()
        .map(|token| token.text)
        .collect();
    assert!(kept.contains(&"f") && kept.contains(&"a"));
    assert!(!kept.contains(&"b") && !kept.contains(&"d"), "{kept:?}");
    let tests = Source::new("src/job/tests.rs", text);
    assert!(tokens_outside_tests(&tests, &code).is_empty());
}
