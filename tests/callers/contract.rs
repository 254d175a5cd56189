//! The contract read by a linter and by a client generator, both offline once installed.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Once;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/callers")
}

fn run(program: &str, words: &[&str]) {
    let mut command = Command::new(program);
    command
        .args(words)
        .current_dir(folder())
        .env("NO_UPDATE_NOTIFIER", "1");
    let output = command.output().unwrap_or_else(|error| {
        panic!("{program} is missing ({error}): install Node.js 20 or newer (Debian: apt-get install nodejs npm)")
    });
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    assert!(
        output.status.success(),
        "{program} {}: {}\n{}",
        words.join(" "),
        text(&output.stdout),
        text(&output.stderr)
    );
}

/// Installs the pinned programs, once.
fn installed() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| run("npm", &["ci", "--no-audit", "--no-fund"]));
}

const CONTRACT: &str = "../../openapi/openapi.json";

#[test]
fn the_linter_finds_no_error_in_the_contract() {
    installed();
    let words = [
        "redocly",
        "lint",
        CONTRACT,
        "--extends=recommended",
        "--format=stylish",
    ];
    run("npx", &[&["--no-install"], &words[..]].concat());
}

#[test]
fn a_generated_typescript_client_compiles_under_strict() {
    installed();
    run(
        "npx",
        &[
            "--no-install",
            "openapi-typescript",
            CONTRACT,
            "-o",
            "out/api.d.ts",
        ],
    );
    let strict = ["--strict", "--noEmit", "--skipLibCheck", "false"];
    let library = [
        "--target",
        "es2022",
        "--module",
        "nodenext",
        "--lib",
        "es2022,dom",
    ];
    run(
        "npx",
        &[
            &["--no-install", "tsc"],
            &strict[..],
            &library[..],
            &["caller.ts"],
        ]
        .concat(),
    );
}
