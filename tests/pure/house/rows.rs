//! Rows of data: each figure has a source, each rule an id of its own, both databases one history.
//!
//! Invariants: a row names its document or stands under one; how far it was verified is one of four
//! words, and `practice` goes with "common practice, no source"; demo rows say that they are
//! invented.

use super::{Source, hold, planted, refuse, source};
use std::collections::BTreeSet;
use toml::{Table, Value};

const PRACTICE: &str = "common practice, no source";
const VERIFIED: &[&str] = &["read", "second_hand", "memory", "practice"];

/// What may stand at a file's top, outside of any row.
const HEADING: &[&str] = &[
    "id", "version", "title", "document", "edition", "section", "verified", "force", "unit",
    "advisory", "extends", "drops",
];

/// Rows that need not say it themselves: the file, the table, and why.
const UNSAID: &[(&str, &str, &str)] = &[
    (
        "src/job/fields.toml",
        "field",
        "a default of ours is practice; a row that follows a document names it",
    ),
    (
        "src/estimate/cautions.toml",
        "caution",
        "sentences of advice without a figure of ours",
    ),
    (
        "src/estimate/cautions.toml",
        "left_out",
        "what an offer does not contain, in words",
    ),
    (
        "src/rules/ada-2010.toml",
        "clearance",
        "one published table, as far verified as the rules that read it",
    ),
];

/// What a row inherits from the table it stands in.
#[derive(Clone, Copy, Default)]
struct Said<'a> {
    document: Option<&'a str>,
    verified: Option<&'a str>,
}

fn unsourced(source: &Source) -> Vec<String> {
    let table: Table = match source.text.parse() {
        Ok(table) => table,
        Err(error) => return vec![format!("{}: {error}", source.path)],
    };
    let loose =
        |(key, value): &(&String, &Value)| !is_nested(value) && !HEADING.contains(&key.as_str());
    let mut breaches: Vec<String> = table
        .iter()
        .filter(loose)
        .map(|(key, _)| format!("{}: `{key}` stands outside of any row", source.path))
        .collect();
    let said = say(&table, Said::default());
    for (name, value) in &table {
        let unsaid = is_unsaid(&source.path, name);
        // What a row that need not say it does say has to be whole by itself.
        let said = if unsaid { Said::default() } else { said };
        visit(value, name, said, &mut |name, said| {
            let fault = fault_of(said, unsaid);
            breaches.extend(fault.map(|fault| format!("{}: {name} {fault}", source.path)));
        });
    }
    breaches
}

fn is_nested(value: &Value) -> bool {
    value.is_table()
        || value
            .as_array()
            .is_some_and(|rows| rows.iter().any(Value::is_table))
}

fn say<'a>(table: &'a Table, above: Said<'a>) -> Said<'a> {
    let own = |key: &str| table.get(key).and_then(Value::as_str);
    Said {
        document: own("document").or(above.document),
        verified: own("verified").or(above.verified),
    }
}

/// Calls `each` with every table that holds a value of its own.
fn visit(value: &Value, name: &str, above: Said<'_>, each: &mut dyn FnMut(&str, Said<'_>)) {
    match value {
        Value::Array(rows) => {
            for (number, row) in rows.iter().enumerate().filter(|(_, row)| is_nested(row)) {
                visit(row, &format!("{name}[{number}]"), above, each);
            }
        }
        Value::Table(table) => {
            let said = say(table, above);
            if table.values().any(|value| !is_nested(value)) {
                each(name, said);
            }
            for (inner, value) in table.iter().filter(|(_, value)| is_nested(value)) {
                visit(value, &format!("{name}.{inner}"), said, each);
            }
        }
        _ => {}
    }
}

fn is_unsaid(path: &str, table: &str) -> bool {
    UNSAID
        .iter()
        .any(|(file, name, _)| *file == path && *name == table)
}

fn fault_of(said: Said<'_>, unsaid: bool) -> Option<&'static str> {
    match (said.document, said.verified) {
        (None, None) if unsaid => None,
        (None, _) => Some("names no document"),
        (_, None) => Some("does not say how far it was verified"),
        (_, Some(word)) if !VERIFIED.contains(&word) => {
            Some("has a word for verified that nobody knows")
        }
        (Some(document), Some(word)) if (document == PRACTICE) != (word == "practice") => {
            Some("is practice by one word and not by the other")
        }
        _ => None,
    }
}

/// What is wrong with the ids of all rule sets together.
fn bad_ids(sets: &[Source]) -> Vec<String> {
    let mut seen = BTreeSet::new();
    let mut breaches = Vec::new();
    for source in sets {
        let set: Table = source.text.parse().unwrap_or_default();
        let name = set.get("id").and_then(Value::as_str).unwrap_or_default();
        let rules = set.get("rule").and_then(Value::as_array);
        for rule in rules.into_iter().flatten() {
            let text = |key| rule.get(key).and_then(Value::as_str).unwrap_or_default();
            let (id, section) = (text("id"), text("section"));
            if !seen.insert(id.to_owned()) {
                breaches.push(format!("{}: {id} is used twice", source.path));
            }
            if !is_id(id, name) || section.is_empty() {
                breaches.push(format!(
                    "{}: {id} is not {name}/<section>, with a letter, or cites no section",
                    source.path
                ));
            }
        }
    }
    breaches
}

/// Whether an id is `<set>/<section>`, with a letter after it where a section has several.
fn is_id(id: &str, set: &str) -> bool {
    let rest = id.strip_prefix(set).and_then(|rest| rest.strip_prefix('/'));
    let (section, letter) = rest
        .unwrap_or_default()
        .split_once('-')
        .map_or((rest.unwrap_or_default(), None), |(section, letter)| {
            (section, Some(letter))
        });
    let in_section = |one: char| one.is_ascii_alphanumeric() || one == '.';
    let is_letter =
        |text: &str| text.len() == 1 && text.starts_with(|one: char| one.is_ascii_lowercase());
    !set.is_empty()
        && !section.is_empty()
        && section.chars().all(in_section)
        && letter.is_none_or(is_letter)
}

fn not_invented(source: &Source) -> Vec<String> {
    let mut breaches = Vec::new();
    if !source
        .text
        .lines()
        .next()
        .unwrap_or_default()
        .contains("Invented")
    {
        breaches.push(format!(
            "{}: does not open by saying that it is invented",
            source.path
        ));
    }
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(source.text.as_bytes());
    for record in reader.records() {
        let noted = record
            .as_ref()
            .is_ok_and(|row| row.iter().next_back().is_some_and(|note| !note.is_empty()));
        if !noted {
            breaches.push(format!("{}: a row without a note: {record:?}", source.path));
        }
    }
    breaches
}

/// What differs between the two databases' histories, and gaps in them.
fn uneven(sqlite: &[String], postgres: &[String]) -> Vec<String> {
    let mut breaches = Vec::new();
    if sqlite != postgres {
        breaches.push(format!("migrations differ: {sqlite:?} and {postgres:?}"));
    }
    for (number, name) in sqlite.iter().enumerate() {
        if !name.starts_with(&format!("{:04}_", number + 1)) || !name.ends_with(".sql") {
            breaches.push(format!("migration {name} is not number {}", number + 1));
        }
    }
    breaches
}

#[test]
fn every_row_has_a_source() {
    hold(&source::below("src", ".toml"), unsourced);
}

#[test]
fn every_rule_has_an_id_of_its_own() {
    let sets = source::below("src/rules", ".toml");
    assert!(!sets.is_empty(), "nothing was looked at");
    refuse(bad_ids(&sets));
}

#[test]
fn every_demo_row_says_it_is_invented() {
    hold(&source::below("src", ".csv"), not_invented);
}

#[test]
fn both_databases_have_one_history() {
    let names = |folder: &str| {
        let files = source::below(&format!("migrations/{folder}"), "");
        let name = |file: &Source| file.path.rsplit('/').next().unwrap_or_default().to_owned();
        files.iter().map(name).collect::<Vec<_>>()
    };
    let (sqlite, postgres) = (names("sqlite"), names("postgres"));
    assert!(!sqlite.is_empty(), "nothing was looked at");
    refuse(uneven(&sqlite, &postgres));
}

#[test]
fn a_planted_row_is_found() {
    let found = |text: &str| planted(unsourced, "src/catalog/a.toml", text);
    let good = "document = \"ASTM\"\nverified = \"read\"\n";
    assert_eq!(found("[truck]\npayload = \"10 yd3\""), 1);
    assert_eq!(
        found("[truck]\npayload = \"10 yd3\"\ndocument = \"ASTM\""),
        1
    );
    assert_eq!(
        found("[truck]\ndocument = \"ASTM\"\nverified = \"surely\""),
        1
    );
    assert_eq!(
        found("[truck]\ndocument = \"ASTM\"\nverified = \"practice\""),
        1
    );
    assert_eq!(
        found("[truck]\ndocument = \"common practice, no source\"\nverified = \"read\""),
        1
    );
    assert_eq!(found(&format!("[[bag]]\na = 1\n{good}[[bag]]\na = 2\n")), 1);
    assert_eq!(found(&format!("[task.a]\n{good}[task.b]\nlow = 1\n")), 1);
    assert_eq!(found("loose = 3"), 1);
    assert_eq!(found("no toml"), 1);
    assert_eq!(
        found(&format!("id = \"a\"\n[[bag]]\na = {{ low = 1 }}\n{good}")),
        0
    );
    assert_eq!(
        found("document = \"ASTM\"\n[[bag]]\na = [1, 2]\nverified = \"memory\""),
        0
    );
    let field = |text: &str| planted(unsourced, "src/job/fields.toml", text);
    assert_eq!(field("[[field]]\nus = \"1\""), 0);
    assert_eq!(field("[[field]]\nus = \"1\"\ndocument = \"ASTM\""), 1);
    assert_eq!(field("[[sealer]]\nage = \"1 d\""), 1);
}

#[test]
fn a_planted_id_is_found() {
    let found = |ids: &[(&str, &str)]| {
        let rule = |(id, section): &(&str, &str)| {
            format!("[[rule]]\nid = \"{id}\"\nsection = \"{section}\"\n")
        };
        let rules: String = ids.iter().map(rule).collect();
        bad_ids(&[
            Source::new("src/rules/a.toml", &format!("id = \"ada\"\n{rules}")),
            Source::new(
                "src/rules/b.toml",
                "id = \"ada\"\n[[rule]]\nid = \"ada/1.1\"\nsection = \"1.1\"\n",
            ),
        ])
        .len()
    };
    assert_eq!(
        found(&[
            ("ada/405.2", "405.2"),
            ("ada/405.2-a", "405.2"),
            ("ada/405.2-b", "405.2")
        ]),
        0
    );
    assert_eq!(found(&[("ada/1.1", "1.1")]), 1);
    assert_eq!(found(&[("ada/405.2", "405.2"), ("ada/405.2", "405.2")]), 1);
    assert_eq!(
        found(&[
            ("ada/405.2-ab", "405.2"),
            ("other/405.3", "405.3"),
            ("ada/405.4", "")
        ]),
        3
    );
}

#[test]
fn a_planted_demo_row_is_found() {
    let found = |text: &str| planted(not_invented, "src/book/demo/a.csv", text);
    assert_eq!(found("# Invented.\na,note\n1,invented\n2,\n"), 1);
    assert_eq!(found("a,note\n1,invented\n"), 1);
    assert_eq!(found("# Invented.\na,note\n1,invented\n"), 0);
}

#[test]
fn a_planted_migration_is_found() {
    let names = |names: &[&str]| {
        names
            .iter()
            .map(|name| (*name).to_owned())
            .collect::<Vec<_>>()
    };
    let (one, two) = (
        names(&["0001_a.sql", "0002_b.sql"]),
        names(&["0001_a.sql", "0002_c.sql"]),
    );
    assert_eq!(uneven(&one, &one).len(), 0);
    assert_eq!(uneven(&one, &two).len(), 1);
    let gap = names(&["0001_a.sql", "0003_b.sql"]);
    assert_eq!(uneven(&gap, &gap).len(), 1);
}
