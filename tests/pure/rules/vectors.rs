//! Every example of `tests/data/ada-2010.csv` and `tests/data/rule-sets.csv`, with its source beside it,
//! and the proof that the tables notice when a number of a rule is changed.
//!
//! A row that was not read in its document decides nothing; its examples look at the side of the limit
//! on which the measured value lies: `open_meets`, `open_at`, `open_violates`.

use super::bench::{find, set_all, solved, template};
use crossfall::geometry::Geometry;
use crossfall::job::Job;
use crossfall::quantity::{Length, Slope};
use crossfall::rules::{BUILT_IN, Finding, Measured, RuleSets, Verdict, check};
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
    let tables = [
        include_str!("../../data/ada-2010.csv"),
        include_str!("../../data/rule-sets.csv"),
    ];
    tables.into_iter().flat_map(read).collect()
}

fn read(text: &str) -> Vec<Vector> {
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

/// The word for a finding; one that hangs on an unread row says on which side of the limit it lies.
fn word_of(finding: &Finding) -> &'static str {
    let room = finding.margin.map(|margin| match margin {
        Measured::Length(length) => length.metres(),
        Measured::Slope(slope) => slope.percent(),
        Measured::Points(number) | Measured::Count(number) => number,
    });
    match (finding.verdict, room) {
        (Verdict::Undetermined, Some(room)) if room > 0.0 => "open_meets",
        (Verdict::Undetermined, Some(room)) if room < 0.0 => "open_violates",
        (Verdict::Undetermined, Some(_)) => "open_at",
        (verdict, _) => word(verdict),
    }
}

/// What the sets say of a vector: the word of its verdict, or `absent`; of a condition whether it is
/// `kept` among those that are listed.
fn answer(vector: &Vector, sets: &RuleSets) -> &'static str {
    let check = check(&vector.job, &vector.geometry, sets).expect("the set is known");
    if vector.row.subject == "condition" {
        let (_, section) = vector.row.rule.split_once('/').expect("set and section");
        let listed = |text: &String| {
            text.ends_with(&format!("({})", whole(section, sets, &vector.row.rule)))
        };
        return if check.conditions.iter().any(listed) {
            "kept"
        } else {
            "absent"
        };
    }
    match find(&check, &vector.row.rule, &vector.row.subject) {
        None => "absent",
        Some(_) if vector.row.verdict == "present" => "present",
        Some(finding) if vector.row.verdict == "undetermined" => word(finding.verdict),
        Some(finding) => word_of(finding),
    }
}

/// The section of a rule as it stands in its row.
fn whole<'a>(section: &'a str, sets: &'a RuleSets, id: &str) -> &'a str {
    let rules = sets.all().iter().flat_map(|set| &set.rules);
    let rule = rules.into_iter().find(|rule| rule.row.id == id);
    rule.map_or(section, |rule| rule.row.section.as_str())
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

/// Every number of the built-in files, each a little larger and a little smaller: what became of it, and
/// the file with its text.
fn corruptions() -> Vec<(String, usize, String)> {
    let mut all = Vec::new();
    for (file, (_, text)) in BUILT_IN.iter().enumerate() {
        let mut name = String::new();
        for (number, line) in text.lines().enumerate() {
            let Some((key, value)) = line.split_once(" = ") else {
                if line.starts_with("[[clearance") {
                    name = format!("clearance at line {}", number + 1);
                }
                continue;
            };
            if key == "id" {
                value.trim_matches('"').clone_into(&mut name);
            }
            for changed in changes(key, value) {
                let lines = text.lines().enumerate().map(|(n, old)| {
                    if n == number {
                        format!("{key} = {changed}")
                    } else {
                        old.to_owned()
                    }
                });
                let text = lines.collect::<Vec<_>>().join("\n");
                all.push((
                    format!("{name}: {key} {value} became {changed}"),
                    file,
                    text,
                ));
            }
        }
    }
    all
}

/// What a line of a row may become; nothing where it holds no number.
fn changes(key: &str, value: &str) -> Vec<String> {
    const NUMBERS: [&str; 10] = [
        "value",
        "least",
        "most",
        "steeper_than",
        "as_steep_as",
        "not_steeper_than",
        "up_to_length",
        "up_to_rise",
        "depth",
        "strip",
    ];
    if key == "reckoned" {
        let more = |part: &str| value.replacen(part, &format!("{part}1"), 1);
        return vec![
            value
                .replacen("base = ", "base = 1", 1)
                .replacen("1-", "-1", 1),
            more("per = "),
        ];
    }
    if !NUMBERS.contains(&key) {
        return Vec::new();
    }
    let moved = moved(value.trim_matches('"')).into_iter();
    moved.map(|text| format!("\"{text}\"")).collect()
}

/// Two percent more and two percent less, in the unit it stands in; a count one more and one less; a
/// zero something.
fn moved(value: &str) -> Vec<String> {
    if let Ok(count) = value.parse::<f64>() {
        let less = (count > 0.0).then(|| (count - 1.0).to_string());
        return less
            .into_iter()
            .chain([(count + 1.0).to_string()])
            .collect();
    }
    if let Ok(length) = Length::parse(value) {
        let unit = value
            .split_whitespace()
            .last()
            .expect("a length with its unit");
        let one = Length::parse(&format!("1 {unit}")).expect("a unit of length");
        let count = length / one;
        if count == 0.0 {
            let something = Length::parse("1 in").expect("an inch") / one;
            return vec![format!("{something} {unit}")];
        }
        return [0.98, 1.02]
            .map(|factor| format!("{} {unit}", count * factor))
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
    let mut unnoticed = Vec::new();
    for (what, file, text) in &corruptions {
        let mut files = BUILT_IN.to_vec();
        files[*file].1 = text;
        // A number that cannot even be read is noticed too.
        let Ok(sets) = RuleSets::read(&files) else {
            continue;
        };
        // Those of the same set first, which are the likeliest to notice.
        let set = what.split('/').next().unwrap_or_default();
        let (near, far): (Vec<&Vector>, Vec<&Vector>) = vectors
            .iter()
            .partition(|vector| vector.row.rule.starts_with(set));
        let holds = |vector: &&Vector| answer(vector, &sets) == vector.row.verdict;
        if near.iter().chain(&far).all(holds) {
            unnoticed.push(what.as_str());
        }
    }
    assert!(unnoticed.is_empty(), "unnoticed:\n{}", unnoticed.join("\n"));
}
