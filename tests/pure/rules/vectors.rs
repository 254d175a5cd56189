//! Every example of `tests/data/ada-2010.csv`, with its source beside it, and the proof that the table
//! notices when a number of a rule is changed.

use super::bench::{find, set_all, solved, template};
use crossfall::geometry::Geometry;
use crossfall::job::Job;
use crossfall::quantity::{Length, Slope};
use crossfall::rules::{BUILT_IN, RuleSets, Verdict, check};
use serde::Deserialize;

#[derive(Deserialize)]
struct Row {
    id: String,
    source: String,
    template: String,
    set: String,
    rule: String,
    subject: String,
    verdict: String,
    why: String,
}

struct Vector {
    row: Row,
    job: Job,
    geometry: Geometry,
}

fn vectors() -> Vec<Vector> {
    let text = include_str!("../../data/ada-2010.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows = reader
        .deserialize()
        .map(|row| row.expect("a row of eight columns"));
    rows.map(|row: Row| {
        let mut sent = template(&row.template);
        set_all(&mut sent, &row.set);
        let (job, geometry) = solved(&sent);
        Vector { row, job, geometry }
    })
    .collect()
}

const fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Meets => "meets",
        Verdict::AtLimit => "at_limit",
        Verdict::Violates => "violates",
        Verdict::Undetermined => "undetermined",
        Verdict::NotApplicable => "not_applicable",
    }
}

/// What the sets say of a vector: the word of its verdict, or `absent`.
fn answer(vector: &Vector, sets: &RuleSets) -> &'static str {
    let check = check(&vector.job, &vector.geometry, sets).expect("the set is known");
    find(&check, &vector.row.rule, &vector.row.subject)
        .map_or("absent", |finding| word(finding.verdict))
}

#[test]
fn every_example_comes_out_as_published_or_derived() {
    let vectors = vectors();
    assert!(
        vectors.len() >= 200,
        "only {} examples were read",
        vectors.len()
    );
    let mut wrong = Vec::new();
    for vector in &vectors {
        let Row {
            id,
            source,
            rule,
            subject,
            verdict,
            why,
            ..
        } = &vector.row;
        assert!(!source.is_empty(), "{id} has no source");
        let got = answer(vector, RuleSets::built_in());
        if got != verdict {
            wrong.push(format!(
                "{id} ({source}): {rule} on {subject} is {got}, not {verdict}: {why}"
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Every number of the built-in files, each a little larger and a little smaller.
fn corruptions() -> Vec<(String, [String; 2])> {
    let mut all = Vec::new();
    for (file, text) in BUILT_IN.iter().enumerate() {
        let mut name = String::new();
        for (number, line) in text.lines().enumerate() {
            let Some((key, value)) = line.split_once(" = ") else {
                if line.starts_with("[[clearance") {
                    name = format!("clearance at line {}", number + 1);
                }
                continue;
            };
            let value = value.trim_matches('"');
            if key == "id" {
                value.clone_into(&mut name);
            }
            let numbers = [
                "value",
                "least",
                "most",
                "steeper_than",
                "not_steeper_than",
                "depth",
                "strip",
            ];
            if !numbers.contains(&key) {
                continue;
            }
            for changed in moved(value) {
                let mut texts = BUILT_IN.map(str::to_owned);
                let lines = text.lines().enumerate().map(|(n, old)| {
                    if n == number {
                        format!("{key} = \"{changed}\"")
                    } else {
                        old.to_owned()
                    }
                });
                texts[file] = lines.collect::<Vec<_>>().join("\n");
                all.push((format!("{name}: {key} {value} became {changed}"), texts));
            }
        }
    }
    all
}

/// Two percent more and two percent less; a count one more and one less; a zero something.
fn moved(value: &str) -> Vec<String> {
    if let Ok(count) = value.parse::<f64>() {
        let less = (count > 0.0).then(|| (count - 1.0).to_string());
        return less
            .into_iter()
            .chain([(count + 1.0).to_string()])
            .collect();
    }
    if let Ok(length) = Length::parse(value) {
        let inches = length.inches();
        if inches == 0.0 {
            return vec!["1 in".to_owned()];
        }
        return [0.98, 1.02]
            .map(|factor| format!("{} in", inches * factor))
            .into();
    }
    let percent = Slope::parse(value)
        .expect("a length, a slope or a count")
        .percent();
    if percent == 0.0 {
        return vec!["1 %".to_owned()];
    }
    [0.98, 1.02]
        .map(|factor| format!("{} %", percent * factor))
        .into()
}

#[test]
fn no_number_of_a_rule_can_change_unnoticed() {
    let vectors = vectors();
    let corruptions = corruptions();
    assert!(
        corruptions.len() > 100,
        "only {} numbers were found",
        corruptions.len()
    );
    let holds = |sets: &RuleSets| {
        vectors
            .iter()
            .all(|vector| answer(vector, sets) == vector.row.verdict)
    };
    assert!(
        holds(RuleSets::built_in()),
        "the examples themselves must hold first"
    );
    let mut unnoticed = Vec::new();
    for (what, texts) in &corruptions {
        let texts: Vec<&str> = texts.iter().map(String::as_str).collect();
        // A number that cannot even be read is noticed too.
        let Ok(sets) = RuleSets::read(&texts) else {
            continue;
        };
        if holds(&sets) {
            unnoticed.push(what.as_str());
        }
    }
    assert!(unnoticed.is_empty(), "unnoticed:\n{}", unnoticed.join("\n"));
}
