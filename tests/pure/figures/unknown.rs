//! A figure that cannot be known says why; it is never zero.

use super::{found, known, ramp};
use crate::worked::priced;
use crossfall::figures::{FIGURES, NotKnown};

/// Everything that hangs on the whole price.
const OF_TOTAL: [&str; 11] = [
    "direct",
    "tax_paid",
    "contingency",
    "overhead",
    "profit",
    "tax_charged",
    "cost",
    "total",
    "price_per_area",
    "per_crew_day",
    "margin_pct",
];

#[test]
fn a_line_without_a_price_leaves_its_class_and_every_sum_unpriced() {
    // Working for the owner, paving and fill are ours, and the demo book does not price them.
    let estimate = priced(&ramp(r#""scope": "prime","#, "28 in", "28 ft"));
    for name in OF_TOTAL.into_iter().chain(["subs", "markup_pct"]) {
        let why = found(&estimate, name).expect_err(name);
        assert!(matches!(why, NotKnown::Unpriced(_)), "{name}: {why:?}");
        assert!(why.why().starts_with("no price for "), "{name}: {why:?}");
    }
    let why = found(&estimate, "subs").expect_err("unpriced");
    assert!(why.why().contains("paving"), "{why:?}");
    assert_eq!(known(&estimate, "status"), "incomplete");
    assert_eq!(known(&estimate, "complete"), "0");
    assert_ne!(known(&estimate, "unpriced"), "0");
    // Hours have a price, whatever the paving costs.
    assert_ne!(known(&estimate, "labour"), "0.00");
    assert_eq!(
        known(&estimate, "paid_hours"),
        known(&estimate, "paid_hours")
    );
}

#[test]
fn a_percentage_that_the_site_asks_is_not_known_while_a_line_has_no_price() {
    let asked = r#""scope": "prime", "requirements": [{"name": "portal fee", "percent": "1 %"}],"#;
    let estimate = priced(&ramp(asked, "28 in", "28 ft"));
    assert!(found(&estimate, "fees").is_err());
}

#[test]
fn more_than_three_lines_without_a_price_are_counted() {
    let job = ramp(r#""scope": "prime","#, "28 in", "28 ft");
    let barrier = r#""ramp": {"curb": "none", "barrier": {"by": "us"}, "#;
    let estimate = priced(&job.replace(r#""ramp": {"#, barrier));
    let missing = estimate.priced.unpriced.len();
    let why = found(&estimate, "total").expect_err("unpriced");
    assert!(missing > 3, "{missing}");
    assert!(
        why.why().contains(&format!("and {} more", missing - 3)),
        "{why:?}"
    );
}

#[test]
fn a_price_without_an_end_leaves_the_validity_open() {
    let estimate = priced(&ramp("", "28 in", "28 ft"));
    let why = found(&estimate, "valid_until").expect_err("no price ends");
    assert!(matches!(why, NotKnown::Undetermined(_)), "{why:?}");
}

#[test]
fn without_a_rule_set_there_is_no_margin() {
    let estimate = priced(&ramp(r#""site": {"rule_sets": []},"#, "28 in", "28 ft"));
    let why = found(&estimate, "worst_margin").expect_err("no rule");
    assert!(why.why().contains("rule_set"), "{why:?}");
    assert!(known(&estimate, "note").starts_with("Undetermined: "));
}

#[test]
fn what_is_not_known_says_so_in_a_line() {
    let estimate = priced(&ramp(r#""scope": "prime","#, "28 in", "28 ft"));
    let open = FIGURES
        .iter()
        .filter_map(|figure| figure.of(&estimate).err());
    let mut count = 0;
    for why in open {
        assert!(why.why().len() > 20 && !why.why().contains('\n'), "{why:?}");
        count += 1;
    }
    assert!(count > 10);
}
