//! A figure and the whole answer show the same digits.

use super::{found, known, ramp};
use crate::worked::{DEMO_JOBS, priced};
use crossfall::estimate::Estimate;
use crossfall::http::answer::{EstimateAnswer, View};
use proptest::prelude::*;
use serde_json::Value;

/// Figures, and where the answer to a whole estimate shows the same.
const SAME: &[(&str, &str)] = &[
    ("verdict", "/check/verdict"),
    ("plan_length", "/geometry/total_plan_length/value"),
    ("surface_length", "/geometry/total_surface_length/value"),
    ("surface_area", "/geometry/surface_area/value"),
    ("concrete_net", "/takeoff/concrete/net/value"),
    ("concrete_order", "/headline/concrete_order/order/value"),
    ("loads", "/headline/concrete_order/trucks"),
    ("load_shortfall", "/takeoff/concrete/short_of_minimum/value"),
    ("bags", "/takeoff/concrete/bags"),
    ("saw_depth", "/geometry/joints/contraction/depth/value"),
    (
        "isolation_length",
        "/geometry/joints/isolation_length/value",
    ),
    ("task_hours", "/crew_hours/totals/task_hours/value"),
    ("paid_hours", "/headline/paid_hours/paid/value"),
    ("standby_hours", "/headline/paid_hours/standby/value"),
    ("travel_hours", "/headline/paid_hours/travel/value"),
    ("visits", "/headline/visits/count"),
    ("calendar_days", "/headline/visits/calendar_days"),
    ("crew_days", "/crew_hours/crew_days/value"),
    ("cost", "/price/cost"),
    ("total", "/price/total"),
    ("price_per_area", "/price/per_area/amount"),
    ("per_crew_day", "/headline/overhead_and_profit/per_crew_day"),
    ("unpriced", "/headline/price/unpriced"),
    ("oldest_price", "/headline/validity/oldest_price_days"),
    ("revision", "/headline/validity/revision"),
    ("as_of", "/computed_with/as_of"),
    ("book", "/computed_with/books/0/code"),
    ("currency", "/price/currency"),
    ("fingerprint", "/fingerprint"),
    ("direct", "/price/build_up/0/amount"),
    ("tax_paid", "/price/build_up/1/amount"),
    ("contingency", "/price/build_up/2/amount"),
    ("overhead", "/price/build_up/3/amount"),
    ("profit", "/price/build_up/4/amount"),
    ("tax_charged", "/price/build_up/5/amount"),
];

/// Order figures, the beginning of the item's code, and whether it is bought in their unit.
const ORDERED: &[(&str, &str)] = &[("stone_order", "stone-"), ("insulation_boards", "xps-")];

fn answer(estimate: &Estimate) -> Value {
    let view = View {
        system: estimate.job.units,
        working: false,
    };
    let answer = EstimateAnswer::of(estimate.clone(), view, false);
    serde_json::to_value(answer).expect("an answer can be written")
}

fn text(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

fn check(estimate: &Estimate) {
    let whole = answer(estimate);
    for (name, pointer) in SAME {
        let there = whole.pointer(pointer);
        let there = text(there.unwrap_or_else(|| panic!("nothing at {pointer}")));
        assert_eq!(known(estimate, name), there, "{name} and {pointer}");
    }
    check_counts(estimate, &whole);
    check_sums(estimate, &whole);
}

fn listed<'a>(whole: &'a Value, pointer: &str) -> &'a [Value] {
    let list = whole.pointer(pointer).and_then(Value::as_array);
    list.unwrap_or_else(|| panic!("no list at {pointer}"))
}

fn check_counts(estimate: &Estimate, whole: &Value) {
    let findings = listed(whole, "/check/findings").iter();
    let required = findings.filter(|finding| finding["force"] == "required");
    let count = |verdict: &str| {
        let found = required.clone().filter(|one| one["verdict"] == verdict);
        found.count().to_string()
    };
    assert_eq!(known(estimate, "violations"), count("violates"));
    assert_eq!(known(estimate, "at_limits"), count("at_limit"));
    let open = required
        .clone()
        .filter(|one| one["verdict"] == "undetermined" && one["by"] != "others");
    assert_eq!(known(estimate, "undetermined"), open.count().to_string());
    let assumptions = listed(whole, "/assumptions").len().to_string();
    assert_eq!(known(estimate, "assumptions"), assumptions);
    let bars = listed(whole, "/takeoff/cut_lists").iter();
    let bars = bars.filter(|list| list["of"] == "/reinforcement");
    let bars: u64 = bars.filter_map(|list| list["pieces"].as_u64()).sum();
    assert_eq!(known(estimate, "bars"), bars.to_string());
}

fn check_sums(estimate: &Estimate, whole: &Value) {
    for (name, class) in [
        ("material", "material"),
        ("labour", "labour"),
        ("equipment", "equipment"),
        ("fees", "fee"),
        ("subs", "sub"),
    ] {
        let subtotals = listed(whole, "/price/subtotals").iter();
        let there = subtotals.clone().find(|one| one["class"] == class);
        assert_eq!(known(estimate, name), text(&there.expect(class)["amount"]));
    }
    let us = estimate.job.units == crossfall::quantity::System::Us;
    for (name, code) in ORDERED.iter().filter(|_| us) {
        let lines = listed(whole, "/takeoff/lines").iter();
        let mut lines = lines.filter(|line| text(&line["code"]).starts_with(code));
        let there = lines
            .next()
            .map_or("0".to_owned(), |line| text(&line["order"]["value"]));
        assert_eq!(known(estimate, name), there, "{name}");
    }
    let slopes = listed(whole, "/geometry/surfaces").iter();
    let runs = slopes.filter(|surface| surface["kind"] == "run");
    let steepest = runs
        .max_by(|a, b| {
            let of = |one: &Value| one["slope"]["value"].as_f64().unwrap_or_default().abs();
            of(a).total_cmp(&of(b))
        })
        .expect("a run");
    assert_eq!(known(estimate, "slope"), text(&steepest["slope"]["value"]));
    assert_eq!(
        known(estimate, "slope_ratio"),
        text(&steepest["slope"]["ratio"])
    );
}

#[test]
fn the_demo_jobs_show_the_same_figures_as_their_whole_answers() {
    for (_, job) in DEMO_JOBS {
        check(&priced(job));
        let metric = job.replacen('{', r#"{"units": "metric","#, 1);
        check(&priced(&metric));
    }
}

#[test]
fn what_is_bought_is_what_the_order_list_says() {
    let estimate = priced(DEMO_JOBS[0].1);
    for order in &estimate.to_order {
        let number = order.order.number();
        if order.code.starts_with("silane") {
            let gallons: f64 = known(&estimate, "sealer_order").parse().expect("a number");
            assert!(
                (gallons / number - 5.0).abs() < 1e-9,
                "pails of 5 gal: {gallons}"
            );
        }
    }
    assert!(
        estimate
            .to_order
            .iter()
            .any(|one| one.code.starts_with("silane"))
    );
    assert_eq!(known(&estimate, "curing_order"), "0");
    assert_ne!(known(&estimate, "rail_length"), "0");
}

#[test]
fn a_metric_order_is_never_rounded_down() {
    let job = ramp("", "28 in", "28 ft");
    let us = priced(&job);
    let metric = priced(&job.replacen('{', r#"{"units": "metric", "sealer": {},"#, 1));
    let number = |estimate: &Estimate, name: &str| -> f64 {
        known(estimate, name).parse().expect("a number")
    };
    // 1 short ton is 0.907185 t, 1 gal 3.785412 L (NIST Handbook 44, Appendix C).
    for (name, factor) in [
        ("stone_order", 0.907_184_74),
        ("sealer_order", 3.785_411_784),
    ] {
        let (ours, theirs) = (number(&us, name), number(&metric, name));
        assert!(
            ours > 0.0 && theirs >= ours * factor - 1e-9,
            "{name}: {ours}, {theirs}"
        );
        assert!(theirs - ours * factor <= 0.1, "{name}: {ours}, {theirs}");
    }
}

#[test]
fn the_worst_margin_is_that_of_the_steepest_run_against_the_base_row() {
    // 30 in over 28 ft is 8.929 %; 2010 ADA Standards, 405.2: at most 1:12, 8.333 %.
    let estimate = priced(&ramp("", "30 in", "28 ft"));
    assert_eq!(known(&estimate, "slope"), "8.929");
    assert_eq!(known(&estimate, "slope_ratio"), "1:11.2");
    assert_eq!(known(&estimate, "worst_margin"), "-0.595");
    assert!(known(&estimate, "first_violation").starts_with("ada-2010/405.2"));
    assert_eq!(known(&estimate, "rise_max"), "30");
    let none = priced(&ramp("", "28 in", "30 ft"));
    assert_eq!(known(&none, "first_violation"), "none");
}

#[test]
fn the_last_day_is_that_of_the_last_visit() {
    let extra = r#""site": {"start": "2026-06-01"},"#;
    let estimate = priced(&ramp(extra, "28 in", "30 ft"));
    let last = estimate.hours.visits.last().and_then(|visit| visit.date);
    let last = last.expect("a date").to_string();
    assert_eq!(known(&estimate, "last_day"), last);
    let open = found(&priced(&ramp("", "28 in", "30 ft")), "last_day");
    assert!(open.expect_err("no date").why().contains("start"));
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: crate::cases().min(400) / 8, ..crate::config() })]

    #[test]
    fn a_random_ramp_shows_the_same_figures_as_its_whole_answer(
        rise in 4.0..58.0_f64, ratio in 8.0..25.0_f64, metric in any::<bool>(), bags in any::<bool>(),
    ) {
        let units = if metric { r#""units": "metric","# } else { "" };
        let place = if bags { r#""crew": {"placing": "bags"},"# } else { "" };
        let (rise, length) = (format!("{rise} in"), format!("{} in", rise * ratio));
        check(&priced(&ramp(&format!("{units}{place}"), &rise, &length)));
    }
}
