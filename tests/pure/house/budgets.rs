//! How long files and functions may be, how many parameters they take, how deep they nest.
//!
//! Invariant: no file is listed as an exception; tables stand in data files, which have no budget.

use super::{Source, code, hold, planted, source};
use code::Token;

const FILE_LINES: usize = 400;
const FUNCTION_LINES: usize = 50;
const PARAMETERS: usize = 4;
const NESTING: usize = 3;

/// What a handler takes of a request is declared as its parameters; it may have any number.
const HANDLERS: &[&str] = &["get_", "head_", "post_", "put_", "patch_", "delete_"];

fn long_file(source: &Source) -> Vec<String> {
    let lines = source.text.lines().count();
    let long = lines > FILE_LINES;
    let say = || {
        format!(
            "{}: {lines} lines, and {FILE_LINES} is the most",
            source.path
        )
    };
    long.then(say).into_iter().collect()
}

/// A function, from `fn` to its last brace.
struct Function<'a, 't> {
    name: &'a str,
    line: usize,
    signature: &'t [Token<'a>],
    body: &'t [Token<'a>],
}

fn functions<'a, 't>(tokens: &'t [Token<'a>]) -> Vec<Function<'a, 't>> {
    let mut found = Vec::new();
    for at in 0..tokens.len() {
        let named = tokens
            .get(at + 1)
            .is_some_and(|next| code::is_word(next.text) || next.text == "$");
        if tokens[at].text != "fn" || !named {
            continue;
        }
        let Some(open) = body_of(tokens, at) else {
            continue;
        };
        found.push(Function {
            name: tokens[at + 1].text,
            line: tokens[at].line,
            signature: &tokens[at + 2..open],
            body: &tokens[open..=code::closing(tokens, open)],
        });
    }
    found
}

/// Where the body of the function at a place opens; none for a declaration.
fn body_of(tokens: &[Token<'_>], from: usize) -> Option<usize> {
    let mut at = from;
    loop {
        match tokens.get(at)?.text {
            "{" => return Some(at),
            ";" | "}" => return None,
            "(" | "[" => at = code::closing(tokens, at) + 1,
            _ => at += 1,
        }
    }
}

impl Function<'_, '_> {
    fn lines(&self) -> usize {
        self.body.last().map_or(0, |last| last.line - self.line + 1)
    }

    /// How many parameters stand in it, the receiver aside.
    fn parameters(&self) -> usize {
        let mut angles = 0_i32;
        let opens = |token: &Token<'_>| {
            angles += angle(token);
            token.text == "(" && angles == 0
        };
        let Some(open) = self.signature.iter().position(opens) else {
            return 0;
        };
        let inner = &self.signature[open + 1..code::closing(self.signature, open)];
        let mut depth = 0_i32;
        let commas = |token: &Token<'_>| {
            depth += angle(token);
            depth += i32::from(matches!(token.text, "(" | "[" | "{"));
            depth -= i32::from(matches!(token.text, ")" | "]" | "}"));
            token.text == "," && depth == 0
        };
        let parts = inner.split(commas).filter(|part| !part.is_empty());
        let receiver = |part: &&[Token<'_>]| part.iter().take(4).any(|token| token.text == "self");
        parts.filter(|part| !receiver(part)).count()
    }

    /// How deep conditions and loops stand in one another.
    fn nesting(&self) -> usize {
        let (mut open, mut pending, mut deepest) = (Vec::new(), false, 0);
        for (at, token) in self.body.iter().enumerate() {
            let next = self.body.get(at + 1).map_or("", |next| next.text);
            match token.text {
                "if" | "while" | "loop" | "match" | "else" => pending = true,
                "for" if next != "<" => pending = true,
                "{" => open.push(std::mem::take(&mut pending)),
                "}" => drop(open.pop()),
                _ => {}
            }
            deepest = deepest.max(open.iter().filter(|control| **control).count());
        }
        deepest
    }
}

/// Generics open and close with marks that also compare; in a signature they do not.
fn angle(token: &Token<'_>) -> i32 {
    match token.text {
        "<" => 1,
        ">" => -1,
        _ => 0,
    }
}

fn over_budget(source: &Source, over: impl Fn(&Function<'_, '_>) -> Option<String>) -> Vec<String> {
    let code = code::code(source);
    let tokens = code::tokens(&code);
    let say = |function: &Function<'_, '_>| {
        let fault = over(function)?;
        Some(format!(
            "{}:{}: `{}` {fault}",
            source.path, function.line, function.name
        ))
    };
    functions(&tokens).iter().filter_map(say).collect()
}

fn long_functions(source: &Source) -> Vec<String> {
    over_budget(source, |function| {
        let lines = function.lines();
        (lines > FUNCTION_LINES)
            .then(|| format!("has {lines} lines, and {FUNCTION_LINES} is the most"))
    })
}

fn many_parameters(source: &Source) -> Vec<String> {
    let web = source.room() == Some("http");
    over_budget(source, |function| {
        let count = function.parameters();
        let handles = HANDLERS.iter().any(|verb| function.name.starts_with(verb));
        (!(web && handles) && count > PARAMETERS)
            .then(|| format!("has {count} parameters, and {PARAMETERS} is the most"))
    })
}

fn deep_nesting(source: &Source) -> Vec<String> {
    over_budget(source, |function| {
        let depth = function.nesting();
        (depth > NESTING).then(|| format!("nests {depth} deep, and {NESTING} is the most"))
    })
}

#[test]
fn no_file_is_too_long() {
    let mut files = source::rust();
    files.extend(source::below("tests", ".rs"));
    hold(&files, long_file);
}

#[test]
fn no_function_is_too_long() {
    hold(&source::rust(), long_functions);
}

#[test]
fn no_function_takes_too_much() {
    hold(&source::rust(), many_parameters);
}

#[test]
fn no_function_nests_too_deep() {
    hold(&source::rust(), deep_nesting);
}

#[test]
fn planted_lengths_are_found() {
    let path = "src/job/a.rs";
    assert_eq!(planted(long_file, path, &"\n".repeat(401)), 1);
    assert_eq!(planted(long_file, path, &"\n".repeat(400)), 0);
    let function = |lines: usize| {
        format!(
            "impl A {{\n    fn b(&self) {{{}}}\n}}",
            "\n".repeat(lines - 1)
        )
    };
    assert_eq!(planted(long_functions, path, &function(51)), 1);
    assert_eq!(planted(long_functions, path, &function(50)), 0);
    let innocent = format!(
        "trait A {{ fn b(); }}\nconst C: fn(u8) = d;\nstruct E {{{}}}",
        "\n".repeat(99)
    );
    assert_eq!(planted(long_functions, path, &innocent), 0);
}

#[test]
fn planted_parameters_are_found() {
    let found = |text: &str| planted(many_parameters, "src/job/a.rs", text);
    assert_eq!(found("fn a(b: u8, c: u8, d: u8, e: u8, f: u8) {}"), 1);
    assert_eq!(
        found("fn a<T: Fn(u8, u8) -> u8>(b: T, c: u8, d: u8, e: u8, f: u8,) -> u8 { 0 }"),
        1
    );
    assert_eq!(
        found("fn a(&mut self, b: (u8, u8), c: M<u8, u8>, d: [u8; 4], e: impl Fn(u8, u8)) {}"),
        0
    );
    assert_eq!(
        found("fn a<'a, T, U, V, W>(&'a self, b: u8,) where T: Fn(u8) {}"),
        0
    );
}

#[test]
fn a_handler_takes_what_it_needs() {
    let text = "async fn put_item(b: u8, c: u8, d: u8, e: u8, f: u8) {}";
    assert_eq!(planted(many_parameters, "src/http/a.rs", text), 0);
    assert_eq!(planted(many_parameters, "src/book/a.rs", text), 1);
}

#[test]
fn planted_nesting_is_found() {
    let found = |text: &str| planted(deep_nesting, "src/job/a.rs", text);
    assert_eq!(
        found("fn a() { for b in c { if d { match e { f => { while g {} } } } } }"),
        1
    );
    assert_eq!(
        found("fn a() { for b in c { if d { match e { f => S { g } } } } }"),
        0
    );
    assert_eq!(
        found("fn a() { { { { { let f: for<'a> fn(&'a u8) = g; } } } } }"),
        0
    );
}
