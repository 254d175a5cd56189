//! Words that a room may not hold.
//!
//! Invariants: strings and comments may say anything; test code may too, where that is said. What
//! compiles without the feature `service` is proved by compiling; this also reads what stands
//! behind it.

use super::{Source, code, hold, planted, rooms::room, source, text};

/// What would let the world into a pure room: crates and keywords.
const WORLD: &[&str] = &[
    "async",
    "await",
    "actix_http",
    "actix_server",
    "actix_service",
    "actix_web",
    "anyhow",
    "arc_swap",
    "async_trait",
    "brotli",
    "clap",
    "flate2",
    "futures_util",
    "getrandom",
    "governor",
    "hmac",
    "ipnet",
    "prometheus_client",
    "reqwest",
    "rustix",
    "rustls",
    "secrecy",
    "socket2",
    "sqlx",
    "subtle",
    "tempfile",
    "tikv_jemallocator",
    "tokio",
    "tracing",
    "tracing_actix_web",
    "tracing_subscriber",
    "utoipa_actix_web",
    "utoipa_swagger_ui",
    "webpki_roots",
    "SystemTime",
    "Instant",
    "RandomState",
    "HashMap",
    "HashSet",
];

/// The same, as paths.
const WORLD_PATHS: &[&str] = &[
    "std::fs",
    "std::env",
    "std::time",
    "std::net",
    "std::process",
    "std::os",
    "io::stdin",
    "io::stdout",
    "io::stderr",
    "Utc::now",
    "Local::now",
    "chrono::Local",
];

/// The same, as macros.
const WORLD_MACROS: &[&str] = &["print", "println", "eprint", "eprintln", "dbg"];

/// Functions whose last bit differs between machines; `libm` has them.
const MACHINE_MATHS: &[&str] = &[
    "exp", "exp2", "exp_m1", "ln", "ln_1p", "log", "log2", "log10", "powf", "powi", "sqrt", "cbrt",
    "hypot", "sin", "cos", "tan", "asin", "acos", "atan", "atan2", "sinh", "cosh", "tanh",
];

/// What a pure room holds of the world, and any room of what it may never hold.
fn worldly_words(source: &Source) -> Vec<String> {
    let Some(own) = source.room().and_then(room) else {
        return Vec::new();
    };
    let code = code::code(source);
    let tokens = code::tokens(&code);
    let mut found = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        let word = token.text;
        let calls = code::starts(&tokens[at + 1..], &["!"]);
        let worldly = WORLD.contains(&word) || (calls && WORLD_MACROS.contains(&word));
        if (own.pure && worldly) || own.never.contains(&word) {
            found.push((token.line, word.to_owned()));
        }
    }
    for path in code::paths(&tokens).iter().filter(|_| own.pure) {
        if WORLD_PATHS.iter().any(|wanted| path.holds(wanted)) {
            found.push((path.line, path.names.join("::")));
        }
    }
    let say = |(line, word)| {
        format!(
            "{}:{line}: `{}` may not hold `{word}`",
            source.path, own.name
        )
    };
    found.into_iter().map(say).collect()
}

/// Mathematics that another machine answers otherwise.
fn machine_maths(source: &Source) -> Vec<String> {
    if !source.room().and_then(room).is_some_and(|own| own.pure) {
        return Vec::new();
    }
    let code = code::code(source);
    let tokens = code::tokens_outside_tests(source, &code);
    let mut breaches = Vec::new();
    for three in tokens.windows(3) {
        let [before, name, after] = three else {
            continue;
        };
        let called = before.text == "." && after.text == "(";
        let named = before.text == "::" && code_of_float(&tokens, name);
        if MACHINE_MATHS.contains(&name.text) && (called || named) {
            let fault = format!("{}:{}: `{}` is libm's", source.path, name.line, name.text);
            breaches.push(fault);
        }
    }
    breaches
}

/// Whether a name is a function of `f64` or `f32` itself.
fn code_of_float(tokens: &[code::Token<'_>], name: &code::Token<'_>) -> bool {
    let paths = code::paths(tokens);
    let same =
        |path: &&code::Path<'_>| path.line == name.line && path.names.last() == Some(&name.text);
    paths
        .iter()
        .filter(same)
        .any(|path| matches!(path.names[0], "f64" | "f32"))
}

/// Ways to panic on purpose or by surprise.
fn panics(source: &Source) -> Vec<String> {
    let code = code::code(source);
    let tokens = code::tokens_outside_tests(source, &code);
    let mut breaches = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        let rest = &tokens[at..];
        let unwraps = code::starts(rest, &[".", "unwrap", "("])
            || code::starts(rest, &["::", "unwrap"])
            || code::starts(rest, &[".", "unwrap_err", "("]);
        let shouts = ["panic", "todo", "unimplemented"]
            .iter()
            .any(|word| code::starts(rest, &[word, "!"]));
        if unwraps || shouts {
            breaches.push(format!("{}:{}: panics", source.path, token.line));
        }
    }
    breaches
}

/// An answer that claims what only an official can give.
fn claims(source: &Source) -> Vec<String> {
    let said = if source.path.ends_with(".rs") {
        text::part(&source.text).literals
    } else {
        source.text.clone()
    };
    let claims = |word: &str| word.eq_ignore_ascii_case("approved");
    let mut breaches = Vec::new();
    for (number, line) in said.lines().enumerate() {
        if line.split(|one: char| !one.is_alphabetic()).any(claims) {
            breaches.push(format!("{}:{}: claims approval", source.path, number + 1));
        }
    }
    breaches
}

#[test]
fn no_room_holds_what_it_never_may() {
    hold(&source::rust(), worldly_words);
}

#[test]
fn no_figure_depends_on_the_machine() {
    hold(&source::rust(), machine_maths);
}

#[test]
fn nothing_panics() {
    hold(&source::rust(), panics);
}

#[test]
fn nothing_says_approved() {
    hold(&source::below("src", ""), claims);
    hold(&source::below("openapi", ""), claims);
}

/// Whatever the feature `service` brings is the world, but for what derives a schema.
#[test]
fn every_crate_of_the_service_is_named() {
    let manifest = std::fs::read_to_string(source::top().join("Cargo.toml")).expect("a manifest");
    let manifest: toml::Table = manifest.parse().expect("TOML");
    let listed = manifest["features"]["service"].as_array().expect("a list");
    let crates: Vec<String> = listed
        .iter()
        .filter_map(|name| name.as_str()?.strip_prefix("dep:"))
        .map(|name| name.replace('-', "_"))
        .filter(|name| name != "utoipa")
        .collect();
    assert!(crates.len() > 5, "{crates:?}");
    for name in &crates {
        assert!(WORLD.contains(&name.as_str()), "{name} is not forbidden");
    }
}

#[test]
fn a_planted_word_is_found() {
    let found = |path, text| planted(worldly_words, path, text);
    assert_eq!(found("src/rules/sets.rs", "use sqlx::query;"), 1);
    assert_eq!(
        found(
            "src/rules/sets.rs",
            "#[cfg(feature = \"service\")] fn a() { sqlx::query(\"\") }"
        ),
        1
    );
    assert_eq!(found("src/crew/mod.rs", "async fn a() {}"), 1);
    assert_eq!(
        found("src/crew/mod.rs", "use std::{fmt, fs::{self, File}};"),
        2
    );
    assert_eq!(
        found(
            "src/price/mod.rs",
            "fn a() { chrono::Utc::now(); println!(\"a\"); }"
        ),
        2
    );
    assert_eq!(
        found("src/price/mod.rs", "use std::collections::HashMap;"),
        1
    );
    assert_eq!(
        found("src/takeoff/line.rs", "use crate::quantity::money::Amount;"),
        1
    );
    assert_eq!(
        found("src/http/a.rs", "use sqlx::Row; use reqwest::Client;"),
        2
    );
    assert_eq!(found("src/book/sql.rs", "use actix_web::HttpResponse;"), 1);
    assert_eq!(found("src/startup.rs", "sqlx::query(\"\");"), 1);
}

#[test]
fn innocent_words_are_left_alone() {
    let found = |path, text| planted(worldly_words, path, text);
    assert_eq!(
        found(
            "src/rules/sets.rs",
            "// sqlx\nconst A: &str = \"async tokio\";"
        ),
        0
    );
    assert_eq!(
        found(
            "src/rules/sets.rs",
            "fn print(instant: u8, tracings: u8) { std::fmt::write(); }"
        ),
        0
    );
    assert_eq!(
        found("src/http/a.rs", "async fn a() { tracing::info!(\"a\") }"),
        0
    );
    assert_eq!(
        found(
            "src/book/sql.rs",
            "async fn a() { sqlx::query(\"\").await }"
        ),
        0
    );
}

#[test]
fn planted_maths_is_found() {
    let found = |text: &str| planted(machine_maths, "src/geometry/edge.rs", text);
    assert_eq!(
        found("fn a(b: f64) { b.sqrt(); f64::ln(b); (b + 1.0).powi(2); }"),
        3
    );
    assert_eq!(
        found("fn a(b: f64) { libm::sqrt(b); libm::exp(b); b.expand(); Form::log(b); }"),
        0
    );
    assert_eq!(planted(machine_maths, "src/http/a.rs", "b.sqrt();"), 0);
}

#[test]
fn a_planted_panic_is_found() {
    let found = |path, text| planted(panics, path, text);
    assert_eq!(
        found(
            "src/job/a.rs",
            "fn a() { b.unwrap(); c.map(Option::unwrap); panic!(\"d\"); todo!() }"
        ),
        4
    );
    assert_eq!(
        found(
            "src/job/a.rs",
            "fn a() { b.unwrap_or(c).expect(\"d\"); } // e.unwrap()"
        ),
        0
    );
    assert_eq!(
        found(
            "src/job/a.rs",
            "#[cfg(test)]\nmod tests { fn a() { b.unwrap(); } }"
        ),
        0
    );
    assert_eq!(found("src/job/tests.rs", "fn a() { b.unwrap(); }"), 0);
}

#[test]
fn a_planted_claim_is_found() {
    assert_eq!(
        planted(
            claims,
            "src/rules/a.rs",
            "const A: &str = \"Approved by all\";"
        ),
        1
    );
    assert_eq!(
        planted(claims, "src/rules/a.toml", "title = \"is approved\""),
        1
    );
    assert_eq!(
        planted(
            claims,
            "src/rules/a.rs",
            "// never says approved\nconst A: &str = \"unapproved\";"
        ),
        0
    );
}
