//! The examples that send a batch, in Python and in a shell, against the real binary.

use crate::binary::Binary;
use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

/// A file of the examples.
pub(crate) fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name)
}

/// Runs a script that must succeed; what it wrote.
pub(crate) fn python(script: &Path, words: &[&str]) -> String {
    let mut command = Command::new("python3");
    command.arg("-B").arg(script).args(words);
    succeeded(&mut command)
}

fn ran(command: &mut Command) -> Output {
    let hint = "python3, sh, curl and awk (Debian: apt-get install python3 curl mawk)";
    let output = command.output();
    output.unwrap_or_else(|error| panic!("{command:?}: {error}; install {hint}"))
}

fn succeeded(command: &mut Command) -> String {
    let output = ran(command);
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{command:?}: {complaint}");
    String::from_utf8(output.stdout).expect("text")
}

/// The example in Python, told where the service is.
fn batch_py(service: &Binary, jobs: &Path, answer: &Path) -> Command {
    let mut command = Command::new("python3");
    command
        .arg("-B")
        .arg(example("batch.py"))
        .args([jobs, answer]);
    command.env("SERVICE_URL", &service.base);
    command
}

/// The example in a shell, told the same.
fn batch_sh(service: &Binary, jobs: &Path, answer: &Path) -> Command {
    let mut command = Command::new("sh");
    command.arg(example("batch.sh")).args([jobs, answer]);
    command.env("SERVICE_URL", &service.base);
    command
}

/// Has a file in the service's folder answered into another.
pub(crate) fn answer(service: &Binary, jobs: &str, answer: &str) {
    let place = |name| service.folder.join(name);
    succeeded(&mut batch_sh(service, &place(jobs), &place(answer)));
}

#[test]
fn both_examples_save_the_same_answer_and_count_it() {
    let service = Binary::start();
    let (jobs, first, second) = (
        example("district-entrances.csv"),
        service.folder.join("first.csv"),
        service.folder.join("second.csv"),
    );
    let said = succeeded(&mut batch_py(&service, &jobs, &first));
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(&lines[..2], ["5 error", "295 ok"], "{said}");
    // The five deliberate mistakes, at the rows a sheet shows them in.
    for (line, begins) in lines[2..].iter().zip([
        "row 42: rise_in: ",
        "row 98: slope: ",
        "row 159: rise_in: ",
        "row 204: width_in: ",
        "row 267: left: ",
    ]) {
        assert!(line.starts_with(begins), "{line} and not {begins}");
    }
    assert!(lines[7].contains(" for 295 jobs, "), "{said}");
    assert_eq!(lines.len(), 8, "{said}");

    let counted = succeeded(&mut batch_sh(&service, &jobs, &second));
    assert_eq!(counted, "5 error\n295 ok\n");
    let read = |path| fs::read(path).expect("an answer is saved");
    assert!(
        read(&first) == read(&second),
        "the same jobs, another answer"
    );
}

#[test]
fn both_examples_say_why_there_is_no_answer() {
    let service = Binary::start();
    let jobs = service.folder.join("jobs.csv");
    let answer = service.folder.join("answer.csv");
    fs::write(&jobs, "").expect("written");
    for mut command in [
        batch_py(&service, &jobs, &answer),
        batch_sh(&service, &jobs, &answer),
    ] {
        let output = ran(&mut command);
        let complaint = String::from_utf8_lossy(&output.stderr);
        assert!(!output.status.success(), "{command:?}");
        assert!(complaint.contains("refused with 4"), "{complaint}");
    }
}

#[test]
fn both_examples_send_a_key_from_their_environment() {
    let (service, key) = Binary::guarded("estimate");
    let jobs = service.folder.join("jobs.csv");
    let answer = service.folder.join("answer.csv");
    fs::write(&jobs, "job,rise_in\none,24\n").expect("written");
    for command in [batch_py, batch_sh] {
        let output = ran(&mut command(&service, &jobs, &answer));
        let complaint = String::from_utf8_lossy(&output.stderr);
        assert!(complaint.contains("refused with 401"), "{complaint}");
        let said = succeeded(command(&service, &jobs, &answer).env("SERVICE_KEY", &key));
        assert!(said.starts_with("1 ok"), "{said}");
    }
}

#[test]
fn the_entrances_kept_are_those_the_script_makes() {
    let kept = fs::read_to_string(example("district-entrances.csv")).expect("kept");
    let made = python(&example("make_district_entrances.py"), &[]);
    assert!(made == kept, "not what make_district_entrances.py writes");
}

#[test]
fn the_pour_days_kept_are_those_the_script_makes() {
    let made = tempfile::tempdir().expect("a folder");
    let folder = made.path().to_str().expect("a name");
    python(&example("make_pour_days.py"), &[folder]);
    for day in [
        "pour-mild.json",
        "pour-hot-windy.json",
        "pour-near-freezing.json",
    ] {
        let kept = fs::read_to_string(example(day)).expect("kept");
        let made = fs::read_to_string(made.path().join(day)).expect("made");
        assert!(made == kept, "{day} is not what make_pour_days.py writes");
    }
}
