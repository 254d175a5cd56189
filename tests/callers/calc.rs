//! LibreOffice Calc at work: the live workbook asks the real binary, a batch stands beside its CSV.
//!
//! Invariants: what is compared is compared in `calc.py`, which says where something does not
//! hold; here each file is also spoiled once, and that must be seen.

use crate::{
    batch::{answer, example, python},
    binary::Binary,
};
use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

const HINT: &str = "apt-get install libreoffice-calc-nogui python3-uno";

/// Lets Calc hold files of a folder to what `calc.py` says of them.
fn calc(words: &[&str]) -> Output {
    // The module that reaches Calc belongs to the system's own Python.
    let own = Path::new("/usr/bin/python3");
    let program = if own.exists() {
        own
    } else {
        Path::new("python3")
    };
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/callers/calc.py");
    let output = Command::new(program).arg(script).args(words).output();
    output.unwrap_or_else(|error| panic!("no Python ({error}): {HINT}"))
}

/// What it said where everything held.
fn held(words: &[&str]) -> String {
    let output = calc(words);
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{words:?}: {complaint}");
    String::from_utf8_lossy(&output.stdout).trim().to_owned()
}

/// What it said where something did not hold.
fn refused(words: &[&str]) -> String {
    let output = calc(words);
    assert!(!output.status.success(), "{words:?} must not hold");
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// The path of the service's folder, as Calc is told it.
fn folder(service: &Binary) -> &str {
    service.folder.to_str().expect("a readable path")
}

/// The live workbook, in both formats, made for the address of a service.
fn workbooks(service: &Binary) {
    let place = |name| service.folder.join(name).display().to_string();
    let books = [place("live.fods"), place("live.xlsx"), service.base.clone()];
    python(
        &example("make_live.py"),
        &books.each_ref().map(String::as_str),
    );
}

fn every_cell_holds(locale: &str, book: &str) {
    let service = Binary::start();
    workbooks(&service);
    let said = held(&["live", locale, book, folder(&service), &service.base]);
    // Seven priced jobs of nine figures; the eighth shows its reason.
    assert_eq!(said, "63 cells hold", "{locale} {book}");
}

#[test]
fn the_live_workbook_shows_numbers_and_reasons() {
    every_cell_holds("en-US", "live.fods");
}

#[test]
fn the_live_workbook_shows_the_same_where_decimals_have_a_comma() {
    every_cell_holds("de-DE", "live.fods");
}

#[test]
fn the_other_format_of_the_live_workbook_shows_the_same() {
    every_cell_holds("en-US", "live.xlsx");
    every_cell_holds("de-DE", "live.xlsx");
}

#[test]
fn the_live_workbook_sends_the_key_of_its_cell() {
    let (service, key) = Binary::guarded("cell");
    workbooks(&service);
    let path = service.folder.join("live.fods");
    let check = [
        "live",
        "en-US",
        "live.fods",
        folder(&service),
        &service.base,
    ];
    let said = refused(&check);
    assert!(said.contains("'error': 8"), "{said}");

    let text = fs::read_to_string(&path).expect("the workbook");
    let label = "<text:p>key</text:p></table:table-cell>\n";
    let cell = format!(
        "<table:table-cell office:value-type=\"string\"><text:p>{key}</text:p></table:table-cell>"
    );
    let filled = text.replace(
        &format!("{label}<table:table-cell/>"),
        &format!("{label}{cell}"),
    );
    assert_ne!(filled, text, "there is no cell for a key");
    fs::write(&path, filled).expect("written");
    assert_eq!(held(&check), "63 cells hold");
}

#[test]
fn the_workbooks_kept_are_those_the_script_makes() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("workbooks");
    fs::create_dir_all(&folder).expect("a place for them");
    let made = ["live.fods", "live.xlsx"].map(|name| folder.join(name).display().to_string());
    python(
        &example("make_live.py"),
        &made.each_ref().map(String::as_str),
    );
    for path in made.each_ref().map(Path::new) {
        let kept = example(
            path.file_name()
                .and_then(|name| name.to_str())
                .expect("a name"),
        );
        let same = fs::read(path).expect("made") == fs::read(&kept).expect("kept");
        assert!(same, "{} is not what make_live.py writes", kept.display());
    }
}

/// Opens a workbook in which one text stands for another; what is then complained of.
fn spoiled(locale: &str, (good, bad): (&str, &str)) -> String {
    let service = Binary::start();
    workbooks(&service);
    let path = service.folder.join("live.fods");
    let text = fs::read_to_string(&path).expect("the workbook");
    assert!(text.contains(good), "there is no {good} to spoil");
    fs::write(&path, text.replace(good, bad)).expect("written");
    refused(&["live", locale, "live.fods", folder(&service), &service.base])
}

#[test]
fn a_figure_that_is_a_text_is_seen() {
    let said = spoiled(
        "en-US",
        (r#""number(//"&amp;[.R$8]&amp;")""#, r#""//total""#),
    );
    assert!(
        said.contains("totals are numbers") || said.contains("total is"),
        "{said}"
    );
}

#[test]
fn a_number_sent_with_a_comma_is_seen() {
    let said = spoiled("de-DE", (r#"SUBSTITUTE([.$B10];",";".")"#, "[.$B10]"));
    assert!(said.contains("28,5"), "{said}");
}

/// Writes the 300 entrances in a dialect, and what the service answers to them.
fn entrances(service: &Binary, words: &[&str]) {
    let jobs = python(&example("make_district_entrances.py"), words);
    fs::write(service.folder.join("jobs.csv"), jobs).expect("written");
    answer(service, "jobs.csv", "answer.csv");
}

fn lines_up(service: &Binary, locale: &str) -> String {
    held(&["batch", locale, "jobs.csv", "answer.csv", folder(service)])
}

#[test]
fn an_answered_batch_lines_up_with_its_jobs() {
    let service = Binary::start();
    entrances(&service, &[]);
    assert_eq!(lines_up(&service, "en-US"), "295 priced, 5 explained");
}

#[test]
fn an_answered_batch_lines_up_where_decimals_have_a_comma() {
    let service = Binary::start();
    entrances(&service, &["semicolons"]);
    assert_eq!(lines_up(&service, "de-DE"), "295 priced, 5 explained");
}

#[test]
fn a_moved_row_and_a_missing_cent_are_seen() {
    let service = Binary::start();
    entrances(&service, &[]);
    let path = service.folder.join("answer.csv");
    let good = fs::read_to_string(&path).expect("the answer");
    let check = ["batch", "en-US", "jobs.csv", "answer.csv", folder(&service)];

    let mut lines: Vec<&str> = good.split("\r\n").collect();
    lines.swap(2, 3);
    fs::write(&path, lines.join("\r\n")).expect("written");
    let said = refused(&check);
    assert!(said.contains("row 3 was sent as"), "{said}");

    let cent = good.replacen(",167.00,", ",167.01,", 1);
    assert_ne!(cent, good);
    fs::write(&path, cent).expect("written");
    let said = refused(&check);
    assert!(said.contains("direct is not its parts"), "{said}");
}
