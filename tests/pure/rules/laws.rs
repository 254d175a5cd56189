//! Laws that hold for every ramp: longer never fails more, wider never fails more.

use super::bench::{solved, template};
use crate::config;
use crossfall::rules::{Check, Finding, Measured, RuleSets, SetVerdict, check};
use proptest::prelude::*;
use serde_json::json;

/// A ramp of two runs round a turning landing, in sixteenths of an inch.
#[derive(Clone, Copy, Debug)]
struct Sizes {
    rise: u32,
    run: u32,
    landing_length: u32,
    landing_width: u32,
}

fn sixteenths(count: u32) -> String {
    format!("{} in", f64::from(count) / 16.0)
}

fn judge(sizes: Sizes, measured: &str) -> Check {
    let mut sent = template("corner");
    for run in [1, 3] {
        let run = &mut sent["ramp"]["path"][run];
        run["rise"] = json!(sixteenths(sizes.rise));
        run["length"] = json!(sixteenths(sizes.run));
        run["measured"] = json!(measured);
        run["width"] = json!("48 in");
    }
    sent["ramp"]["path"][2]["length"] = json!(sixteenths(sizes.landing_length));
    sent["ramp"]["path"][2]["width"] = json!(sixteenths(sizes.landing_width));
    let (job, geometry) = solved(&sent);
    check(&job, &geometry, RuleSets::built_in()).expect("the set is known")
}

fn broken(check: &Check) -> Vec<&Finding> {
    let counts = |f: &&Finding| f.counts_as() == SetVerdict::DoesNotComply;
    check.findings.iter().filter(counts).collect()
}

/// Every rule broken after is one that was broken before.
fn none_new(before: &Check, after: &Check) -> Result<(), TestCaseError> {
    for finding in broken(after) {
        let same =
            |other: &&Finding| other.rule == finding.rule && other.subject == finding.subject;
        prop_assert!(broken(before).iter().any(same), "new: {finding:?}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(config())]

    /// A ramp of at least 1:20 keeps being a ramp here: a walk answers to other rules.
    #[test]
    fn a_longer_run_never_fails(
        rise in 96_u32..480, factor in 4_u32..19, more in 1_u32..160, surface in any::<bool>(),
    ) {
        let measured = if surface { "surface" } else { "plan" };
        let sizes = Sizes { rise, run: rise * factor, landing_length: 1000, landing_width: 1000 };
        let longer = Sizes { run: sizes.run + more.min(rise / 2), ..sizes };
        none_new(&judge(sizes, measured), &judge(longer, measured))?;
    }

    #[test]
    fn a_longer_run_is_never_steeper(rise in 16_u32..480, run in 300_u32..9000, more in 1_u32..800) {
        let slope = |run: u32| {
            let check = judge(Sizes { rise, run, landing_length: 1000, landing_width: 1000 }, "plan");
            let steep = |f: &&Finding| f.rule.ends_with("405.2") || f.rule.ends_with("403.3-a");
            let finding = check.findings.iter().find(steep).cloned();
            finding.and_then(|finding| finding.margin)
        };
        // A walk and a ramp have limits of their own, so only like is held against like.
        let ramp = |run: u32| rise * 20 > run;
        if ramp(run) == ramp(run + more)
            && let (Some(Measured::Points(before)), Some(Measured::Points(after))) = (slope(run), slope(run + more))
        {
            prop_assert!(after >= before);
        }
    }

    #[test]
    fn a_larger_landing_never_fails_more(
        length in 768_u32..1200, width in 768_u32..1200, more in 1_u32..400, wider in any::<bool>(),
    ) {
        let sizes = Sizes { rise: 240, run: 3840, landing_length: length, landing_width: width };
        let larger = if wider {
            Sizes { landing_width: width + more, ..sizes }
        } else {
            Sizes { landing_length: length + more, ..sizes }
        };
        none_new(&judge(sizes, "plan"), &judge(larger, "plan"))?;
    }

    /// What a remedy says is enough: a run lengthened as told no longer breaks the rule.
    #[test]
    fn a_remedy_mends(rise in 96_u32..480, run in 200_u32..4000, surface in any::<bool>()) {
        prop_assume!(rise < run);
        let measured = if surface { "surface" } else { "plan" };
        let sizes = Sizes { rise, run, landing_length: 1000, landing_width: 1000 };
        let check = judge(sizes, measured);
        let told = broken(&check).into_iter().find(|finding| finding.rule == "ada-2010/405.2").cloned();
        if let Some(remedy) = told.and_then(|finding| finding.remedy) {
            let by = remedy.split(" by ").nth(1).and_then(|rest| rest.split(',').next());
            let by = crossfall::quantity::Length::parse(by.expect("the remedy says by how much"));
            let more = by.expect("a length on the tape").inches() * 16.0;
            let longer = Sizes { run: run + more.round() as u32, ..sizes };
            let mended = judge(longer, measured);
            prop_assert!(broken(&mended).iter().all(|finding| finding.rule != "ada-2010/405.2"), "{remedy}");
        }
    }
}
