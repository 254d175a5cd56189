//! Reading rule files: the built-in ones, and that a faulty one is refused with every fault named.

use super::bench::{solved, template};
use crossfall::quantity::Verified;
use crossfall::rules::{BUILT_IN, Force, Limit, RuleSets, SetVerdict, Verdict, check};
use std::collections::BTreeSet;

#[test]
fn the_built_in_sets_are_read_and_ids_are_unique() {
    let sets = RuleSets::read(BUILT_IN).expect("the built-in rule sets have no fault");
    for set in sets.all() {
        let ids = set.rules.iter().map(|rule| rule.row.id.as_str());
        let unique: BTreeSet<&str> = ids.collect();
        assert_eq!(unique.len(), set.rules.len(), "{}", set.id);
    }
    let rows: usize = sets.all().iter().map(|set| set.rules.len()).sum();
    assert!(rows > 300 && sets.all().len() > 18);
    let ada = sets.get("ada-2010").expect("the built-in set");
    assert_eq!(
        (ada.force, ada.advisory.as_deref()),
        (Force::Required, Some("advice-us"))
    );
}

#[test]
fn every_row_has_a_section_and_a_document() {
    for rule in RuleSets::built_in().all().iter().flat_map(|set| &set.rules) {
        assert!(!rule.source.document.is_empty());
        assert!(
            rule.source.section.as_ref().is_some_and(|s| !s.is_empty()),
            "{}",
            rule.row.id
        );
    }
}

#[test]
fn no_word_of_a_rule_file_approves_anything() {
    for (_, text) in BUILT_IN {
        assert!(!text.to_lowercase().contains("approv"));
    }
}

#[test]
fn every_fault_of_a_file_is_named_at_once() {
    let text = BUILT_IN[0]
        .1
        .replacen("value = \"1:20\"", "value = \"steep\"", 1)
        .replacen("value = \"36 in\"", "value = \"915 mm\"", 1)
        .replacen("value = \"1/4 in\"", "", 1)
        .replacen("id = \"ada-2010/405.6\"", "id = \"ada-2010/405.5\"", 1)
        .replacen("most = \"7 in\"", "most = \"3 in\"", 1)
        .replacen("measures = \"run_width\"", "measures = \"breadth\"", 1)
        .replacen("strip = \"18 in\"", "strip = \"18\"", 1);
    let faults =
        RuleSets::read(&[("a.toml", &text), BUILT_IN[1]]).expect_err("a faulty file is refused");
    let all = faults.join("\n");
    for part in [
        "ada-2010/106.5: `value`",
        "not in the set's unit",
        "ada-2010/303.2: `value` is missing",
        "the id is not ada-2010/405.6",
        "ada-2010/504.2-a: `least` is not below `most`",
        "ada-2010/405.5: ",
        "ada-2010, clearance 1",
    ] {
        assert!(all.contains(part), "{part} is not in:\n{all}");
    }
}

#[test]
fn ids_are_never_used_twice() {
    let twice = BUILT_IN[1]
        .1
        .replace("advice-us/1.2.5-b", "advice-us/1.2.5-a");
    let faults = RuleSets::read(&[BUILT_IN[0], ("b.toml", &twice)])
        .expect_err("an id used twice is refused");
    assert!(
        faults
            .iter()
            .any(|fault| fault.contains("two rules have this id")),
        "{faults:?}"
    );
}

#[test]
fn a_banded_rule_needs_its_base_row() {
    let text = BUILT_IN[0]
        .1
        .replacen("measures = \"run_slope\"", "measures = \"walk_slope\"", 1);
    let faults =
        RuleSets::read(&[("a.toml", &text), BUILT_IN[1]]).expect_err("bands alone are refused");
    assert!(
        faults.iter().any(|fault| fault.contains("base row")),
        "{faults:?}"
    );
    assert!(
        faults.iter().any(|fault| fault.contains("measured twice")),
        "{faults:?}"
    );
}

#[test]
fn bands_of_slopes_leave_no_gap() {
    for (old, new) in [
        ("not_steeper_than = \"1:10\"", "not_steeper_than = \"1:9\""),
        ("steeper_than = \"1:12\"", "steeper_than = \"1:13\""),
        ("not_steeper_than = \"1:8\"", "not_steeper_than = \"1:7\""),
    ] {
        let text = BUILT_IN[0].1.replacen(old, new, 1);
        let faults =
            RuleSets::read(&[("a.toml", &text), BUILT_IN[1]]).expect_err("a gap is refused");
        let named =
            |fault: &String| fault.contains("does not begin") || fault.contains("do not end");
        assert!(faults.iter().any(named), "{faults:?}");
    }
}

#[test]
fn every_way_to_a_door_has_a_row() {
    let text = BUILT_IN[0]
        .1
        .replace("approach = \"front\"", "approach = \"hinge\"");
    let faults = RuleSets::read(&[("a.toml", &text), BUILT_IN[1]])
        .expect_err("a table with a gap is refused");
    assert!(
        faults
            .iter()
            .any(|fault| fault.contains("approach front, opens away")),
        "{faults:?}"
    );
}

#[test]
fn an_advisory_companion_must_be_there_and_advise() {
    let faults = RuleSets::read(&BUILT_IN[..1]).expect_err("the companion is missing");
    assert!(faults[0].contains("advice-us"), "{faults:?}");
}

#[test]
fn a_row_not_read_in_the_document_decides_nothing() {
    let sets = RuleSets::built_in();
    let text = BUILT_IN[0].1.replacen(
        "value = \"1:12\"\ntitle = \"running slope of a run\"\nverified = \"read\"",
        "value = \"1:12\"\ntitle = \"running slope of a run\"\nverified = \"memory\"",
        1,
    );
    let unread =
        RuleSets::read(&[("a.toml", &text), BUILT_IN[1]]).expect("a row from memory can be read");
    let (job, geometry) = solved(&template("straight"));
    let find = |sets: &RuleSets| {
        let check = check(&job, &geometry, sets).expect("the set is known");
        let finding = check
            .findings
            .iter()
            .find(|finding| finding.rule == "ada-2010/405.2");
        (check.verdict, finding.cloned().expect("a finding"))
    };
    assert_eq!(find(sets).1.verdict, Verdict::Meets);
    let (verdict, finding) = find(&unread);
    assert_eq!(
        (verdict, finding.verdict),
        (SetVerdict::Undetermined, Verdict::Undetermined)
    );
    assert_eq!(finding.source.verified, Verified::Memory);
    assert!(finding.measured.is_some() && finding.limit.is_some());
    assert!(finding.note.is_some_and(|note| note.contains("not read")));
}

#[test]
fn an_unknown_rule_set_is_a_fault_at_its_place() {
    let mut sent = template("straight");
    sent["site"]["rule_sets"] = serde_json::json!(["ada-2010", "no-such-set"]);
    let (job, geometry) = solved(&sent);
    let faults = check(&job, &geometry, RuleSets::built_in()).expect_err("it is not known");
    assert_eq!(faults.0.len(), 1);
    assert_eq!(faults.0[0].pointer, "/site/rule_sets/1");
    assert!(faults.0[0].accepted.contains("ada-2010"));
}

#[test]
fn a_job_without_a_rule_set_is_undetermined() {
    let mut sent = template("straight");
    sent["site"]["rule_sets"] = serde_json::json!([]);
    let (job, geometry) = solved(&sent);
    let check = check(&job, &geometry, RuleSets::built_in()).expect("no set is unknown");
    assert_eq!(check.verdict, SetVerdict::Undetermined);
    assert!(check.findings.is_empty());
}

#[test]
fn a_range_is_read_with_both_ends() {
    let set = RuleSets::built_in()
        .get("ada-2010")
        .expect("the built-in set");
    let height = set
        .rules
        .iter()
        .find(|rule| rule.row.id == "ada-2010/505.4")
        .expect("the row");
    assert!(matches!(height.limit, Limit::Range(..)));
    assert_eq!(height.text(), "34 in to 38 in");
}
