//! What the program is made of: licences, bans and sources, over `cargo metadata`.
//!
//! Invariants: every package for every platform and feature is looked at; each part of an `AND` has to be on
//! the list, and one part of an `OR`. Absent: known weaknesses of packages, whose list lies outside.
//!
//! # Source
//! SPDX License List 3.x for the names; SPDX Specification, annex "SPDX license expressions".

use serde_json::Value;
use std::{collections::BTreeSet, process::Command, sync::LazyLock};

/// Licences that ask no more than to be named, or are weaker still.
const ALLOWED: [&str; 11] = [
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "CDLA-Permissive-2.0",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Zlib",
];

/// What is done by another package here already, or must not be done at all.
const BANNED: [(&str, &str); 6] = [
    ("aws-lc-sys", "TLS is rustls on ring"),
    ("chrono-tz", "a place's clock is a fixed offset"),
    ("criterion", "it brings plotting into every build: divan"),
    ("native-tls", "TLS is rustls on ring"),
    ("openssl-sys", "TLS is rustls on ring"),
    ("proc-macro-error", "nobody keeps it any more"),
];

fn packages() -> &'static [Value] {
    static PACKAGES: LazyLock<Vec<Value>> = LazyLock::new(read);
    &PACKAGES
}

fn read() -> Vec<Value> {
    let mut command = Command::new(env!("CARGO"));
    command.args([
        "metadata",
        "--format-version",
        "1",
        "--locked",
        "--all-features",
    ]);
    let output = command
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let metadata: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    metadata["packages"].as_array().expect("packages").clone()
}

fn text<'a>(package: &'a Value, member: &str) -> &'a str {
    package[member].as_str().unwrap_or_default()
}

/// Whether a licence expression can be met by the list.
fn is_allowed(expression: &str) -> bool {
    // An old spelling of `OR`, which SPDX has not.
    let plain = expression
        .replace('/', " OR ")
        .replace('(', " ( ")
        .replace(')', " ) ");
    let words: Vec<&str> = plain.split_whitespace().collect();
    let (met, rest) = either(&words);
    met && rest.is_empty() && !words.is_empty()
}

fn either<'a>(words: &'a [&'a str]) -> (bool, &'a [&'a str]) {
    let (mut met, mut rest) = both(words);
    while let Some(("OR", after)) = rest.split_first().map(|(word, after)| (*word, after)) {
        let (other, left) = both(after);
        (met, rest) = (met || other, left);
    }
    (met, rest)
}

fn both<'a>(words: &'a [&'a str]) -> (bool, &'a [&'a str]) {
    let (mut met, mut rest) = one(words);
    while let Some(("AND", after)) = rest.split_first().map(|(word, after)| (*word, after)) {
        let (other, left) = one(after);
        (met, rest) = (met && other, left);
    }
    (met, rest)
}

fn one<'a>(words: &'a [&'a str]) -> (bool, &'a [&'a str]) {
    match words {
        ["(", inner @ ..] => match either(inner) {
            (met, [")", rest @ ..]) => (met, rest),
            (_, rest) => (false, rest),
        },
        // An exception only takes away from what the licence asks.
        [name, "WITH", _, rest @ ..] | [name, rest @ ..] => (ALLOWED.contains(name), rest),
        [] => (false, &[]),
    }
}

#[test]
fn every_package_has_a_licence_that_may_be_used() {
    let packages = packages();
    assert!(packages.len() > 300, "{}", packages.len());
    let refused: Vec<String> = packages
        .iter()
        .filter(|package| !is_allowed(text(package, "license")))
        .map(|package| format!("{} ({})", text(package, "name"), text(package, "license")))
        .collect();
    assert!(refused.is_empty(), "{refused:#?}");
}

#[test]
fn no_licence_is_on_the_list_that_nobody_needs() {
    let packages = packages();
    let named: BTreeSet<&str> = packages
        .iter()
        .flat_map(|package| text(package, "license").split([' ', '/', '(', ')']))
        .collect();
    for licence in ALLOWED {
        assert!(named.contains(licence), "{licence}");
    }
}

#[test]
fn no_banned_package_is_in_it() {
    for package in packages() {
        let name = text(package, "name");
        let banned = BANNED.iter().find(|(banned, _)| *banned == name);
        assert!(banned.is_none(), "{banned:?}");
    }
}

#[test]
fn everything_comes_from_the_registry_or_from_here() {
    for package in packages() {
        let source = text(package, "source");
        let ours = package["source"].is_null() && text(package, "name") == "crossfall";
        assert!(
            ours || source.starts_with("registry+"),
            "{}: {source}",
            text(package, "name")
        );
    }
}

/// The long size asks another program, too; it has to ask the same.
#[test]
fn the_settings_of_cargo_deny_are_these_lists() {
    let settings: toml::Table =
        toml::from_str(include_str!("../../.ci/deny.toml")).expect("the file has its form");
    let list = |table: &str, name: &str| settings[table][name].as_array().expect("a list").clone();
    let words = |list: Vec<toml::Value>| -> Vec<String> {
        let word = |one: &toml::Value| one.get("crate").unwrap_or(one).as_str().map(str::to_owned);
        list.iter().filter_map(word).collect()
    };
    assert_eq!(words(list("licenses", "allow")), ALLOWED);
    assert_eq!(words(list("bans", "deny")), BANNED.map(|(name, _)| name));
    for name in ["unknown-registry", "unknown-git"] {
        assert_eq!(settings["sources"][name].as_str(), Some("deny"));
    }
}

#[test]
fn an_expression_is_read_as_it_is_meant() {
    for good in [
        "MIT",
        "MIT OR GPL-3.0",
        "GPL-3.0 OR MIT",
        "MIT/Apache-2.0",
        "Apache-2.0 WITH LLVM-exception",
        "(MIT OR GPL-3.0) AND Unicode-3.0",
        "MIT AND (GPL-3.0 OR ISC)",
    ] {
        assert!(is_allowed(good), "{good}");
    }
    for bad in [
        "",
        "GPL-3.0",
        "MIT AND GPL-3.0",
        "GPL-3.0 AND MIT OR AGPL-3.0",
        "(MIT OR ISC) AND GPL-3.0",
        "MIT AND",
        "(MIT",
        "MIT ISC",
        "LGPL-2.1-or-later",
    ] {
        assert!(!is_allowed(bad), "{bad}");
    }
}
