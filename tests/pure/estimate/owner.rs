//! Read as an owner would: is each figure of a usual ramp plausible (common practice, no source).

use crate::worked::{DEMO_JOBS, demo_list, priced, priced_from, solved};
use crossfall::catalog::{Catalog, Class, ReadyMixTerms};
use crossfall::quantity::System;
use crossfall::rules::SetVerdict;
use crossfall::takeoff::{Net, take_off};

#[test]
fn the_three_demo_jobs_are_whole_and_plausible() {
    for (name, job) in &DEMO_JOBS[..3] {
        let estimate = priced(job);
        let head = &estimate.headline;
        assert!(head.complete, "{name}: {:?}", estimate.priced.unpriced);
        assert_ne!(
            head.verdict,
            SetVerdict::DoesNotComply,
            "{name}: {:?}",
            head.tightest
        );
        let area = estimate.geometry.new_area().square_feet();
        assert!((150.0..=260.0).contains(&area), "{name}: {area} ft2");
        // People x hours on site, summed over the visits.
        let on_site = head.on_site.hours();
        assert!(
            (35.0..=75.0).contains(&on_site),
            "{name}: {on_site} h on site"
        );
        let per_foot = head.per_square_foot.expect("a price").number();
        assert!(
            (20.0..=60.0).contains(&per_foot),
            "{name}: {per_foot} a square foot"
        );
        // Labour is the larger half of a small job.
        let direct = estimate.priced.build_up.direct().number();
        let labour = estimate.priced.subtotal(Class::Labour).number() / direct;
        assert!(
            (0.4..=0.8).contains(&labour),
            "{name}: labour is {labour} of direct cost"
        );
        // One truck; the order absorbs a small depth error and no more than an inch of it.
        let inches = head.depth_error.inches();
        assert!(
            (0.0..=1.25).contains(&inches),
            "{name}: absorbs {inches} in"
        );
        assert!(
            (4..=7).contains(&head.visits),
            "{name}: {} visits",
            head.visits
        );
    }
}

#[test]
fn every_ordered_line_of_ours_is_priced_and_said_once() {
    for (name, job) in &DEMO_JOBS[..3] {
        let estimate = priced(job);
        for order in &estimate.to_order {
            assert!(
                order.supplier.is_some(),
                "{name}: {} has no supplier",
                order.code
            );
            assert!(order.date.is_some(), "{name}: {} has no day", order.code);
        }
        let pour = estimate
            .to_order
            .iter()
            .find(|order| order.code.starts_with("concrete-"));
        assert!(
            pour.expect("concrete").visit > 1,
            "{name}: concrete comes after the forms"
        );
    }
}

#[test]
fn screws_for_the_boards_on_a_wall_come_with_the_boards() {
    let estimate = priced(DEMO_JOBS[1].1);
    let screws = estimate
        .to_order
        .iter()
        .find(|order| order.code.starts_with("concrete-screw"));
    let boards = estimate
        .hours
        .tasks
        .iter()
        .find(|task| task.code == "form-on-wall");
    assert_eq!(screws.expect("screws").visit, boards.expect("boards").visit);
}

/// A wall's screws are no mix, whatever they are called.
#[test]
fn bags_come_from_no_plant() {
    let bagged = DEMO_JOBS[1]
        .1
        .replacen('{', r#"{"crew": {"placing": "bags"},"#, 1);
    let estimate = priced(&bagged);
    let lines = &estimate.takeoff.lines;
    assert!(
        lines
            .iter()
            .any(|line| line.code.starts_with("concrete-screw"))
    );
    assert_eq!(estimate.takeoff.mix(), None);
    assert!(priced(DEMO_JOBS[1].1).takeoff.mix().is_some());
}

#[test]
fn rails_by_others_are_a_condition_and_an_exclusion_and_never_a_price_line() {
    let estimate = priced(DEMO_JOBS[0].1);
    assert!(
        estimate
            .check
            .conditions
            .iter()
            .any(|text| text.contains("handrails by others"))
    );
    assert!(
        estimate
            .exclusions
            .iter()
            .any(|left_out| left_out.text.contains("Handrail"))
    );
    assert!(
        !estimate
            .priced
            .lines
            .iter()
            .any(|line| line.code.starts_with("handrail"))
    );
    assert!(
        estimate
            .takeoff
            .lines
            .iter()
            .any(|line| line.code == "handrail-ft")
    );
}

#[test]
fn the_inputs_that_move_the_price_most_come_with_a_question() {
    let estimate = priced(DEMO_JOBS[0].1);
    let unknowns = &estimate.headline.unknowns;
    assert!(!unknowns.is_empty());
    assert!(
        unknowns
            .iter()
            .all(|unknown| !unknown.ask.is_empty() && unknown.swing() > 0)
    );
    assert!(
        unknowns
            .windows(2)
            .all(|pair| pair[0].swing() >= pair[1].swing())
    );
    // The length was read off a drawing, so it is among them whatever it is worth.
    let drawn = estimate
        .unknowns
        .iter()
        .find(|unknown| unknown.pointer == "/ramp/path/1/length");
    assert_eq!(drawn.expect("the length").basis, "drawing");
    let taped = estimate
        .unknowns
        .iter()
        .any(|unknown| unknown.pointer == "/ramp/path/1/rise");
    assert!(!taped, "a taped rise is known");
}

#[test]
fn thicker_at_the_unknowns_high_end_is_what_sending_it_thicker_costs() {
    let estimate = priced(DEMO_JOBS[0].1);
    let thickness = estimate
        .unknowns
        .iter()
        .find(|unknown| unknown.pointer == "/slab/thickness");
    let thickness = thickness.expect("the thickness was assumed");
    let sent = DEMO_JOBS[0]
        .1
        .replacen('{', r#"{"slab": {"thickness": "6 in"},"#, 1);
    let thicker = priced(&sent).priced.build_up.total();
    assert_eq!(
        thickness.at_high,
        thicker - estimate.priced.build_up.total()
    );
}

#[test]
fn the_same_job_has_the_same_fingerprint() {
    let list = demo_list();
    let now = priced_from(&list, DEMO_JOBS[0].1).expect("priced");
    let again = priced_from(&list, DEMO_JOBS[0].1).expect("priced");
    assert_eq!(now.fingerprint, again.fingerprint);
    assert!(now.priced.oldest_price_days().expect("prices have an age") > 0);
}

#[test]
fn nothing_says_that_a_ramp_is_accepted() {
    let estimate = priced(DEMO_JOBS[1].1);
    let text = format!("{estimate:?}").to_lowercase();
    assert!(!text.contains("approved"));
}

/// The plant of the book asks for 6 yd3; the built-in row, common practice, for 5.
#[test]
fn the_terms_of_the_plant_in_the_book_go_before_the_usual_ones() {
    let usual = Catalog::built_in();
    let asks = ReadyMixTerms {
        short_load_below_yd3: Some("6".parse().expect("a decimal")),
        ..ReadyMixTerms::default()
    };
    let own = usual.under_terms(&asks);
    let short = |catalog: &Catalog| {
        let (job, geometry) = solved(DEMO_JOBS[0].1);
        take_off(&job, &geometry, catalog)
            .concrete
            .short_of_minimum
            .cubic_yards()
    };
    assert!((short(&own) - short(usual) - 1.0).abs() < 1e-9);
    let same = usual.under_terms(&ReadyMixTerms::default());
    assert!(matches!(same, std::borrow::Cow::Borrowed(_)));
}

#[test]
fn a_metric_rate_times_a_metric_quantity_is_the_same_hours() {
    let estimate = priced(DEMO_JOBS[0].1);
    for task in &estimate.hours.tasks {
        let ([_, likely, _], unit) = task.rate.in_system(System::Metric);
        let quantity = match (task.quantity, unit) {
            (Net::Area(area), "m2") => area.square_metres(),
            (Net::Length(length), "m") => length.metres(),
            (Net::Volume(volume), "m3") => volume.cubic_metres(),
            (Net::Mass(mass), "kg") => mass.kilograms(),
            _ => continue,
        };
        let hours = task.setup.hours() + quantity * likely * task.factor;
        assert!((hours - task.hours.hours()).abs() < 1e-6, "{}", task.code);
    }
}

/// A default must not break the rule that it is there for: 105 mm is more than 4 in.
#[test]
fn the_round_metric_defaults_comply_too() {
    let job = r#"{"units": "metric", "ramp": {"path": [{"kind": "landing"},
        {"kind": "run", "rise": "600 mm", "length": "8 m"}, {"kind": "landing"}]}}"#;
    let estimate = priced(job);
    assert_eq!(
        estimate.check.verdict,
        SetVerdict::Complies,
        "{:?}",
        estimate.headline.tightest
    );
}

#[test]
fn a_barrier_of_ours_is_never_left_out_of_the_price() {
    let job = r#"{"ramp": {"curb": "none", "barrier": {"by": "us", "gap_below": "3 in"}, "path": [
        {"kind": "landing"}, {"kind": "run", "rise": "24 in", "length": "26 ft"}, {"kind": "landing"}]}}"#;
    let estimate = priced(job);
    let open = estimate
        .priced
        .unpriced
        .iter()
        .find(|line| line.code == "barrier-ft");
    assert!(open.is_some() && !estimate.priced.complete());
}
