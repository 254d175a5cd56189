//! Every line multiplied and every step added up again with `rust_decimal`.

use crate::worked::{DEMO_JOBS, demo_list, priced, priced_from};
use crossfall::estimate::Estimate;
use crossfall::price::{Step, StepName};
use crossfall::quantity::money::Percentage;
use rust_decimal::{Decimal, RoundingStrategy};
use std::str::FromStr;

fn decimal(text: impl ToString) -> Decimal {
    Decimal::from_str(&text.to_string()).expect("a decimal number")
}

fn cents(amount: Decimal) -> Decimal {
    amount.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero)
}

fn rate(rate: Option<Percentage>) -> Decimal {
    decimal(rate.expect("a rate").millionths()) / decimal(1_000_000)
}

fn check_money(name: &str, estimate: &Estimate) {
    let priced = &estimate.priced;
    let mut direct = Decimal::ZERO;
    for line in &priced.lines {
        let quantity = decimal(line.quantity.ten_thousandths()) / decimal(10_000);
        let extended = cents(quantity * decimal(line.unit_price));
        assert_eq!(decimal(line.extended), extended, "{name}: {}", line.code);
        direct += extended;
    }
    let steps = &priced.build_up.steps;
    assert_eq!(decimal(steps[0].amount), direct, "{name}: direct");
    let mut sum = direct;
    for step in &steps[1..] {
        let base = decimal(step.base.expect("a base"));
        assert_eq!(
            decimal(step.amount),
            expected(step, base),
            "{name}: {:?}",
            step.name
        );
        if step.name != StepName::TaxPaid {
            assert_eq!(
                base, sum,
                "{name}: the base of {:?} is the sum so far",
                step.name
            );
        }
        sum += decimal(step.amount);
    }
    assert_eq!(decimal(priced.build_up.total()), sum, "{name}: total");
}

fn expected(step: &Step, base: Decimal) -> Decimal {
    let rate = rate(step.rate);
    if step.margin {
        cents(base * rate / (Decimal::ONE - rate))
    } else {
        cents(base * rate)
    }
}

#[test]
fn the_demo_jobs_add_up_to_the_cent() {
    for (name, job) in DEMO_JOBS {
        check_money(name, &priced(job));
    }
}

/// Margin and markup of one price: 20 % margin is 25 % markup (arithmetic; a table of the trade).
#[test]
fn twenty_percent_margin_is_twenty_five_percent_markup() {
    let with = |basis: &str, percent: &str| {
        let job = DEMO_JOBS[0].1.trim_end().trim_end_matches('}');
        let job = format!(
            r#"{job}, "price": {{"profit": {{"basis": "{basis}", "rate": "{percent}"}}}}}}"#
        );
        let estimate = priced(&job);
        check_money(basis, &estimate);
        estimate.priced.build_up.total().minor()
    };
    assert_eq!(with("margin", "20 %"), with("markup", "25 %"));
}

#[test]
fn tax_on_the_price_is_charged_last_and_tax_on_materials_is_paid_first() {
    let with = |base: &str| {
        let job = DEMO_JOBS[0].1.trim_end().trim_end_matches('}');
        let job =
            format!(r#"{job}, "price": {{"sales_tax": {{"rate": "8 %", "base": "{base}"}}}}}}"#);
        let estimate = priced(&job);
        check_money(base, &estimate);
        let amount = |name| estimate.priced.build_up.amount(name).minor();
        (amount(StepName::TaxPaid), amount(StepName::TaxCharged))
    };
    let (paid, charged) = with("materials");
    assert!(paid > 0 && charged == 0);
    let (paid, charged) = with("price");
    assert!(paid == 0 && charged > 0);
    assert_eq!(with("none"), (0, 0));
}

/// Site requirements: hours of each person are worked, a fee is a line, a percentage is of direct cost.
#[test]
fn site_requirements_are_charged_as_hours_fees_and_percentages() {
    let job = DEMO_JOBS[0].1.trim_end().trim_end_matches('}');
    let plain = priced(DEMO_JOBS[0].1);
    let asked = priced(&format!(
        r#"{job}, "requirements": [{{"name": "induction", "hours_per_person": "1 h"}},
        {{"name": "badges", "fee": "75.00"}}, {{"name": "portal fee", "percent": "1 %"}}]}}"#
    ));
    check_money("requirements", &asked);
    let fee = |name: &str| {
        let line = asked
            .priced
            .lines
            .iter()
            .find(|line| line.description == name);
        decimal(line.expect("a line").extended)
    };
    assert_eq!(fee("badges"), decimal("75.00"));
    let before: Decimal = asked
        .priced
        .lines
        .iter()
        .filter(|line| line.code != "site-requirement")
        .map(|line| decimal(line.extended))
        .sum();
    assert_eq!(fee("portal fee"), cents(before * decimal("0.01")));
    assert!(asked.hours.totals.task.hours() >= plain.hours.totals.task.hours() + 3.0 - 1e-9);
}

#[test]
fn what_has_no_price_leaves_the_total_open_and_is_named() {
    // Working for the owner, paving and fill are ours, and the demo book does not price them.
    let job = DEMO_JOBS[0].1.replacen('{', r#"{"scope": "prime","#, 1);
    let estimate = priced_from(&demo_list(), &job).expect("a good job");
    assert!(!estimate.priced.complete());
    assert_eq!(estimate.priced.total(), None);
    assert_eq!(estimate.headline.price, None);
    let codes: Vec<&str> = estimate
        .priced
        .unpriced
        .iter()
        .map(|line| line.code.as_str())
        .collect();
    assert!(codes.contains(&"paving"), "{codes:?}");
    assert!(estimate.priced.priced_so_far().minor() > 0);
}
