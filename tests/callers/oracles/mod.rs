//! Reference libraries that compute the same by other means: solids by meshes, optima by solvers, vapour by a
//! handbook, signatures by the library of their specification.
//!
//! Invariants: what is compared was computed there from the numbers of the case alone, never from our
//! answer; the libraries are pinned in `requirements.txt` and stand in a folder of their own.

mod cutting;
mod ledgers;
mod loads;
mod schedule;
pub(crate) mod solids;
mod stories;
mod typical_years;
mod vapour;
pub(crate) mod webhooks;

use crate::programs::folder;
use serde_json::Value;
use std::fs::{self, File};
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};

/// Installs the pinned libraries, once for all test processes; the interpreter that sees them.
pub(crate) fn interpreter() -> PathBuf {
    let out = folder().join("out");
    fs::create_dir_all(&out).expect("a folder for what callers write");
    let lock = File::create(out.join("python.lock")).expect("a file to wait at");
    lock.lock().expect("one installs, the others wait");
    let (home, wanted) = (out.join("python"), folder().join("requirements.txt"));
    let (python, kept) = (home.join("bin/python3"), home.join("installed.txt"));
    let wanted_text = fs::read_to_string(&wanted).expect("the pinned libraries");
    if fs::read_to_string(&kept).is_ok_and(|text| text == wanted_text) {
        return python;
    }
    let hint = "Python 3.11 or newer with venv and pip (Debian: apt-get install python3-venv)";
    let mut make = Command::new("python3");
    make.args(["-m", "venv"]).arg(&home);
    succeed(&mut make, hint);
    let mut install = Command::new(&python);
    install.args([
        "-m",
        "pip",
        "install",
        "--quiet",
        "--disable-pip-version-check",
    ]);
    install.arg("-r").arg(&wanted);
    succeed(&mut install, hint);
    fs::write(&kept, wanted_text).expect("a note of what is installed");
    python
}

fn succeed(command: &mut Command, hint: &str) {
    let output = command.output();
    let output = output.unwrap_or_else(|error| panic!("{command:?}: {error}; install {hint}"));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{command:?}: {said}; needs {hint}");
}

/// What a script beside this file answers to a question.
pub(crate) fn ask(script: &str, question: &Value) -> Value {
    let mut asked = Command::new(interpreter());
    asked.arg("-B").arg(folder().join("oracles").join(script));
    asked.stdin(Stdio::piped()).stdout(Stdio::piped());
    let mut running = asked.spawn().expect("the interpreter starts");
    let mut input = running.stdin.take().expect("a way in");
    let question = question.to_string();
    let writer = std::thread::spawn(move || input.write_all(question.as_bytes()));
    let output = running.wait_with_output().expect("the script ends");
    writer.join().expect("no panic").expect("all was read");
    assert!(output.status.success(), "{script} failed, see above");
    serde_json::from_slice(&output.stdout).expect("JSON")
}
