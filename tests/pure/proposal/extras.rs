//! Rates for extras, reckoned by hand from the invented demo book.

use crate::worked::{DEMO_JOBS, demo_list, priced, priced_from};
use crossfall::estimate::Estimate;
use crossfall::price::Extra;
use std::fs;

fn extra<'a>(estimate: &'a Estimate, code: &str) -> &'a Extra {
    let found = estimate.extras.iter().find(|extra| extra.code == code);
    found.unwrap_or_else(|| panic!("no {code}"))
}

fn charged(estimate: &Estimate, code: &str) -> String {
    extra(estimate, code).charged.expect(code).to_string()
}

/// Settings of the demo book: contingency and warranty 3 %, overhead 12 %, profit 15 % of the price, 6.25 %
/// tax on materials.
fn raised(cost: f64, material: f64) -> f64 {
    let taxed = cost + material * 0.0625;
    let overhead = taxed * 1.03 * 1.12;
    overhead / 0.85
}

/// To the cent; what is reckoned here rounds once, the rate at each step to a ten-thousandth.
fn check(estimate: &Estimate, code: &str, wanted: f64) {
    let found: f64 = charged(estimate, code).parse().expect("a number");
    assert!(
        (found - wanted).abs() < 0.0051,
        "{code}: {found}, by hand {wanted}"
    );
}

#[test]
fn every_rate_is_its_cost_raised_as_the_build_up_raises_it() {
    let estimate = priced(DEMO_JOBS[0].1);
    // Wages with their burdens: finisher 40.00 + 6.50 + (7.65 + 3.1 + 14) % + 2.00 = 58.40, labourer 43.75.
    check(&estimate, "hour-finisher", raised(58.40, 0.0));
    assert_eq!(charged(&estimate, "hour-finisher"), "79.26");
    check(&estimate, "hour-labourer", raised(43.75, 0.0));
    // One finisher and two labourers for the least of 4 h.
    check(&estimate, "trip", raised(4.0 * 58.40 + 8.0 * 43.75, 0.0));
    check(&estimate, "truck-wait", raised(2.50, 0.0));
    // A yard at 178.00 and 0.65 h of placing it by the chute.
    let yard = 178.0 + 0.65 * 43.75;
    check(&estimate, "concrete", raised(yard, 178.0));
    // 1 in over 1 ft2 is 1/12 ft3, and a yard has 27.
    check(&estimate, "depth", raised(yard, 178.0) / 324.0);
    check(&estimate, "dig-hand", raised(1.6 * 43.75, 0.0));
    let area = 202.0786;
    let covering = 1.1 * area * 0.22 + (0.5 + 0.008 * area) * 43.75;
    check(&estimate, "protection-day", raised(covering / 3.0, 0.0));
}

#[test]
fn metric_jobs_are_given_metric_rates() {
    let us = priced(DEMO_JOBS[0].1);
    let metric = DEMO_JOBS[0].1.replacen('{', "{\"units\": \"metric\",", 1);
    let metric = priced(&metric);
    assert_eq!(extra(&metric, "concrete").unit, "m3");
    assert_eq!(extra(&metric, "depth").unit, "m2 and cm");
    // 1 yd3 = 0.764554857984 m3 (NIST SP 811, B.8).
    let yard: f64 = charged(&us, "dig-hand").parse().expect("a number");
    let metre: f64 = charged(&metric, "dig-hand").parse().expect("a number");
    assert!(
        (metre * 0.764_554_858 - yard).abs() < 0.01,
        "{metre} {yard}"
    );
}

#[test]
fn a_rate_whose_item_has_no_price_is_listed_as_such() {
    let list = demo_list();
    let bags = DEMO_JOBS[0]
        .1
        .replacen('{', "{\"crew\": {\"placing\": \"bags\"},", 1);
    let estimate = priced_from(&list, &bags).unwrap_or_else(|faults| panic!("{faults}"));
    let concrete = extra(&estimate, "concrete");
    assert_eq!(concrete.charged, None);
    assert!(
        concrete
            .cost
            .as_ref()
            .is_err_and(|why| why.contains("truck"))
    );
    assert!(extra(&estimate, "hour-finisher").charged.is_some());
}

/// Rows and cells are asked for by the thousand, and have no room for rates.
#[test]
fn rows_are_not_given_rates() {
    let row = fs::read_to_string("src/http/batch/row.rs").expect("a file of the house");
    assert!(row.contains("supply: false"));
}
