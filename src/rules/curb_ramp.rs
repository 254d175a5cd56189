//! Curb ramps on the way, judged only.
//!
//! Invariants: a curb ramp keeps the slopes and the width of a ramp, and nothing of its rise, landings,
//! rails and edges; flares are judged only where there are any. Absent here: where it may lie in a
//! street.
//!
//! # Source
//! 2010 ADA Standards, 406.1 to 406.4.

use super::bench::Bench;
use super::finding::{Measured, Verdict};
use super::incline::{Incline, check_incline};
use super::measure::Measure;
use super::slope::{Across, check_fall};
use crate::job::{By, CurbRamp};
use crate::quantity::{Length, Slope};

/// Judges every curb ramp.
pub(super) fn check_curb_ramps(bench: &mut Bench) {
    // A set without rows for curb ramps does not judge them by its rows for ramps either.
    if bench.rule(Measure::CurbRampLanding).is_none() {
        return;
    }
    let job = bench.job;
    for (index, ramp) in job.ramp.curb_ramps.iter().enumerate() {
        let subject = format!("/ramp/curb_ramps/{index}");
        let name = format!("curb ramp {}", index + 1);
        check_incline(
            bench,
            &Incline {
                subject: subject.clone(),
                name: name.clone(),
                rise: ramp.rise,
                plan: ramp.length,
                surface: None,
                steep_rise: ramp.rise,
                by: By::Us,
            },
        );
        check_cross_slope(bench, ramp, (&subject, &name));
        check_width(bench, ramp, (&subject, &name));
        check_counter_slope(bench, ramp, &subject);
        check_top(bench, ramp, (&subject, &name));
    }
}

fn check_cross_slope(bench: &mut Bench, ramp: &CurbRamp, (subject, name): (&str, &str)) {
    let subject = format!("{subject}/cross_slope");
    let Some(slope) = ramp.cross_slope else {
        let Some(rule) = bench.rule(Measure::RunCrossSlope) else {
            return;
        };
        let finding = bench.unknown(rule, &subject, ("the cross slope of the curb ramp", By::Us));
        bench.push(rule, finding);
        return;
    };
    let over = ramp.width.unwrap_or(Length::from_feet(1.0));
    let across = Across {
        subject,
        name: name.to_owned(),
        slope,
        over,
        by: By::Us,
    };
    check_fall(bench, Measure::RunCrossSlope, &across);
}

fn check_width(bench: &mut Bench, ramp: &CurbRamp, (subject, name): (&str, &str)) {
    let Some(rule) = bench.rule(Measure::RunWidth) else {
        return;
    };
    let subject = format!("{subject}/width");
    let finding = match ramp.width {
        None => bench.unknown(rule, &subject, ("the clear width of the curb ramp", By::Us)),
        Some(width) => bench
            .weigh(rule, &subject, Measured::Length(width))
            .remedy(|| {
                let more = bench.up(rule.length().unwrap_or(width) - width);
                format!(
                    "widen {name} by {more}, to {} clear between its flares",
                    rule.text()
                )
            }),
    };
    bench.push(rule, finding);
}

fn check_counter_slope(bench: &mut Bench, ramp: &CurbRamp, subject: &str) {
    let Some(rule) = bench.rule(Measure::CounterSlope) else {
        return;
    };
    let subject = format!("{subject}/counter_slope");
    let finding = match ramp.counter_slope {
        None => bench.unknown(
            rule,
            &subject,
            ("the slope of the gutter or road at the foot", By::Us),
        ),
        Some(slope) => bench
            .weigh(rule, &subject, Measured::Slope(slope))
            .remedy(|| {
                format!(
                    "have the gutter at the foot made no steeper than {}",
                    rule.text()
                )
            }),
    };
    bench.push(rule, finding);
}

/// The landing at the top, or the milder flares that an alteration may have instead.
fn check_top(bench: &mut Bench, ramp: &CurbRamp, (subject, name): (&str, &str)) {
    let Some(rule) = bench.rule(Measure::CurbRampLanding) else {
        return;
    };
    let at = format!("{subject}/top_landing");
    let Some(length) = ramp.top_landing else {
        let fact = ("the clear length of the landing at its top", By::Us);
        let finding = bench.unknown(rule, &at, fact);
        bench.push(rule, finding);
        check_flare(bench, Measure::CurbRampFlare, (ramp, subject, name));
        return;
    };
    let mut finding = bench.weigh(rule, &at, Measured::Length(length)).remedy(|| {
        let more = bench.up(rule.length().unwrap_or(length) - length);
        format!(
            "make the landing at the top of {name} {more} longer, {} clear",
            rule.text()
        )
    });
    let without = bench.job.site.existing_and_space_limited && ramp.flare.is_some();
    if finding.verdict == Verdict::Violates && without {
        finding.verdict = Verdict::NotApplicable;
        finding.remedy = None;
        let finding = finding.note("in an alteration milder flares may take its place".to_owned());
        bench.push(rule, finding);
        check_flare(bench, Measure::FlareWithoutLanding, (ramp, subject, name));
        return;
    }
    bench.push(rule, finding);
    check_flare(bench, Measure::CurbRampFlare, (ramp, subject, name));
}

fn check_flare(
    bench: &mut Bench,
    measure: Measure,
    (ramp, subject, name): (&CurbRamp, &str, &str),
) {
    let (Some(rule), Some(flare)) = (bench.rule(measure), ramp.flare) else {
        return;
    };
    let finding = bench
        .weigh(rule, &format!("{subject}/flare"), Measured::Slope(flare))
        .remedy(|| {
            let slope = rule.slope().unwrap_or(Slope::from_ratio(1.0));
            let along = bench.up(Length::from_metres(ramp.rise.metres() / slope.ratio()));
            format!("draw the flares of {name} out to {along} along the curb")
        });
    bench.push(rule, finding);
}
