//! The contract fuzzed: a general fuzzer of OpenAPI documents asks every operation of the real binary, with
//! what fits the schemas and with what does not, and holds each answer to the contract.
//!
//! Invariants: all its checks are on, and what is let through stands with its reason in `fuzz`; seeds are
//! fixed; a contract that lies is caught. Absent: where a document is posted to; a receiver takes all.

use crate::binary::Binary;
use crate::oracles::interpreter;
use crate::oracles::webhooks::{NEW, Receiver};
use crate::programs::{CONTRACT, folder, said};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Operations whose bodies have thousands of places: to try the bounds of each one by one takes half an hour,
/// so only the long size does; shapes drawn by chance try them in every run.
const DEEP: &str = "^(checkRamp|compareEstimates|costJob|drawRamp|estimate|handOver|make.*|planCrewHours|planPour|surveyRamp|takeOff)$";

/// Answers of each operation by status, as the hooks count them.
type Counts = BTreeMap<String, BTreeMap<String, u64>>;

/// The binary with a key of role `admin`, and somebody who takes documents.
struct Target {
    service: Binary,
    key: String,
    _receiver: Receiver,
}

impl Target {
    fn start() -> Self {
        let receiver = Receiver::start(NEW);
        let (service, key) = Binary::busy("admin", |folder| {
            let secret = folder.join("secret");
            fs::write(&secret, NEW).expect("a place for the secret");
            format!(
                "[[destination]]\nname = \"books\"\naddress = \"http://127.0.0.1:{}/\"\n\
                 secret_file = \"{}\"\nallow_private = true\nattempts = 1\n",
                receiver.port,
                secret.display()
            )
        });
        Self {
            service,
            key,
            _receiver: receiver,
        }
    }

    /// Asks what a contract describes; what the fuzzer said, and what it counted.
    fn fuzz(&self, contract: &Path, words: &[&str]) -> (Output, Counts) {
        let (tool, ours) = (
            interpreter().with_file_name("schemathesis"),
            folder().join("fuzz"),
        );
        let counted = self.service.folder.join("counts.json");
        let mut command = Command::new(tool);
        command
            .arg("--config-file")
            .arg(ours.join("schemathesis.toml"));
        command.arg("run").arg(contract);
        command.args([
            "--url",
            &self.service.base,
            "--checks",
            "all",
            "--seed",
            "1",
        ]);
        command
            .args(["--no-color", "--output-sanitize", "false"])
            .args(words);
        // Nothing is left beside the tests, and nothing of an earlier run is remembered.
        command.current_dir(&self.service.folder);
        command
            .env("PYTHONDONTWRITEBYTECODE", "1")
            .env("FUZZ_HOOKS", ours.join("hooks.py"));
        command
            .env("FUZZ_ADDRESS", &self.service.base)
            .env("FUZZ_KEY", &self.key);
        command.env("FUZZ_COUNTS", &counted);
        let output = command.output().expect("the fuzzer starts");
        let counts = fs::read(counted).ok();
        let counts = counts.and_then(|text| serde_json::from_slice(&text).ok());
        (output, counts.unwrap_or_default())
    }

    /// Fuzzes the contract itself, which must be kept.
    fn hold(&self, words: &[&str]) -> Counts {
        let (output, counts) = self.fuzz(&folder().join(CONTRACT), words);
        assert!(output.status.success(), "{}", said(&output));
        counts
    }
}

fn contract() -> Value {
    let text = fs::read(folder().join(CONTRACT)).expect("the contract is there");
    serde_json::from_slice(&text).expect("JSON")
}

/// Every operation of the contract, as `GET /v1/rates`.
fn operations(contract: &Value) -> BTreeSet<String> {
    let paths = contract["paths"].as_object().into_iter().flatten();
    let all = paths.flat_map(|(path, item)| {
        let methods = item.as_object().into_iter().flatten();
        methods.map(move |(method, _)| format!("{} {path}", method.to_uppercase()))
    });
    all.collect()
}

/// How often it was asked, and how often it answered well.
fn asked_and_good(answers: &BTreeMap<String, u64>) -> (u64, u64) {
    let good = answers.iter().filter(|(status, _)| status.starts_with('2'));
    (answers.values().sum(), good.map(|(_, count)| count).sum())
}

#[test]
fn every_operation_keeps_the_contract_whatever_is_asked() {
    let long = match std::env::var("TEST_SIZE").as_deref() {
        Ok("long") => true,
        Ok("ci") | Err(_) => false,
        Ok(other) => panic!("TEST_SIZE is {other}, and may be ci or long"),
    };
    let target = Target::start();
    let examples = if long { "500" } else { "20" };
    let by_chance = [
        "--phases",
        "examples,fuzzing,stateful",
        "--max-examples",
        examples,
    ];
    let counts = target.hold(&by_chance);
    for (operation, answers) in &counts {
        let (asked, good) = asked_and_good(answers);
        println!("{operation}: {asked} asked, {good} good, {answers:?}");
        assert!(good > 0, "{operation} never answered well: {answers:?}");
    }
    let all = operations(&contract());
    assert!(all.len() >= 40, "{all:?}");
    assert_eq!(counts.keys().cloned().collect::<BTreeSet<_>>(), all);

    let shallow = ["--exclude-operation-id-regex", DEEP];
    let one_by_one = ["--phases", "coverage"];
    let left_out: &[&str] = if long { &[] } else { &shallow };
    let counts = target.hold(&[&one_by_one[..], left_out].concat());
    let asked: u64 = counts.values().flat_map(BTreeMap::values).sum();
    println!("place by place: {} operations, {asked} asked", counts.len());
    assert!(counts.len() >= 20 && asked > 1_000, "{counts:?}");
}

/// Writes a contract beside the binary's book.
fn write(target: &Target, contract: &Value) -> PathBuf {
    let path = target.service.folder.join("spoiled.json");
    fs::write(&path, contract.to_string()).expect("a place for it");
    path
}

#[test]
fn the_fuzzer_finds_a_contract_that_lies() {
    let target = Target::start();
    let words = [
        "--phases",
        "examples,fuzzing",
        "--max-examples",
        "20",
        "--include-path",
        "/v1/rates",
        "--include-path",
        "/v1/rule-sets",
    ];
    target.hold(&words);

    let mut spoiled = contract();
    let rates = spoiled.pointer_mut("/paths/~1v1~1rates/get/responses");
    let rates = rates.and_then(Value::as_object_mut).expect("answers");
    for refusal in ["400", "404"] {
        let known = rates.remove(refusal);
        known.expect("a name or a book may not be known");
    }
    let sets =
        spoiled.pointer_mut("/paths/~1v1~1rule-sets/get/responses/200/content/application~1json");
    sets.expect("an answer")["schema"] = serde_json::json!({"type": "array"});
    let (output, _) = target.fuzz(&write(&target, &spoiled), &words);
    assert!(!output.status.success());
    let said = said(&output);
    for lie in ["Undocumented status code", "Response violates schema"] {
        assert!(said.contains(lie), "{lie} is not seen: {said}");
    }
}
