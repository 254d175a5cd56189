//! A rule set of the office's own, beside the ones that it may extend.
//!
//! Invariants: a set that is taken judges any ramp; what it says is finite; a refusal names its faults.

use super::flow::{check_finite, today};
use crossfall::geometry::{Geometry, solve};
use crossfall::job::{Job, JobRequest, expand};
use crossfall::rules::{BUILT_IN, RuleSets, check};
use std::sync::OnceLock;

/// Built-in sets that stand beside it; all would take most of the time.
const BESIDE: [&str; 2] = ["ada-2010.toml", "advice-us.toml"];

const RAMPS: [&str; 3] = [
    include_str!("../../../../examples/straight.json"),
    include_str!("../../../../examples/l-shape.json"),
    include_str!("../../../../examples/switchback.json"),
];

/// One TOML file.
pub fn rules(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let beside = BUILT_IN.iter().filter(|(name, _)| BESIDE.contains(name));
    let files: Vec<(&str, &str)> = beside.copied().chain([("own.toml", text)]).collect();
    let sets = match RuleSets::read(&files) {
        Ok(sets) => sets,
        Err(faults) => {
            assert!(!faults.is_empty() && faults.iter().all(|fault| !fault.is_empty()));
            return;
        }
    };
    let own = sets.all().last().expect("three sets").id.clone();
    for (job, geometry) in ramps() {
        let mut job = job.clone();
        job.site.rule_sets = vec![own.clone()];
        let judged = check(&job, geometry, &sets).expect("the set is known");
        check_finite(&judged);
    }
}

fn ramps() -> &'static [(Job, Geometry)] {
    static SOLVED: OnceLock<Vec<(Job, Geometry)>> = OnceLock::new();
    SOLVED.get_or_init(|| RAMPS.iter().map(|text| solved(text)).collect())
}

fn solved(text: &str) -> (Job, Geometry) {
    let sent: JobRequest = serde_json::from_str(text).expect("an example");
    let job = expand(sent, today()).expect("an example").job;
    let geometry = solve(&job);
    (job, geometry)
}
