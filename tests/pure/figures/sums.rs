//! The money of a row adds up to the cent, done again with an independent library.

use super::{known, ramp};
use crate::worked::priced;
use crossfall::estimate::Estimate;
use proptest::prelude::*;
use rust_decimal::Decimal;
use std::str::FromStr;

const CLASSES: [&str; 5] = ["material", "labour", "equipment", "fees", "subs"];
const STEPS: [&str; 6] = [
    "direct",
    "tax_paid",
    "contingency",
    "overhead",
    "profit",
    "tax_charged",
];

fn decimal(estimate: &Estimate, name: &str) -> Decimal {
    Decimal::from_str(&known(estimate, name)).expect("a decimal number")
}

fn check(estimate: &Estimate) {
    let sum = |names: &[&str]| -> Decimal { names.iter().map(|one| decimal(estimate, one)).sum() };
    assert_eq!(sum(&CLASSES), decimal(estimate, "direct"));
    assert_eq!(sum(&STEPS), decimal(estimate, "total"));
    assert_eq!(sum(&STEPS[..4]), decimal(estimate, "cost"));
    check_percentages(estimate);
}

fn check_percentages(estimate: &Estimate) {
    let (profit, hundred) = (decimal(estimate, "profit"), Decimal::from(100));
    let near = |name: &str, base: Decimal| {
        let off = decimal(estimate, name) - profit / base * hundred;
        assert!(off.abs() <= Decimal::new(5001, 6), "{name} is off by {off}");
    };
    let cost = decimal(estimate, "cost");
    near("markup_pct", cost);
    near("margin_pct", cost + profit);
}

#[test]
fn twenty_percent_margin_shows_as_twenty_five_percent_markup() {
    let price = r#""price": {"profit": {"basis": "margin", "rate": "20 %"}},"#;
    let estimate = priced(&ramp(price, "28 in", "28 ft"));
    check(&estimate);
    assert_eq!(known(&estimate, "margin_pct"), "20");
    assert_eq!(known(&estimate, "markup_pct"), "25");
}

#[test]
fn a_reserve_for_warranty_work_stands_in_the_contingency() {
    let with = |percent: &str| {
        let price = format!(r#""price": {{"contingency": "{percent}"}},"#);
        let estimate = priced(&ramp(&price, "28 in", "28 ft"));
        check(&estimate);
        decimal(&estimate, "contingency")
    };
    assert!(with("0 %") < with("5 %"));
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: crate::cases().min(800) / 4, ..crate::config() })]

    #[test]
    fn every_row_adds_up_to_the_cent(
        rise in 4.0..58.0_f64, ratio in 9.0..25.0_f64, tax in 0.0..30.0_f64, rate in 0.0..60.0_f64,
        base in prop::sample::select(vec!["none", "materials", "price"]),
        basis in prop::sample::select(vec!["margin", "markup"]),
        contingency in 0.0..20.0_f64,
    ) {
        let price = format!(
            r#""price": {{"contingency": "{contingency:.2} %", "profit": {{"basis": "{basis}", "rate": "{rate:.2} %"}},
            "sales_tax": {{"rate": "{tax:.2} %", "base": "{base}"}}}},"#
        );
        let (rise, length) = (format!("{rise} in"), format!("{} in", rise * ratio));
        check(&priced(&ramp(&price, &rise, &length)));
    }
}
