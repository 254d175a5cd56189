//! The generated client at work: it asks the real binary, which has a book of its own.

use crate::programs::{compile, installed, said, succeed};
use std::{
    fs,
    io::{BufRead as _, BufReader},
    path::PathBuf,
    process::{Child, Command, Stdio},
    sync::atomic::{AtomicUsize, Ordering},
};

/// The binary on a free port, ended when the test ends.
struct Binary {
    child: Child,
    folder: PathBuf,
    base: String,
}

impl Binary {
    fn start() -> Self {
        static NUMBER: AtomicUsize = AtomicUsize::new(0);
        let number = NUMBER.fetch_add(1, Ordering::Relaxed);
        let name = format!("callers-{}-{number}", std::process::id());
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
        fs::create_dir_all(&folder).expect("a place for the book");
        let log = fs::File::create(folder.join("log")).expect("a place for the log");
        let book = format!("sqlite://{}", folder.join("book.db").display());
        let mut child = Command::new(env!("CARGO_BIN_EXE_crossfall"))
            .env_clear()
            .env("CROSSFALL_LISTEN", "127.0.0.1:0")
            .env("CROSSFALL_DATABASE_URL", book)
            .stdout(Stdio::piped())
            .stderr(log)
            .spawn()
            .expect("the binary starts");
        let out = child.stdout.take().expect("its output is ours");
        let mut line = String::new();
        let read = BufReader::new(out).read_line(&mut line);
        read.expect("a line comes");
        let base = line.trim().strip_prefix("listening on ");
        let base = base.expect("the line names the address").to_owned();
        Self {
            child,
            folder,
            base,
        }
    }
}

impl Drop for Binary {
    fn drop(&mut self) {
        // Whatever is left of them harms nobody.
        let _ = self.child.kill();
        let _ = self.child.wait();
        let _ = fs::remove_dir_all(&self.folder);
    }
}

/// Calls one function of the compiled caller.
fn call(function: &str, base: &str) -> String {
    let script = format!(
        "import caller from \"./out/caller.js\"; console.log(await caller.{function}(process.argv[1]));"
    );
    succeed("node", &["--input-type=module", "--eval", &script, base])
        .trim()
        .to_owned()
}

#[test]
fn a_generated_typescript_client_gets_a_price_and_a_refusal() {
    let output = compile("caller.ts", &["--outDir", "out"]);
    assert!(output.status.success(), "{}", said(&output));
    let service = Binary::start();

    let answer = call("price", &service.base);
    let (verdict, rest) = answer.split_once(": ").expect("verdict: total");
    assert!(
        ["complies", "does_not_comply", "undetermined"].contains(&verdict),
        "{answer}"
    );
    let (total, rest) = rest.split_once(" USD, ").expect("a total in dollars");
    assert!(
        total.parse::<f64>().is_ok_and(|total| total > 1_000.0),
        "{answer}"
    );
    let order = rest.strip_suffix(" yd3").expect("an order in cubic yards");
    assert!(
        order.parse::<f64>().is_ok_and(|order| order > 1.0),
        "{answer}"
    );

    assert_eq!(
        call("refusal", &service.base),
        "422 /problems/faults /ramp/width"
    );
}

/// What is sent, answered and expanded fits the schemas that are published.
#[test]
fn jobs_answers_and_expanded_jobs_fit_the_published_schemas() {
    installed();
    let service = Binary::start();
    // Seven jobs, each sent and answered and expanded by four calls.
    let said = succeed("node", &["fits.mjs", &service.base]);
    assert_eq!(said.trim(), "63 fit");
}
