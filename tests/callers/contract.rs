//! The contract read by a linter and by a client generator, both offline once installed.

use crate::programs::{CONTRACT, compile, folder, installed, lint, said};
use std::fs;

#[test]
fn the_linter_finds_no_error_in_the_contract() {
    let output = lint(CONTRACT);
    assert!(output.status.success(), "{}", said(&output));
}

#[test]
fn the_linter_finds_an_error_that_is_planted() {
    installed();
    let contract = fs::read_to_string(folder().join(CONTRACT)).expect("the contract is there");
    let broken = contract.replace(
        "#/components/schemas/Problem\"",
        "#/components/schemas/Nothing\"",
    );
    assert_ne!(contract, broken);
    fs::write(folder().join("out/broken.json"), broken).expect("a place for it");
    let output = lint("out/broken.json");
    assert!(!output.status.success());
    assert!(
        said(&output).contains("no-unresolved-refs"),
        "{}",
        said(&output)
    );
}

#[test]
fn a_generated_typescript_client_compiles_under_strict() {
    let output = compile("caller.ts", &["--noEmit"]);
    assert!(output.status.success(), "{}", said(&output));
}

#[test]
fn a_generated_typescript_client_refuses_a_bare_number() {
    installed();
    let wrong = "import type { components } from \"./api\";\n\
        export const job: components[\"schemas\"][\"JobRequest\"] = { ramp: { width: 66, path: [] } };\n";
    fs::write(folder().join("out/wrong.ts"), wrong).expect("a place for it");
    let output = compile("out/wrong.ts", &["--noEmit"]);
    assert!(!output.status.success());
    assert!(
        said(&output).contains("Type 'number' is not assignable"),
        "{}",
        said(&output)
    );
}
