//! Sets that extend others: local amendments, and what is refused.

use super::bench::{found, set_all, solved, template};
use crossfall::rules::{BUILT_IN, Check, RuleSets, SetVerdict, Verdict, check};

/// An invented county's amendment: a wider run than the Standards ask.
const COUNTY: &str = "id = \"county-invented\"
version = 1
title = \"Invented County amendments\"
document = \"Invented County Code, title 9, amendments to the accessibility standards\"
edition = \"2026, invented\"
force = \"required\"
unit = \"in\"
extends = \"ada-2010\"

[[rule]]
id = \"county-invented/9.4\"
section = \"9.4\"
measures = \"run_width\"
sense = \"at_least\"
value = \"54 in\"
replaces = \"ada-2010/405.5\"
title = \"clear width of a run\"
verified = \"read\"
";

fn with(own: &[(&str, &str)]) -> Result<RuleSets, String> {
    let files: Vec<(&str, &str)> = BUILT_IN.iter().chain(own).copied().collect();
    RuleSets::read(&files).map_err(|faults| faults.join("\n"))
}

fn refusal(own: &[(&str, &str)]) -> String {
    with(own).expect_err("a faulty file is refused")
}

fn judged(sets: &RuleSets, set: &str) -> Check {
    let mut sent = template("straight");
    let named = format!("/site/rule_sets=[\"{set}\"]");
    set_all(
        &mut sent,
        &format!("{named}; /ramp/path/1/width=60 in; /ramp/path/2/width=60 in"),
    );
    set_all(
        &mut sent,
        "/ramp/curb/width=4 in; /ramp/handrails/inset=0 in",
    );
    let (job, geometry) = solved(&sent);
    check(&job, &geometry, sets).expect("the set is known")
}

#[test]
fn an_amendment_changes_the_verdict_and_is_cited() {
    let sets = with(&[("county.toml", COUNTY)]).expect("no fault");
    let (before, after) = (judged(&sets, "ada-2010"), judged(&sets, "county-invented"));
    let width = found(&before, "ada-2010/405.5", "/ramp/path/1");
    assert_eq!(
        width.verdict,
        Verdict::Meets,
        "60 less two curbs of 4 is 52"
    );
    let width = found(&after, "county-invented/9.4", "/ramp/path/1");
    assert_eq!(width.verdict, Verdict::Violates);
    assert_eq!(width.source.document, "Invented County amendments");
    assert_eq!(width.source.section.as_deref(), Some("9.4"));
    assert_eq!(after.verdict, SetVerdict::DoesNotComply);
    assert_ne!(before.verdict, SetVerdict::DoesNotComply);
    // What it does not amend is still cited from what it extends, and warned of by its companion.
    let rise = found(&after, "ada-2010/405.6", "/ramp/path/1");
    assert_eq!(
        (rise.set.as_str(), rise.source.document.as_str()),
        ("county-invented", "2010 ADA Standards")
    );
    assert!(after.sets.iter().any(|set| set.id == "advice-us"));
}

#[test]
fn what_is_dropped_no_longer_holds() {
    let text = COUNTY.replace("extends =", "drops = [\"ada-2010/405.6\"]\nextends =");
    let sets = with(&[("county.toml", &text)]).expect("no fault");
    let county = judged(&sets, "county-invented");
    assert!(
        county
            .findings
            .iter()
            .all(|finding| finding.rule != "ada-2010/405.6")
    );
}

#[test]
fn a_loop_an_unknown_base_and_an_unknown_row_are_named() {
    let other = COUNTY
        .replace("county-invented", "town-invented")
        .replace("extends = \"ada-2010\"", "extends = \"county-invented\"");
    let looped = COUNTY.replace("extends = \"ada-2010\"", "extends = \"town-invented\"");
    let faults = refusal(&[("a.toml", &looped), ("b.toml", &other)]);
    assert!(
        faults.contains("county-invented: extends itself, by way of"),
        "{faults}"
    );
    assert!(
        faults.contains("town-invented: extends itself, by way of"),
        "{faults}"
    );
    let nowhere = COUNTY.replace("extends = \"ada-2010\"", "extends = \"ada-1910\"");
    let faults = refusal(&[("a.toml", &nowhere)]);
    assert!(
        faults.contains("county-invented: extends ada-1910, which is no rule set"),
        "{faults}"
    );
    let row = COUNTY.replace("ada-2010/405.5", "ada-2010/999");
    let faults = refusal(&[("a.toml", &row)]);
    assert!(
        faults.contains("county-invented: ada-2010 has no row ada-2010/999"),
        "{faults}"
    );
}

#[test]
fn every_fault_of_every_local_file_is_named_with_its_place() {
    let unit = COUNTY.replace("54 in", "1370 mm");
    let broken = "id = 7";
    let faults = refusal(&[("county.toml", &unit), ("town.toml", broken)]);
    assert!(
        faults.contains("county-invented/9.4: `value`: \"1370 mm\" is not in the set's unit, in"),
        "{faults}"
    );
    assert!(faults.contains("town.toml: "), "{faults}");
    let twice = COUNTY.replace("replaces = \"ada-2010/405.5\"\n", "");
    let faults = refusal(&[("county.toml", &twice)]);
    assert!(faults.contains("run_width is measured twice"), "{faults}");
}

#[test]
fn rows_that_ask_nothing_or_contradict_themselves_are_refused() {
    let classed = COUNTY.replace(
        "title = \"clear width of a run\"",
        "up_to_rise = \"6 in\"\ntitle = \"clear\"",
    );
    assert!(refusal(&[("a.toml", &classed)]).contains("`up_to_rise` is not used by this row"));
    let none = COUNTY
        .replace("run_width", "rail_sides")
        .replace("54 in", "0")
        .replace("ada-2010/405.5", "ada-2010/505.2");
    assert!(refusal(&[("a.toml", &none)]).contains("at least none asks nothing"));
    let slope = COUNTY
        .replace("run_width", "run_slope")
        .replace("at_least", "at_most")
        .replace("54 in", "1:14")
        .replace("ada-2010/405.5", "ada-2010/405.2");
    let band = slope.replace(
        "replaces",
        "steeper_than = \"1:12\"\nnot_steeper_than = \"1:14\"\nreplaces",
    );
    assert!(refusal(&[("a.toml", &band)]).contains("is not below `not_steeper_than`"));
    let both = slope.replace(
        "replaces",
        "steeper_than = \"1:20\"\nas_steep_as = \"1:20\"\nreplaces",
    );
    assert!(refusal(&[("a.toml", &both)]).contains("exclude each other"));
}
