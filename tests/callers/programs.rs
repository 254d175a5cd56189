//! The programs that callers use: pinned, installed once, run in a folder of their own.
//!
//! Invariants: what they write goes to `out`, which is not kept; once installed they ask nobody
//! outside.

use std::{
    path::{Path, PathBuf},
    process::{Command, Output},
    sync::OnceLock,
};

/// The contract, as seen from the folder of the callers.
pub(crate) const CONTRACT: &str = "../../openapi/openapi.json";

/// The folder of the callers.
pub(crate) fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/callers")
}

/// Runs a program that must be there, whatever it then says.
pub(crate) fn run(program: &str, words: &[&str]) -> Output {
    let mut command = Command::new(program);
    command.args(words).current_dir(folder());
    // None of them tells anybody that it ran, or looks for a newer self.
    command.env("NO_UPDATE_NOTIFIER", "1");
    command.env("REDOCLY_TELEMETRY", "off");
    command.env("REDOCLY_SUPPRESS_UPDATE_NOTICE", "true");
    command.output().unwrap_or_else(|error| {
        panic!("{program} is missing ({error}): install it: Node.js 20 or newer, curl, pdftotext, xmllint with the document types of the W3C (Debian: apt-get install nodejs npm curl poppler-utils libxml2-utils w3c-sgml-lib)")
    })
}

/// What it said, on both outputs.
pub(crate) fn said(output: &Output) -> String {
    let text = |bytes| String::from_utf8_lossy(bytes).into_owned();
    text(&output.stdout) + &text(&output.stderr)
}

/// Runs a program that must succeed; what it said on standard output.
pub(crate) fn succeed(program: &str, words: &[&str]) -> String {
    let output = run(program, words);
    let words = words.join(" ");
    assert!(
        output.status.success(),
        "{program} {words}: {}",
        said(&output)
    );
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// Installs the pinned programs and generates the client from the contract, once.
pub(crate) fn installed() {
    static ONCE: OnceLock<()> = OnceLock::new();
    ONCE.get_or_init(|| {
        succeed("npm", &["ci", "--no-audit", "--no-fund"]);
        let generate = [
            "--no-install",
            "openapi-typescript",
            CONTRACT,
            "-o",
            "out/api.d.ts",
        ];
        succeed("npx", &generate);
    });
}

/// Lints a contract by the recommended rules.
pub(crate) fn lint(contract: &str) -> Output {
    installed();
    let words = [
        "--no-install",
        "redocly",
        "lint",
        contract,
        "--extends=recommended",
        "--format=stylish",
    ];
    run("npx", &words)
}

/// Compiles a caller as strictly as the compiler can.
pub(crate) fn compile(caller: &str, further: &[&str]) -> Output {
    installed();
    let strict = ["--no-install", "tsc", "--strict", "--skipLibCheck", "false"];
    let target = [
        "--target",
        "es2022",
        "--module",
        "nodenext",
        "--lib",
        "es2022,dom",
    ];
    run(
        "npx",
        &[&strict[..], &target[..], further, &[caller]].concat(),
    )
}
