//! How keys are compared: by their hashes, in a time that tells nothing.
//!
//! Invariants: the hash of a key derives no comparison, order or hash of its own, and compares by `ct_eq`; no
//! secret stands beside `==` or `!=`. Absent: how long a comparison takes; what it is made of says more.

use super::{Source, code, hold, planted, source};

/// What must not be derived by what a key is known by.
const COMPARING: [&str; 5] = ["PartialEq", "Eq", "PartialOrd", "Ord", "Hash"];
/// What gives a secret, or the hash of one, away to whoever compares it.
const SECRETS: [(&str, &str); 5] = [
    (".", "expose_secret"),
    (".", "hex"),
    ("::", "digest"),
    ("KeyHash", "::"),
    (".", "finalize"),
];
/// The file of the hash.
const HASH: &str = "src/book/access/key.rs";

/// Comparisons of secrets, statement by statement.
fn compared(source: &Source) -> Vec<String> {
    let code = code::code(source);
    let tokens = code::tokens_outside_tests(source, &code);
    let ends = |token: &code::Token<'_>| [";", "{", "}"].contains(&token.text);
    let mut breaches = Vec::new();
    for statement in tokens.split(ends) {
        let compares = statement.windows(2).find(|two| {
            let signs = (two[0].text, two[1].text);
            signs == ("=", "=") || signs == ("!", "=")
        });
        let secret = statement
            .windows(2)
            .any(|two| SECRETS.contains(&(two[0].text, two[1].text)));
        if let Some(at) = compares.filter(|_| secret) {
            breaches.push(format!("{}:{}: compares a secret", source.path, at[0].line));
        }
    }
    breaches
}

/// Ways for the hash of a key to be compared byte by byte.
fn derived(source: &Source) -> Vec<String> {
    let code = code::code(source);
    let tokens = code::tokens_outside_tests(source, &code);
    let mut breaches = Vec::new();
    for (at, _) in tokens.iter().enumerate() {
        let rest = &tokens[at..];
        if code::starts(rest, &["#", "[", "derive"]) {
            let close = code::closing(rest, 1);
            let ours = code::starts(&rest[close + 1..], &["pub", "struct", "KeyHash"]);
            let bad = rest[..close]
                .iter()
                .any(|one| COMPARING.contains(&one.text));
            if ours && bad {
                breaches.push(format!("{}:{}: is derived", source.path, rest[0].line));
            }
        }
        if code::starts(rest, &["impl", "PartialEq", "for", "KeyHash", "{"]) {
            let body = &rest[..code::closing(rest, 4)];
            let constant = body
                .windows(2)
                .any(|two| (two[0].text, two[1].text) == ("ct_eq", "("));
            let plain = body
                .windows(2)
                .any(|two| (two[0].text, two[1].text) == ("=", "="));
            if !constant || plain {
                breaches.push(format!("{}:{}: is not constant", source.path, rest[0].line));
            }
        }
    }
    breaches
}

#[test]
fn keys_are_compared_by_their_hashes_in_constant_time() {
    let sources = source::rust();
    let is_hash = |source: &&Source| source.path == HASH && source.text.contains("struct KeyHash(");
    assert_eq!(sources.iter().filter(is_hash).count(), 1, "{HASH}");
    hold(&sources, derived);
    hold(&sources, compared);
}

#[test]
fn a_planted_comparison_is_found() {
    let in_hash = |text: &str| planted(derived, HASH, text);
    assert_eq!(
        in_hash("#[derive(Clone)]\npub struct KeyHash([u8; 32]);"),
        0
    );
    assert_eq!(
        in_hash("#[derive(Clone, PartialEq)]\npub struct KeyHash([u8; 32]);"),
        1
    );
    let eq = |body: &str| {
        in_hash(&format!(
            "impl PartialEq for KeyHash {{ fn eq(&self, other: &Self) -> bool {{ {body} }} }}"
        ))
    };
    assert_eq!(eq("self.0.ct_eq(&other.0).into()"), 0);
    assert_eq!(eq("self.0 == other.0"), 1);
    let found = |text: &str| planted(compared, "src/http/a.rs", text);
    assert_eq!(found("fn a() -> bool { b.expose_secret() == c }"), 1);
    assert_eq!(found("fn a() -> bool { c != self.hex() }"), 1);
    assert_eq!(found("fn a() { let b = c == d; e.expose_secret(); }"), 0);
}
