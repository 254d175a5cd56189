//! The scripts that a spreadsheet program runs: one read by a parser of its language, one run.
//!
//! Absent: the program that runs the query itself; it runs on no machine of ours. What its text
//! names is held against the answer.

use crate::{
    batch::{answer, example},
    binary::Binary,
    programs::{installed, succeed},
};
use std::fs;

/// What the parser of the query language says of a text.
fn read(name: &str, text: &str) -> String {
    installed();
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::write(&path, text).expect("a place for it");
    succeed("node", &["query.mjs", &path.display().to_string()])
}

fn query() -> String {
    fs::read_to_string(example("query-table.m")).expect("the query")
}

#[test]
fn the_query_is_read_by_a_parser_of_its_language() {
    assert_eq!(read("good.m", &query()).trim(), "reads");
    let broken = query().replace("each {_, type number}", "each {_, type number");
    let said = read("broken.m", &broken);
    assert!(said.starts_with("refused: "), "{said}");
}

/// The names in the lists `Numbers` and `Money` of the query.
fn typed(query: &str) -> Vec<&str> {
    let lists = ["Numbers = {", "Money = {"].map(|start| {
        let (_, rest) = query.split_once(start).expect("a list");
        rest.split_once('}').expect("its end").0
    });
    let names = lists.map(|list| list.split('"').skip(1).step_by(2));
    names.into_iter().flatten().collect()
}

#[test]
fn the_query_gives_a_type_to_every_column_of_numbers_there_is() {
    let service = Binary::start();
    let jobs = "job,rise_in\nSallow Gate clinic (invented),24\n";
    fs::write(service.folder.join("jobs.csv"), jobs).expect("written");
    answer(&service, "jobs.csv", "answer.csv");
    let table = csv::Reader::from_path(service.folder.join("answer.csv"));
    let mut table = table.expect("an answer");
    let head = table.headers().expect("a head").clone();
    let row = table.records().next().expect("a row").expect("whole");
    let columns: Vec<&str> = head.iter().skip(2).collect();
    let query = query();
    let typed = typed(&query);
    for name in &typed {
        assert!(columns.contains(name), "no column is called {name}");
    }
    assert!(typed.len() > 30, "{typed:?}");
    let cells = columns.iter().zip(row.iter().skip(2));
    let numbers = cells.filter(|(_, cell)| cell.parse::<f64>().is_ok());
    for (column, cell) in numbers {
        assert!(
            typed.contains(column),
            "{column} holds {cell} and has no type"
        );
    }
}

/// What the sheet's script made of two jobs, one with a fault.
fn sheet(service: &Binary, key: &str) -> String {
    let script = example("sheet-script.js").display().to_string();
    succeed("node", &["sheet.mjs", &service.base, &script, key])
}

#[test]
fn the_script_of_a_sheet_prices_its_jobs() {
    let (service, key) = Binary::guarded("estimate");
    let made: serde_json::Value = serde_json::from_str(&sheet(&service, &key)).expect("JSON");
    let reason = made["reason"].as_str().expect("a reason");
    assert!(reason.starts_with("rise_in: found \"about 30\""), "{made}");
    let wanted = serde_json::json!({
        "job": true, "status": "ok", "length": 26.5, "start": "2027-04-05", "room": "B07",
        "total": "number", "bad": "error", "reason": reason, "nothing": "",
    });
    assert_eq!(made, wanted);
}

#[test]
fn the_script_of_a_sheet_shows_why_it_is_refused() {
    let (service, _) = Binary::guarded("estimate");
    let said = sheet(&service, "cf_nobody");
    assert!(
        said.starts_with("refused: ") && said.contains("401"),
        "{said}"
    );
}
