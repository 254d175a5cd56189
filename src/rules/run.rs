//! Runs as such: how wide, how high between landings, and whether they have landings.
//!
//! Invariants: the least of the widths counts, between curbs and between rails; rise counts from
//! landing to landing, however many runs lie between. Absent here: slopes.

use super::bench::Bench;
use super::class::{Class, Classed};
use super::finding::Measured;
use super::measure::Measure;
use super::row::Rule;
use super::way::{Flight, Role};
use crate::geometry::piece_pointer;
use crate::job::{Handrails, Piece};
use crate::quantity::{Length, Slope, ceil};

/// Judges the widths of runs.
pub(super) fn check_widths(bench: &mut Bench) {
    for index in 0..bench.way.roles.len() {
        match bench.way.roles[index] {
            Role::Ramp => {
                check_clear_width(bench, Measure::RunWidth, index);
                check_between_rails(bench, index);
            }
            Role::Walk | Role::WalkLanding => {
                check_clear_width(bench, Measure::WalkWidth, index);
            }
            Role::RampLanding => {}
        }
    }
}

fn check_clear_width(bench: &mut Bench, measure: Measure, index: usize) {
    let Some(rule) = bench.rule(measure) else {
        return;
    };
    let surface = &bench.geometry.surfaces[index];
    let curbs = surface.width - surface.clear_width;
    let note = if curbs.is_zero() {
        "slab edge to slab edge"
    } else {
        "between curbs"
    };
    let subject = piece_pointer(index);
    let finding = bench
        .weigh(rule, &subject, Measured::Length(surface.clear_width))
        .by(bench.job.ramp.path[index].by())
        .note(note.to_owned())
        .remedy(|| {
            let clear = rule.length().unwrap_or(Length::ZERO);
            let more = bench.up(clear - surface.clear_width);
            let slab = bench.up(clear + curbs);
            format!(
                "widen {} by {more}, to a slab of {slab}",
                bench.way.names[index]
            )
        });
    bench.push(rule, finding);
}

fn check_between_rails(bench: &mut Bench, index: usize) {
    let own = bench.rule(Measure::BetweenRails);
    let Some(rule) = own.or_else(|| bench.rule(Measure::RunWidth)) else {
        return;
    };
    let job = bench.job;
    let Some(rails) = job.ramp.handrails.as_option() else {
        return;
    };
    let subject = piece_pointer(index);
    let Some(clear) = bench.geometry.surfaces[index].between_rails else {
        if bench.rails_needed() {
            let fact = "the inset of the handrails from the slab's edge or the curb's face";
            let finding = bench.unknown(rule, &subject, (fact, rails.by));
            let finding = finding.note("between handrails".to_owned());
            bench.push(rule, finding);
        }
        return;
    };
    let finding = bench
        .weigh(rule, &subject, Measured::Length(clear))
        .by(rails.by)
        .note("between handrails".to_owned())
        .remedy(|| set_rails_apart(bench, rule, (index, rails)));
    bench.push(rule, finding);
}

fn set_rails_apart(bench: &Bench, rule: &Rule, (index, rails): (usize, &Handrails)) -> String {
    let least = rule.length().unwrap_or(Length::ZERO);
    let surface = &bench.geometry.surfaces[index];
    let sides = if rails.both_sides == Some(false) {
        1.0
    } else {
        2.0
    };
    let inset = (surface.clear_width - least) / sides;
    if inset >= Length::ZERO {
        let inset = bench.down(inset);
        return format!(
            "set the handrails along {} at most {inset} in from the edge or the curb",
            bench.way.names[index]
        );
    }
    let more = bench.up(least - surface.between_rails.unwrap_or(Length::ZERO));
    format!(
        "widen {} by {more}, so that {} stay clear between the handrails",
        bench.way.names[index],
        rule.text()
    )
}

/// Judges each flight's rise and the landings at its ends.
pub(super) fn check_flights(bench: &mut Bench) {
    for flight in bench.way.flights.clone() {
        check_rise(bench, &flight);
        check_length(bench, &flight);
        check_ends(bench, &flight);
    }
    check_whole_rise(bench);
}

/// Judges how far a flight goes without a landing.
fn check_length(bench: &mut Bench, flight: &Flight) {
    let runs = &bench.geometry.surfaces[flight.first..=flight.last];
    let steepest = runs.iter().map(|run| run.slope.abs());
    let run = Classed {
        slope: steepest.fold(Slope::ZERO, Slope::max),
        length: runs.iter().map(|run| run.plan_length).sum(),
        rise: flight.rise,
    };
    let rows = bench.set.rules_for(Measure::RunLength, run);
    let limits = rows.filter_map(|rule| Some((rule, rule.limit_for(run)?)));
    let strictest = limits.min_by(|a, b| a.1.number().total_cmp(&b.1.number()));
    let Some((rule, limit)) = strictest else {
        return;
    };
    let name = bench.way.flight_name(flight);
    let figures = (Measured::Length(run.length), limit);
    let remedy = || {
        let Measured::Length(most) = limit else {
            return String::new();
        };
        let parts = ceil(run.length / most);
        let each = bench.tape(run.length / parts);
        format!(
            "divide {name} into {parts} runs of {each} each, with a landing of {} between",
            landing_length(bench)
        )
    };
    let mut finding = bench
        .weigh_against(rule, &piece_pointer(flight.first), figures)
        .by(bench.job.ramp.path[flight.first].by())
        .remedy(remedy);
    let class = Class::words(&rule.row);
    if !class.is_empty() {
        finding = finding.note(format!("for a run {class}"));
    }
    bench.push(rule, finding);
}

/// Judges the rise of the whole ramp, and whether it wants steps beside it.
fn check_whole_rise(bench: &mut Bench) {
    let rise: Length = bench.way.flights.iter().map(|flight| flight.rise).sum();
    if let Some(rule) = bench.rule(Measure::TotalRise) {
        let finding = bench.weigh(rule, "/ramp/path", Measured::Length(rise));
        let remedy = || format!("beyond {} of rise another way up is asked", rule.text());
        bench.push(rule, finding.remedy(remedy));
    }
    for measure in [Measure::StepsBeside, Measure::GuardDrop] {
        let Some(rule) = bench.rule(measure) else {
            continue;
        };
        if bench.reaches(rule, Measured::Length(rise)) {
            bench.condition_of(measure);
        }
    }
}

fn check_rise(bench: &mut Bench, flight: &Flight) {
    let Some(rule) = bench.rule(Measure::RunRise) else {
        return;
    };
    let name = bench.way.flight_name(flight);
    let mut finding = bench
        .weigh(rule, &piece_pointer(flight.first), Measured::Length(flight.rise))
        .by(bench.job.ramp.path[flight.first].by())
        .remedy(|| {
            let most = rule.length().unwrap_or(flight.rise);
            let parts = ceil(flight.rise / most);
            let each = bench.tape(flight.rise / parts);
            format!("divide {name} into {parts} runs that rise {each} each, with a landing of {} between", landing_length(bench))
        });
    if flight.first != flight.last {
        finding = finding.note(format!("{name} follow each other without a landing"));
    }
    bench.push(rule, finding);
}

/// The least length of a landing as published, or just "level floor" when the set names none.
fn landing_length(bench: &Bench) -> String {
    bench
        .rule(Measure::LandingLength)
        .map_or_else(|| "level floor".to_owned(), Rule::text)
}

fn check_ends(bench: &mut Bench, flight: &Flight) {
    let Some(rule) = bench.rule(Measure::LandingsOfRun) else {
        return;
    };
    let path = &bench.job.ramp.path;
    let landing = |index: Option<usize>| {
        index
            .and_then(|index| path.get(index))
            .is_some_and(|p| matches!(p, Piece::Landing(_)))
    };
    let ends = [
        (landing(flight.first.checked_sub(1)), "foot"),
        (landing(Some(flight.last + 1)), "head"),
    ];
    let count = ends.iter().filter(|(there, _)| *there).count();
    let missing: Vec<&str> = ends
        .iter()
        .filter(|(there, _)| !there)
        .map(|(_, end)| *end)
        .collect();
    let name = bench.way.flight_name(flight);
    let finding = bench
        .weigh(
            rule,
            &piece_pointer(flight.first),
            Measured::Count(count as f64),
        )
        .by(path[flight.first].by())
        .remedy(|| {
            let length = landing_length(bench);
            format!(
                "add a landing of {length} at the {} of {name}",
                missing.join(" and the ")
            )
        });
    bench.push(rule, finding);
}
