//! Handrails: when they are needed, and what they must be.
//!
//! Invariants: a fact of rails by others that nobody told leaves its finding open, by others; ranges
//! take no tolerance. Absent here: the width between rails (with the runs), what the hand rests on.
//!
//! # Source
//! 2010 ADA Standards, 405.8, 403.6 and 505; 104.1.1 for ranges.

use super::bench::Bench;
use super::finding::{Finding, Measured, Verdict};
use super::measure::Measure;
use super::row::{Limit, Rule};
use crate::job::{By, Handrails, RailShape};
use crate::quantity::Length;

impl Bench<'_> {
    /// True when a flight rises more than the set leaves without rails.
    pub(super) fn rails_needed(&self) -> bool {
        let limit = self.rule(Measure::RailsNeeded).and_then(Rule::length);
        limit.is_some_and(|limit| !self.way.greatest_rise().at_most(limit))
    }
}

/// Judges the need of handrails, then the handrails.
pub(super) fn check_rails(bench: &mut Bench) {
    check_need(bench);
    let Some(rails) = bench.job.ramp.handrails.as_option() else {
        return;
    };
    let needed = bench.rails_needed();
    // Rails along walks answer to fewer rules, and only where somebody really sets them.
    let along_walk = bench.way.flights.is_empty() && rails.by != By::Others;
    if needed {
        check_sides(bench, rails);
        bench.condition_of(Measure::RailContinuity);
    }
    if needed || along_walk {
        check_facts(bench, rails, needed);
        check_section(bench, rails);
    }
}

fn check_need(bench: &mut Bench) {
    let Some(rule) = bench.rule(Measure::RailsNeeded) else {
        return;
    };
    if bench.way.flights.is_empty() {
        return;
    }
    let rise = bench.way.greatest_rise();
    let mut finding = bench.weigh(rule, "/ramp/handrails", Measured::Length(rise));
    if bench.rails_needed() {
        check_set_up(bench, rule, finding);
        return;
    }
    finding.verdict = Verdict::NotApplicable;
    // The room is below the number here: above it rails are asked.
    let room = rule.length().map(|limit| (limit - rise).max(Length::ZERO));
    finding.margin = room.map(Measured::Length);
    let note = format!(
        "no run rises more than {}, so no handrails are asked",
        rule.text()
    );
    bench.push(rule, finding.note(note));
}

/// Needed rails: missing, by others, or ours.
fn check_set_up(bench: &mut Bench, rule: &Rule, mut finding: Finding) {
    // The rise only tells that rails are needed; it is no measure of how well that is kept.
    finding.margin = None;
    let runs = runs_that_need(bench, rule);
    let set = format!(
        "have handrails set on both sides of {runs}, {}",
        describe(bench)
    );
    finding = finding.note(format!("more than {} of rise: {runs}", rule.text()));
    match bench.job.ramp.handrails.as_option() {
        None => {
            finding.verdict = Verdict::Violates;
            finding.remedy = Some(set);
        }
        Some(rails) if rails.by == By::Others => {
            finding = finding.by(rails.by);
            bench.condition(format!("handrails by others ({})", rule.row.section));
            if rails.both_sides != Some(true) {
                finding.verdict = Verdict::Undetermined;
                finding.remedy = Some(set);
            }
        }
        Some(_) => {}
    }
    bench.push(rule, finding);
}

fn runs_that_need(bench: &Bench, rule: &Rule) -> String {
    let limit = rule.length().unwrap_or(Length::ZERO);
    let flights = bench
        .way
        .flights
        .iter()
        .filter(|flight| !flight.rise.at_most(limit));
    flights
        .map(|flight| bench.way.flight_name(flight))
        .collect::<Vec<_>>()
        .join(" and ")
}

/// Height and extension in the set's own numbers.
fn describe(bench: &Bench) -> String {
    let text = |measure: Measure| bench.rule(measure).map_or_else(String::new, Rule::text);
    let (height, past) = (text(Measure::RailHeight), text(Measure::RailExtension));
    format!("{height} high, with level extensions of at least {past} past each end")
}

fn check_sides(bench: &mut Bench, rails: &Handrails) {
    let Some(rule) = bench.rule(Measure::RailSides) else {
        return;
    };
    let subject = "/ramp/handrails/both_sides";
    let finding = match rails.both_sides {
        None => bench.unknown(
            rule,
            subject,
            ("the sides on which handrails stand (both_sides)", rails.by),
        ),
        Some(both) => {
            let sides = if both { 2.0 } else { 1.0 };
            bench
                .weigh(rule, subject, Measured::Count(sides))
                .by(rails.by)
                .remedy(|| "set a handrail on the other side too".to_owned())
        }
    };
    bench.push(rule, finding);
}

/// One fact of a handrail.
struct Fact {
    measure: Measure,
    field: &'static str,
    what: &'static str,
    told: Option<Length>,
}

fn check_facts(bench: &mut Bench, rails: &Handrails, needed: bool) {
    check_fact(
        bench,
        rails.by,
        &Fact {
            measure: Measure::RailHeight,
            field: "height",
            what: "the height of the handrails",
            told: rails.height,
        },
    );
    check_fact(
        bench,
        rails.by,
        &Fact {
            measure: Measure::RailClearance,
            field: "clearance",
            what: "the space behind the handrails",
            told: rails.clearance,
        },
    );
    if needed {
        check_fact(
            bench,
            rails.by,
            &Fact {
                measure: Measure::RailExtension,
                field: "extension",
                what: "the level extension of the handrails past each end of each run",
                told: rails.extension,
            },
        );
    }
}

fn check_section(bench: &mut Bench, rails: &Handrails) {
    let Some(section) = &rails.section else {
        let Some(rule) = bench.rule(Measure::RailDiameter) else {
            return;
        };
        let fact = ("the section that the hand holds", rails.by);
        let finding = bench.unknown(rule, "/ramp/handrails/section", fact);
        bench.push(rule, finding);
        return;
    };
    let diameter = Fact {
        measure: Measure::RailDiameter,
        field: "section/diameter",
        what: "the outside diameter of the handrails",
        told: section.diameter,
    };
    let perimeter = Fact {
        measure: Measure::RailPerimeter,
        field: "section/perimeter",
        what: "the perimeter of the handrails",
        told: section.perimeter,
    };
    let across = Fact {
        measure: Measure::RailAcross,
        field: "section/across",
        what: "the largest distance across the handrails",
        told: section.across,
    };
    let facts = match section.shape {
        RailShape::Round => vec![diameter],
        RailShape::Other => vec![perimeter, across],
    };
    for fact in &facts {
        check_fact(bench, rails.by, fact);
    }
}

fn check_fact(bench: &mut Bench, by: By, fact: &Fact) {
    let Some(rule) = bench.rule(fact.measure) else {
        return;
    };
    let subject = format!("/ramp/handrails/{}", fact.field);
    let finding = match fact.told {
        None => bench.unknown(rule, &subject, (fact.what, by)),
        Some(told) => {
            let asked = format!("change {} to {}", fact.what, asked_of(rule));
            let finding = bench.weigh(rule, &subject, Measured::Length(told)).by(by);
            let finding = finding.remedy(|| asked);
            match rule.limit {
                Limit::Range(..) => {
                    finding.note(format!("{}, no tolerance outside the range", rule.text()))
                }
                _ => finding,
            }
        }
    };
    bench.push(rule, finding);
}

fn asked_of(rule: &Rule) -> String {
    use super::row::Sense;
    match rule.row.sense {
        Sense::AtLeast => format!("at least {}", rule.text()),
        Sense::AtMost => format!("at most {}", rule.text()),
        _ => rule.text(),
    }
}
