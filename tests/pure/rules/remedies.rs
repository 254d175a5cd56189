//! What a crew is told to do, in numbers, and what is only a condition.

use super::bench::{found, judge, set_all, solved, template};
use crossfall::job::By;
use crossfall::quantity::{Length, Slope};
use crossfall::rules::{Check, Force, Measured, RuleSets, SetVerdict, Verdict, check};

const RUN: &str = "/ramp/path/1";

fn remedy(name: &str, set: &str, (rule, subject): (&str, &str)) -> String {
    let check = judge(name, set);
    found(&check, rule, subject)
        .remedy
        .clone()
        .unwrap_or_default()
}

/// 28 in over 28 ft: at the limit on plan, too steep along the surface (house rule of this project;
/// 2010 ADA Standards, Advisory 405.3).
#[test]
fn a_run_taped_along_the_surface_is_told_how_much_it_lacks() {
    let set = "/ramp/path/1/rise=28 in; /ramp/path/1/length=28 ft; /ramp/path/1/measured=surface";
    let check = judge("straight", set);
    let finding = found(&check, "ada-2010/405.2", RUN);
    let Some(Measured::Slope(slope)) = finding.measured else {
        panic!("a slope is measured")
    };
    assert!(
        (slope.percent() - 8.3624).abs() < 1e-4,
        "{}",
        slope.percent()
    );
    let expected =
        "lengthen run 1 by 1 3/16 in, to 28 ft on plan (28 ft 1 3/16 in along the surface)";
    assert_eq!(finding.remedy.as_deref(), Some(expected));
    let note = finding.note.as_deref().unwrap_or_default();
    assert!(
        note.contains("28 ft along the surface is 27 ft 10 13/16 in on plan"),
        "{note}"
    );
    assert!(note.contains("on plan would comply"), "{note}");
    assert_eq!(check.verdict, SetVerdict::DoesNotComply);
    assert_eq!(
        check.tightest().map(|finding| finding.rule.as_str()),
        Some("ada-2010/405.2")
    );
}

#[test]
fn a_steep_run_is_lengthened_to_the_next_sixteenth() {
    let set = "/ramp/path/3/rise=15 1/2 in; /ramp/path/3/length=15 ft";
    let text = remedy("two", set, ("ada-2010/405.2", "/ramp/path/3"));
    assert_eq!(text, "lengthen run 2 by 6 in, to 15 ft 6 in on plan");
}

/// D12: 4 in at 1:9 needs 40 in, which is 1:10.
#[test]
fn a_run_out_of_its_band_is_led_to_the_band_that_holds_it() {
    let existing = "/site/existing_and_space_limited=true";
    let set = format!("/ramp/path/1/rise=4 in; /ramp/path/1/length=36 in; {existing}");
    let text = remedy("straight", &set, ("ada-2010/405.2-b", RUN));
    assert_eq!(text, "lengthen run 1 by 4 in, to 3 ft 4 in on plan");
    let set = format!("/ramp/path/1/rise=7 in; /ramp/path/1/length=63 in; {existing}");
    let text = remedy("straight", &set, ("ada-2010/405.2-b", RUN));
    assert_eq!(text, "lengthen run 1 by 1 ft 9 in, to 7 ft on plan");
}

/// 13 in at 7.5 % is 173.33 in (advice P18).
#[test]
fn advice_tells_its_length_and_counts_for_nothing() {
    let check = judge(
        "straight",
        "/ramp/path/1/rise=13 in; /ramp/path/1/length=13 ft",
    );
    let finding = found(&check, "advice-us/1.2.5-a", RUN);
    assert_eq!(
        (finding.verdict, finding.force),
        (Verdict::Violates, Force::Advisory)
    );
    let expected = "lengthen run 1 by 1 ft 5 3/8 in, to 14 ft 5 3/8 in on plan";
    assert_eq!(finding.remedy.as_deref(), Some(expected));
    assert_eq!(check.verdict, SetVerdict::Complies, "{:#?}", broken(&check));
    assert!(
        check
            .sets
            .iter()
            .any(|set| set.advisory && set.id == "advice-us")
    );
}

fn broken(check: &Check) -> Vec<&crossfall::rules::Finding> {
    check
        .findings
        .iter()
        .filter(|finding| finding.counts_as() != SetVerdict::Complies)
        .collect()
}

#[test]
fn a_rise_too_high_is_divided() {
    let text = remedy(
        "straight",
        "/ramp/path/1/rise=48 in; /ramp/path/1/length=576 in",
        ("ada-2010/405.6", RUN),
    );
    assert_eq!(
        text,
        "divide run 1 into 2 runs that rise 2 ft each, with a landing of 60 in between"
    );
}

/// D17: 48 in at 1:12 are two runs and three landings, 756 in overall; D19: at 7.5 % 820 in.
#[test]
fn two_runs_and_three_landings_carry_48_inches() {
    for (length, overall, advised) in [("288 in", 756.0, false), ("320 in", 820.0, true)] {
        let set = format!(
            "/ramp/path/1/rise=24 in; /ramp/path/1/length={length}; /ramp/path/3/rise=24 in; /ramp/path/3/length={length}"
        );
        let mut sent = template("two");
        set_all(&mut sent, &set);
        let (job, geometry) = solved(&sent);
        assert!((geometry.plan_length().inches() - overall).abs() < 1e-9);
        let check = check(&job, &geometry, RuleSets::built_in()).expect("the set is known");
        assert_eq!(check.verdict, SetVerdict::Complies, "{:#?}", broken(&check));
        let advice = found(&check, "advice-us/1.2.5-a", RUN).verdict;
        assert_eq!(advice == Verdict::AtLimit, advised);
    }
}

/// D49: 30 in over 360 in is 361.248 in long; D50: 4 in square to it are 4.0139 in plumb.
#[test]
fn a_surface_is_longer_than_its_plan() {
    let mut sent = template("straight");
    set_all(
        &mut sent,
        "/ramp/path/1/rise=30 in; /ramp/path/1/length=360 in",
    );
    let (_, geometry) = solved(&sent);
    assert!((geometry.surfaces[1].surface_length.inches() - 361.248).abs() < 5e-4);
    let plumb = Length::from_inches(4.0) * Slope::one_in(12.0).surface_factor();
    assert!((plumb.inches() - 4.0139).abs() < 5e-5);
}

#[test]
fn widths_say_the_slab_and_rails_their_inset() {
    let text = remedy(
        "straight",
        "/ramp/path/1/width=45 in",
        ("ada-2010/405.5", RUN),
    );
    // Between rails it is narrower still, so that one is the worse: 33 in less twice 2 in.
    assert_eq!(
        text,
        "widen run 1 by 7 in, so that 36 in stay clear between the handrails"
    );
    let set = "/ramp/handrails/inset=8 in";
    let text = remedy("straight", set, ("ada-2010/405.5", RUN));
    assert_eq!(
        text,
        "set the handrails along run 1 at most 6 in in from the edge or the curb"
    );
    let set = "/ramp/path/1/width=45 in; /ramp/handrails=none";
    let text = remedy("straight", set, ("ada-2010/405.5", RUN));
    assert_eq!(text, "widen run 1 by 3 in, to a slab of 4 ft");
}

#[test]
fn falls_are_told_over_the_whole_width() {
    let set = "/ramp/path/1/cross_slope=3 %; /ramp/path/1/width=48 in";
    let text = remedy(
        "straight",
        set,
        ("ada-2010/405.3", "/ramp/path/1/cross_slope"),
    );
    assert_eq!(text, "let run 1 fall at most 1 in over its 4 ft");
}

#[test]
fn landings_are_stretched_with_their_curbs() {
    let set =
        "/ramp/path/2/length=60 in; /ramp/path/2/edges/end=formed; /ramp/path/2/curbs=[\"end\"]";
    let text = remedy("straight", set, ("ada-2010/405.7.3", "/ramp/path/2"));
    assert_eq!(text, "lengthen landing 2 by 6 in, to a slab 5 ft 6 in long");
    let set = "/ramp/path/2/length=5 ft; /ramp/path/2/width=63 in; /ramp/path/2/curbs=[\"right\"]";
    let text = remedy("corner", set, ("ada-2010/405.7.4", "/ramp/path/2"));
    assert_eq!(text, "widen landing 2 by 3 in, to a slab 5 ft 6 in wide");
}

#[test]
fn landings_that_follow_straight_on_count_together() {
    let mut sent = template("straight");
    let path = sent["ramp"]["path"].as_array_mut().expect("a path");
    path[2]["length"] = "30 in".into();
    path.push(serde_json::json!({"kind": "landing", "work": "existing", "length": "30 in"}));
    let (job, geometry) = solved(&sent);
    let check = check(&job, &geometry, RuleSets::built_in()).expect("the set is known");
    assert_eq!(
        found(&check, "ada-2010/405.7.3", "/ramp/path/2").verdict,
        Verdict::AtLimit
    );
}

#[test]
fn runs_without_a_landing_between_are_one() {
    let mut sent = template("straight");
    let path = sent["ramp"]["path"].as_array_mut().expect("a path");
    path.insert(
        2,
        serde_json::json!({"kind": "run", "rise": "16 in", "length": "20 ft"}),
    );
    let (job, geometry) = solved(&sent);
    let check = check(&job, &geometry, RuleSets::built_in()).expect("the set is known");
    let finding = found(&check, "ada-2010/405.6", RUN);
    assert_eq!(finding.verdict, Verdict::Violates);
    let text = finding.remedy.as_deref().unwrap_or_default();
    assert!(
        text.starts_with("divide run 1 and run 2 into 2 runs"),
        "{text}"
    );
}

#[test]
fn a_missing_landing_is_named_with_its_end() {
    let text = remedy("headless", "", ("ada-2010/405.7", RUN));
    assert_eq!(text, "add a landing of 60 in at the head of run 1");
}

#[test]
fn rails_by_others_are_conditions_and_do_not_count() {
    let check = judge("straight", "/ramp/handrails/by=others");
    assert_eq!(check.verdict, SetVerdict::Complies, "{:#?}", broken(&check));
    assert!(
        check
            .conditions
            .iter()
            .any(|c| c.contains("handrails by others"))
    );
    let open: Vec<&str> = check
        .findings
        .iter()
        .filter(|finding| finding.verdict == Verdict::Undetermined)
        .map(|finding| {
            assert_eq!(finding.by, Some(By::Others));
            assert!(finding.remedy.is_some());
            finding.rule.as_str()
        })
        .collect();
    let expected = [
        "405.5", "405.8", "505.2", "505.4", "505.5", "505.10.1", "505.7.1",
    ];
    assert_eq!(open, expected.map(|rule| format!("ada-2010/{rule}")));
}

#[test]
fn rails_that_are_missing_are_described_in_the_sets_numbers() {
    let text = remedy(
        "straight",
        "/ramp/handrails=none",
        ("ada-2010/405.8", "/ramp/handrails"),
    );
    assert_eq!(
        text,
        "have handrails set on both sides of run 1, 34 in to 38 in high, with level extensions of at least 12 in past each end"
    );
}

#[test]
fn edge_protection_by_others_is_a_condition() {
    let check = judge("straight", "/ramp/curb=none; /ramp/handrails/by=others");
    assert_eq!(check.verdict, SetVerdict::Complies, "{:#?}", broken(&check));
    let condition = check
        .conditions
        .iter()
        .find(|c| c.contains("edge protection by others"));
    assert!(
        condition.is_some_and(|c| c.contains("left and right of run 1")),
        "{condition:?}"
    );
    let text = remedy("straight", "/ramp/curb=none", ("ada-2010/405.9", RUN));
    assert_eq!(
        text,
        "cast a curb at least 4 in high along left and right of run 1, or set a barrier there"
    );
}

#[test]
fn a_low_curb_is_raised() {
    let text = remedy(
        "straight",
        "/ramp/curb/height=3 in",
        ("ada-2010/405.9.2", "/ramp/curb/height"),
    );
    assert_eq!(text, "cast the curb 1 in higher, to 4 in");
}

#[test]
fn a_door_is_given_room() {
    let door = "/ramp/path/2/door";
    let set = "/ramp/path/2/width=48 in; /ramp/path/1/width=48 in; /ramp/path/2/length=55 in";
    let text = remedy("door", set, ("ada-2010/404.2.4-c", door));
    assert_eq!(
        text,
        "enlarge landing 2 by 6 in along the door's edge, to 4 ft 6 in clear"
    );
    let text = remedy("door", set, ("ada-2010/404.2.4-a", door));
    assert_eq!(
        text,
        "deepen landing 2 by 5 in, to 60 in clear in front of the door"
    );
}

#[test]
fn a_missing_fact_is_named() {
    let mut sent = template("door");
    sent["ramp"]["path"][2]["door"] = serde_json::json!({"edge": "end"});
    let (job, geometry) = solved(&sent);
    let check = check(&job, &geometry, RuleSets::built_in()).expect("the set is known");
    assert_eq!(check.verdict, SetVerdict::Undetermined);
    let finding = found(
        &check,
        "ada-2010/404.2.4-b",
        "/ramp/path/2/door/beyond_latch",
    );
    assert!(
        finding
            .remedy
            .as_ref()
            .is_some_and(|text| text.contains("beyond_latch"))
    );
    assert_eq!(
        check.tightest().map(|f| f.rule.as_str()),
        Some("ada-2010/404.2.4-b")
    );
}

#[test]
fn every_broken_rule_has_a_remedy_and_nothing_is_approved() {
    let sets = [
        (
            "straight",
            "/ramp/path/1/length=10 ft; /ramp/path/1/width=30 in; /ramp/path/1/cross_slope=4 %; /ramp/curb/height=2 in; /ramp/path/2/length=40 in; /ramp/path/2/slope_along=4 %; /ramp/handrails/height=30 in; /ramp/handrails/clearance=1 in; /ramp/handrails/extension=6 in; /ramp/handrails/both_sides=false",
        ),
        (
            "straight",
            "/ramp/curb=none; /ramp/handrails=none; /ramp/path/1/rise=40 in",
        ),
        (
            "headless",
            "/ramp/curb=none; /ramp/barrier/by=us; /ramp/barrier/gap_below=6 in",
        ),
        (
            "door",
            "/ramp/path/2/length=40 in; /ramp/path/2/door/beyond_latch=3 in; /ramp/path/2/door/threshold=1 in; /ramp/path/2/slope_across=4 %",
        ),
        (
            "corner",
            "/ramp/path/2/length=62 in; /ramp/path/2/width=60 in; /ramp/path/2/curbs=[\"right\"]",
        ),
        (
            "level",
            "/ramp/level_changes/0/height=1 in; /ramp/level_changes/0/shape=vertical",
        ),
        (
            "curb_ramp",
            "/ramp/curb_ramps/0/rise=6 in; /ramp/curb_ramps/0/length=40 in; /ramp/curb_ramps/0/width=30 in; /ramp/curb_ramps/0/flare=1:8; /ramp/curb_ramps/0/counter_slope=1:10; /ramp/curb_ramps/0/top_landing=20 in; /ramp/curb_ramps/0/cross_slope=4 %",
        ),
        (
            "steps",
            "/ramp/steps/0/risers=[\"8 in\", \"9 in\"]; /ramp/steps/0/treads=[\"9 in\", \"10 in\"]; /ramp/steps/0/open_risers=true; /ramp/steps/0/tread_slope=4 %; /ramp/steps/0/nosing=2 in; /ramp/steps/0/nosing_radius=1 in",
        ),
    ];
    let mut seen = 0;
    for (name, set) in sets {
        let check = judge(name, set);
        assert_eq!(check.verdict, SetVerdict::DoesNotComply);
        for finding in &check.findings {
            let open = matches!(finding.verdict, Verdict::Violates | Verdict::Undetermined);
            let words = format!("{:?} {:?}", finding.remedy, finding.note).to_lowercase();
            assert!(!words.contains("approv"), "{words}");
            assert_eq!(open, finding.remedy.is_some(), "{}: {words}", finding.rule);
            seen += usize::from(finding.verdict == Verdict::Violates);
        }
    }
    assert!(seen > 35, "only {seen} broken rules were seen");
}

#[test]
fn uneven_risers_show_both_figures_and_say_why_they_are_open() {
    let set = "/ramp/steps/0/risers=[\"6 in\", \"6 1/8 in\"]; /ramp/steps/0/treads=[\"11 in\"]; /ramp/steps/0/tread_slope=1 %; /ramp/steps/0/nosing=1 in; /ramp/steps/0/nosing_radius=1/4 in";
    let check = judge("steps", set);
    let finding = found(&check, "ada-2010/504.2-c", "/ramp/steps/0/risers");
    assert_eq!(finding.verdict, Verdict::Undetermined);
    assert!(
        finding
            .note
            .as_ref()
            .is_some_and(|note| note.contains("3/16 in"))
    );
    assert_eq!(check.verdict, SetVerdict::Undetermined);
}
