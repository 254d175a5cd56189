//! Level changes on the way: lips, bevels, and what is too high for either.
//!
//! Invariant: a change is judged by its height first: a lip, a bevel, or a ramp. The lip that a tie-in leaves is one. Absent here: the
//! threshold of a door, which has a rule of its own.
//!
//! # Source
//! 2010 ADA Standards, 303.2 to 303.4.

use super::bench::Bench;
use super::finding::{Measured, Verdict};
use super::measure::Measure;
use super::row::Rule;
use crate::job::{By, Element, LevelChange, LevelShape};
use crate::quantity::{Length, Slope};

/// Judges every level change.
pub(super) fn check_level_changes(bench: &mut Bench) {
    let job = bench.job;
    for (index, change) in job.ramp.level_changes.iter().enumerate() {
        check_change(bench, change, &format!("/ramp/level_changes/{index}"));
    }
    for (index, element) in job.elements.iter().enumerate() {
        let Element::TieIn(tie) = element else {
            continue;
        };
        let change = tie.lip.as_ref().map(|lip| LevelChange {
            height: lip.height,
            shape: lip.shape,
            bevel: lip.bevel,
            place: None,
        });
        if let Some(change) = change {
            check_change(bench, &change, &format!("/elements/{index}/lip"));
        }
    }
}

fn check_change(bench: &mut Bench, change: &LevelChange, subject: &str) {
    let height = Measured::Length(change.height);
    let holds = |measure: Measure| {
        let rule = bench.rule(measure);
        rule.is_some_and(|rule| bench.weigh(rule, subject, height).verdict != Verdict::Violates)
    };
    let measure = match change.shape {
        _ if holds(Measure::VerticalChange) => Measure::VerticalChange,
        _ if !holds(Measure::ChangeWithoutRamp) => Measure::ChangeWithoutRamp,
        LevelShape::Vertical => Measure::VerticalChange,
        LevelShape::Bevelled => Measure::BevelledChange,
    };
    let Some(rule) = bench.rule(measure) else {
        return;
    };
    let remedy = || mend(bench, measure, (rule, change.height));
    let mut finding = bench.weigh(rule, subject, height).remedy(remedy);
    if let Some(place) = &change.place {
        finding = finding.note(place.clone());
    }
    bench.push(rule, finding);
    if measure == Measure::BevelledChange {
        check_bevel(bench, change, subject);
    }
}

fn mend(bench: &Bench, measure: Measure, (rule, height): (&Rule, Length)) -> String {
    let bevel = bench.rule(Measure::Bevel);
    let slope = bevel
        .and_then(Rule::slope)
        .unwrap_or(Slope::from_ratio(1.0));
    let text = bevel.map_or_else(String::new, Rule::text);
    match measure {
        Measure::VerticalChange => {
            let over = bench.up(Length::from_metres(height.metres() / slope.ratio()));
            let less = bench.up(height - rule.length().unwrap_or(height));
            format!("grind it down by {less}, or bevel it at {text} over at least {over}")
        }
        _ => {
            let ramp = bench
                .rule(Measure::RunSlope)
                .and_then(Rule::slope)
                .unwrap_or(slope);
            let run = bench.up(Length::from_metres(height.metres() / ramp.ratio()));
            let most = rule.text();
            format!(
                "bring it down to {most} with a bevel of {text}, or make it a ramp of at least {run} on plan"
            )
        }
    }
}

fn check_bevel(bench: &mut Bench, change: &LevelChange, subject: &str) {
    let Some(rule) = bench.rule(Measure::Bevel) else {
        return;
    };
    let subject = format!("{subject}/bevel");
    let finding = match change.bevel {
        None => bench.unknown(rule, &subject, ("the slope of the bevel", By::Us)),
        Some(bevel) => bench
            .weigh(rule, &subject, Measured::Slope(bevel))
            .remedy(|| {
                let slope = rule.slope().unwrap_or(bevel);
                let over = bench.up(Length::from_metres(change.height.metres() / slope.ratio()));
                format!("draw the bevel out to at least {over} on plan")
            }),
    };
    bench.push(rule, finding);
}
