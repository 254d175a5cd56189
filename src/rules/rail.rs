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
use crate::quantity::{Length, Slope};

/// What of a ramp a set looks at to say whether it has handrails, and how that is told.
const NEEDS: [(Measure, &str); 3] = [
    (Measure::RailsNeeded, "run rises"),
    (Measure::RailsByRamp, "ramp rises"),
    (Measure::RailsBySlope, "run is steeper"),
];

impl<'a> Bench<'a> {
    /// True when a ramp is more than the set leaves without rails.
    pub(super) fn rails_needed(&self) -> bool {
        NEEDS.iter().any(|(measure, _)| {
            let rule = self.rule(*measure);
            rule.is_some_and(|rule| self.reaches(rule, self.grows(*measure)))
        })
    }

    /// What a set looks at to say whether rails are asked.
    fn grows(&self, measure: Measure) -> Measured {
        match measure {
            Measure::RailsBySlope => Measured::Slope(self.steepest()),
            Measure::RailsByRamp => {
                Measured::Length(self.way.flights.iter().map(|flight| flight.rise).sum())
            }
            _ => Measured::Length(self.way.greatest_rise()),
        }
    }

    /// Slope of the steepest ramp run.
    fn steepest(&self) -> Slope {
        let flights = self.way.flights.iter();
        let runs = flights.flat_map(|flight| &self.geometry.surfaces[flight.first..=flight.last]);
        runs.map(|run| run.slope.abs())
            .fold(Slope::ZERO, Slope::max)
    }

    /// The row that decides whether rails are asked: the first that asks them, else the first.
    fn deciding(&self) -> Option<(&'a Rule, Measure, &'static str)> {
        let rows = || {
            NEEDS
                .iter()
                .filter_map(|(measure, words)| Some((self.rule(*measure)?, *measure, *words)))
        };
        let asks =
            |(rule, measure, _): &(&Rule, Measure, &str)| self.reaches(rule, self.grows(*measure));
        rows().find(asks).or_else(|| rows().next())
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
    let Some((rule, measure, words)) = bench.deciding() else {
        return;
    };
    if bench.way.flights.is_empty() {
        return;
    }
    let grown = bench.grows(measure);
    let mut finding = bench.weigh(rule, "/ramp/handrails", grown);
    if bench.rails_needed() {
        check_set_up(bench, rule, finding);
        return;
    }
    finding.verdict = Verdict::NotApplicable;
    // The room is below the number here: above it rails are asked.
    finding.margin = match rule.limit {
        Limit::One(limit) => limit.minus(grown),
        _ => None,
    };
    let (less, most) = (
        if measure == Measure::RailsBySlope {
            ""
        } else {
            "more "
        },
        rule.text(),
    );
    let note = format!("no {words} {less}than {most}, so no handrails are asked");
    bench.push(rule, finding.note(note));
}

/// Needed rails: missing, by others, or ours.
fn check_set_up(bench: &mut Bench, rule: &Rule, mut finding: Finding) {
    // The rise only tells that rails are needed; it is no measure of how well that is kept.
    finding.margin = None;
    let runs = runs_that_need(bench, rule);
    let sides = if one_side(bench) {
        "one side"
    } else {
        "both sides"
    };
    let set = format!(
        "have handrails set on {sides} of {runs}, {}",
        describe(bench)
    );
    finding = finding.note(why_needed(rule, &runs));
    match bench.job.ramp.handrails.as_option() {
        None => {
            finding.verdict = Verdict::Violates;
            finding.remedy = Some(set);
        }
        Some(rails) if rails.by == By::Others => {
            finding = finding.by(rails.by);
            bench.condition(format!("handrails by others ({})", rule.row.section));
            let told = rails.both_sides.is_some_and(|both| both || one_side(bench));
            if !told {
                finding.verdict = Verdict::Undetermined;
                finding.remedy = Some(set);
            }
        }
        Some(_) => {}
    }
    bench.push(rule, finding);
}

/// True where the set is content with a handrail on one side.
fn one_side(bench: &Bench) -> bool {
    let sides = bench.rule(Measure::RailSides).and_then(Rule::count);
    sides.is_some_and(|sides| sides < 2.0)
}

fn why_needed(rule: &Rule, runs: &str) -> String {
    let most = rule.text();
    match rule.row.measures {
        _ if rule.length() == Some(Length::ZERO) => format!("of any rise: {runs}"),
        Measure::RailsBySlope => format!("steeper than {most}: {runs}"),
        Measure::RailsByRamp => format!("the ramp rises more than {most}: {runs}"),
        _ => format!("more than {most} of rise: {runs}"),
    }
}

/// The flights that rails are asked along: those that rise enough, or all where the ramp decides.
fn runs_that_need(bench: &Bench, rule: &Rule) -> String {
    let by_run = rule.row.measures == Measure::RailsNeeded;
    let limit = rule.length().filter(|_| by_run).unwrap_or(Length::ZERO);
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
    let text = |measure: Measure| bench.rule(measure).map(Rule::text);
    let height = text(Measure::RailHeight).map(|height| format!("{height} high"));
    let past = text(Measure::RailExtension);
    let past = past.map(|past| format!("with level extensions of at least {past} past each end"));
    let parts: Vec<String> = height.into_iter().chain(past).collect();
    if parts.is_empty() {
        return "as the set asks".to_owned();
    }
    parts.join(", ")
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
