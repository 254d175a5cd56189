//! The example that the README shows: twenty invented pours over four days.

use super::planned;
use serde_json::Value;
use std::collections::BTreeSet;

const EXAMPLE: &str = include_str!("../../../examples/load-plan.json");

#[test]
fn the_example_is_proven_best_and_saves_what_the_readme_says() {
    let body: Value = serde_json::from_str(EXAMPLE).expect("JSON");
    let (asked, plan) = planned(&body);
    let days: BTreeSet<String> = asked
        .pours
        .iter()
        .map(|pour| pour.day.to_string())
        .collect();
    assert_eq!((asked.pours.len(), days.len()), (20, 4));
    assert!(plan.proven);
    assert_eq!(plan.bound, plan.cost.charges.total());
    let (cost, apart) = (plan.cost.charges.total(), plan.one_by_one.charges.total());
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md"));
    let said = format!(
        "{} loads instead of {} and {} USD instead of {}",
        plan.cost.loads, plan.one_by_one.loads, cost, apart
    );
    assert!(readme.expect("a README").contains(&said), "{said}");
    assert!(cost < apart);
}
