//! Steps beside the ramp, judged only.
//!
//! Invariants: only flights that are part of a means of egress are judged; risers and treads that
//! differ by no more than the trade's usual error are left open, since the text says uniform and
//! leaves tolerances to the industry. Absent here: handrails of stairs, which are a condition.
//!
//! # Source
//! 2010 ADA Standards, 210.1, 504, 104.1.1.

use super::bench::Bench;
use super::finding::{Measured, Verdict};
use super::measure::Measure;
use super::row::{Limit, Rule};
use crate::job::{By, Steps};
use crate::quantity::{Length, ceil};

/// Judges every flight of steps.
pub(super) fn check_steps(bench: &mut Bench) {
    let job = bench.job;
    for (index, steps) in job.ramp.steps.iter().enumerate() {
        let subject = format!("/ramp/steps/{index}");
        if !steps.egress {
            let Some(rule) = bench.rule(Measure::StairScope) else {
                continue;
            };
            let finding = bench.blank(rule, &subject, Verdict::NotApplicable);
            bench.push(
                rule,
                finding.note("not part of a means of egress".to_owned()),
            );
            continue;
        }
        check_risers(bench, steps, &subject);
        check_treads(bench, steps, &subject);
        check_nosings(bench, steps, &subject);
        bench.condition_of(Measure::StairRails);
    }
}

/// The size of a flight that is furthest from a rule, with its place.
fn worst(bench: &Bench, rule: &Rule, sizes: &[Length]) -> Option<(usize, Length)> {
    let room = |size: Length| {
        let finding = bench.weigh(rule, "", Measured::Length(size));
        finding.margin.map_or(0.0, Measured::number)
    };
    let sizes = sizes.iter().copied().enumerate();
    sizes.min_by(|(_, a), (_, b)| room(*a).total_cmp(&room(*b)))
}

fn check_risers(bench: &mut Bench, steps: &Steps, subject: &str) {
    if let Some(rule) = bench.rule(Measure::Riser)
        && let Some((index, riser)) = worst(bench, rule, &steps.risers)
    {
        let at = format!("{subject}/risers/{index}");
        let finding = bench
            .weigh(rule, &at, Measured::Length(riser))
            .remedy(|| rebuild(bench, rule, steps))
            .note(format!("{}, no tolerance outside the range", rule.text()));
        bench.push(rule, finding);
    }
    let tolerance = (Measure::RiserSpread, Measure::RiserTolerance);
    check_spread(
        bench,
        tolerance,
        (&steps.risers, &format!("{subject}/risers")),
    );
    if let Some(rule) = bench.rule(Measure::OpenRisers) {
        let open = if steps.open_risers { 1.0 } else { 0.0 };
        let finding = bench
            .weigh(
                rule,
                &format!("{subject}/open_risers"),
                Measured::Count(open),
            )
            .remedy(|| "close the risers".to_owned());
        bench.push(rule, finding);
    }
}

/// The fewest equal risers that keep the range.
fn rebuild(bench: &Bench, rule: &Rule, steps: &Steps) -> String {
    let total: Length = steps.risers.iter().sum();
    let Limit::Range(_, Measured::Length(most)) = rule.limit else {
        return String::new();
    };
    let count = ceil(total / most);
    format!(
        "rebuild the flight with {count} equal risers of {}",
        bench.tape(total / count)
    )
}

fn check_treads(bench: &mut Bench, steps: &Steps, subject: &str) {
    if let Some(rule) = bench.rule(Measure::Tread)
        && let Some((index, tread)) = worst(bench, rule, &steps.treads)
    {
        let at = format!("{subject}/treads/{index}");
        let finding = bench.weigh(rule, &at, Measured::Length(tread)).remedy(|| {
            let more = bench.up(rule.length().unwrap_or(tread) - tread);
            format!("deepen tread {} by {more}, to {}", index + 1, rule.text())
        });
        bench.push(rule, finding);
    }
    let tolerance = (Measure::TreadSpread, Measure::TreadTolerance);
    check_spread(
        bench,
        tolerance,
        (&steps.treads, &format!("{subject}/treads")),
    );
    let Some(rule) = bench.rule(Measure::TreadSlope) else {
        return;
    };
    let at = format!("{subject}/tread_slope");
    let finding = match steps.tread_slope {
        None => bench.unknown(rule, &at, ("the fall of the treads", By::Us)),
        Some(slope) => bench
            .weigh(rule, &at, Measured::Slope(slope))
            .remedy(|| format!("let the treads fall no more than {}", rule.text())),
    };
    bench.push(rule, finding);
}

/// Differences within a flight: none complies, more than the usual error does not, between is open.
fn check_spread(
    bench: &mut Bench,
    (spread, tolerance): (Measure, Measure),
    (sizes, subject): (&[Length], &str),
) {
    let Some(rule) = bench.rule(spread) else {
        return;
    };
    let least = sizes.iter().copied().reduce(Length::min);
    let most = sizes.iter().copied().reduce(Length::max);
    let Some((least, most)) = least.zip(most) else {
        return;
    };
    let measured = Measured::Length(most - least);
    let mut finding = bench.weigh(rule, subject, measured);
    if finding.verdict != Verdict::Violates {
        // Alike where the text says uniform: there is no more room to have.
        if rule.length() == Some(Length::ZERO) {
            finding.verdict = Verdict::Meets;
        }
        bench.push(rule, finding);
        return;
    }
    let (from, to) = (bench.tape(least), bench.tape(most));
    finding.remedy = Some(format!("make them all alike: they run from {from} to {to}"));
    let usual = bench
        .rule(tolerance)
        .filter(|row| bench.weigh(row, subject, measured).verdict != Verdict::Violates);
    if let Some(usual) = usual {
        finding.verdict = Verdict::Undetermined;
        let document = &usual.source.document;
        finding = finding.note(format!("the text says uniform and leaves tolerances to the industry: {} is usual by {document}, which was not read itself", usual.text()));
    }
    bench.push(rule, finding);
}

fn check_nosings(bench: &mut Bench, steps: &Steps, subject: &str) {
    let facts = [
        (
            Measure::NosingRadius,
            "nosing_radius",
            "the radius of the nosings",
            steps.nosing_radius,
        ),
        (
            Measure::Nosing,
            "nosing",
            "how far the nosings stand out",
            steps.nosing,
        ),
    ];
    for (measure, field, what, told) in facts {
        let Some(rule) = bench.rule(measure) else {
            continue;
        };
        let at = format!("{subject}/{field}");
        let finding = match told {
            None => bench.unknown(rule, &at, (what, By::Us)),
            Some(told) => bench
                .weigh(rule, &at, Measured::Length(told))
                .remedy(|| format!("change {what} to at most {}", rule.text())),
        };
        bench.push(rule, finding);
    }
}
