//! Landings of ramps: slopes, width, length, turning square, and water.
//!
//! Invariants: clear sizes are net of curbs; landings that follow each other straight on count as one
//! in length; a landing that serves no ramp is judged as part of a walk. Absent here: doors.
//!
//! # Source
//! 2010 ADA Standards, 405.7 and 405.10.

use super::bench::Bench;
use super::finding::{Finding, Measured, Verdict};
use super::measure::Measure;
use super::row::Rule;
use super::slope::{Across, check_fall, check_walk_slope};
use super::way::Role;
use crate::geometry::piece_pointer;
use crate::job::{Landing, Piece, Turn};
use crate::quantity::{Length, Slope};

/// Judges every landing.
pub(super) fn check_landings(bench: &mut Bench) {
    let job = bench.job;
    for (index, piece) in job.ramp.path.iter().enumerate() {
        let Piece::Landing(landing) = piece else {
            continue;
        };
        if bench.way.roles[index] == Role::RampLanding {
            check_slopes(bench, landing, index);
            check_width(bench, landing, index);
            check_lengths(bench, landing, index);
            check_turn(bench, landing, index);
            check_water(bench, landing, index);
        } else {
            let subject = format!("{}/slope_along", piece_pointer(index));
            check_walk_slope(bench, &subject, (landing.slope_along.abs(), landing.by));
            check_axis(bench, Measure::WalkCrossSlope, (index, across(landing)));
        }
    }
}

/// Judges a landing's slopes: by either axis, by each axis of its own, and where it is steepest.
fn check_slopes(bench: &mut Bench, landing: &Landing, index: usize) {
    let axes = [along(landing), across(landing)];
    for (axis, own) in axes
        .into_iter()
        .zip([Measure::LandingSlopeAlong, Measure::LandingSlopeAcross])
    {
        check_axis(bench, Measure::LandingSlope, (index, axis));
        check_axis(bench, own, (index, axis));
    }
    let Some(rule) = bench.rule(Measure::LandingSteepest) else {
        return;
    };
    let (along, across) = (landing.slope_along.ratio(), landing.slope_across.ratio());
    let steepest = Slope::from_ratio(libm::hypot(along, across));
    let finding = bench
        .weigh(rule, &piece_pointer(index), Measured::Slope(steepest))
        .by(landing.by)
        .note("along and across together".to_owned())
        .remedy(|| {
            let (name, most) = (&bench.way.names[index], rule.text());
            format!("let {name} fall one way, or less both ways: at most {most} together")
        });
    bench.push(rule, finding);
}

/// One axis of a landing: its field, its slope, and what it falls over.
type Axis = (&'static str, Slope, Length);

const fn along(landing: &Landing) -> Axis {
    ("slope_along", landing.slope_along, landing.length)
}

const fn across(landing: &Landing) -> Axis {
    ("slope_across", landing.slope_across, landing.width)
}

fn check_axis(bench: &mut Bench, measure: Measure, (index, axis): (usize, Axis)) {
    let (field, slope, over) = axis;
    let across = Across {
        subject: format!("{}/{field}", piece_pointer(index)),
        name: bench.way.names[index].clone(),
        slope,
        over,
        by: bench.job.ramp.path[index].by(),
    };
    check_fall(bench, measure, &across);
}

/// Clear width of a ramp run beside a landing; nothing where none is.
fn run_width(bench: &Bench, index: Option<usize>) -> Length {
    let ramp = index.filter(|index| bench.way.is_ramp(*index));
    ramp.map_or(Length::ZERO, |index| {
        bench.geometry.surfaces[index].clear_width
    })
}

fn check_width(bench: &mut Bench, landing: &Landing, index: usize) {
    let Some(rule) = bench.rule(Measure::LandingWidth) else {
        return;
    };
    let surface = &bench.geometry.surfaces[index];
    let arriving = run_width(bench, index.checked_sub(1));
    let leaving = run_width(bench, Some(index + 1));
    let sideways = matches!(landing.turn, Turn::Left | Turn::Right) && !leaving.is_zero();
    // A run that leaves to the side leaves across the landing's length.
    let (across, along) = if sideways {
        (arriving, leaving)
    } else {
        (arriving.max(leaving), Length::ZERO)
    };
    let sizes = [
        (surface.clear_width, across, "widen"),
        (surface.clear_length, along, "lengthen"),
    ];
    for (clear, run, how) in sizes {
        if run.is_zero() {
            continue;
        }
        let limit = run * rule.count().unwrap_or(1.0);
        let figures = (Measured::Length(clear), Measured::Length(limit));
        let finding = bench.weigh_against(rule, &piece_pointer(index), figures);
        let finding = stretch(bench, finding, (index, how, limit - clear));
        let note = if how == "widen" {
            "its width, against the widest run that leads to it"
        } else {
            "its length, against the run that leaves to the side"
        };
        bench.push(rule, finding.note(note.to_owned()));
    }
}

/// Names who builds the landing, and by how much to stretch it when it is too small.
fn stretch(bench: &Bench, finding: Finding, (index, how, more): (usize, &str, Length)) -> Finding {
    let surface = &bench.geometry.surfaces[index];
    let slab = if how == "widen" {
        surface.width
    } else {
        surface.plan_length
    };
    let side = if how == "widen" { "wide" } else { "long" };
    finding.by(bench.job.ramp.path[index].by()).remedy(|| {
        let (by, to) = (bench.up(more), bench.up(slab + more));
        format!(
            "{how} {} by {by}, to a slab {to} {side}",
            bench.way.names[index]
        )
    })
}

/// What curbs take of a size.
fn less_curbs(bench: &Bench, (slab, clear): (Length, Length), finding: Finding) -> Finding {
    let curbs = slab - clear;
    if curbs.is_zero() {
        return finding;
    }
    let (slab, curbs) = (bench.tape(slab), bench.tape(curbs));
    finding.note(format!("{slab} less {curbs} of curb"))
}

/// Judges a landing's length: by the row of its place, at the foot or between runs, or by that of all
/// landings; and its breadth where that has a row of its own.
fn check_lengths(bench: &mut Bench, landing: &Landing, index: usize) {
    let foot = index == 0;
    let between = index > 0 && bench.way.is_ramp(index - 1) && bench.way.is_ramp(index + 1);
    let own = match (foot, between) {
        (true, _) => bench.rule(Measure::FootLandingLength),
        (_, true) => bench.rule(Measure::MiddleLandingLength),
        _ => None,
    };
    if let Some(rule) = own.or_else(|| bench.rule(Measure::LandingLength)) {
        check_length(bench, rule, (landing, index));
    }
    if let Some(rule) = bench.rule(Measure::LandingBreadth) {
        let clear = bench.geometry.surfaces[index].clear_width;
        let finding = bench.weigh(rule, &piece_pointer(index), Measured::Length(clear));
        let more = rule.length().unwrap_or(clear) - clear;
        let finding = stretch(bench, finding, (index, "widen", more));
        bench.push(rule, finding.note("its clear width".to_owned()));
    }
}

fn check_length(bench: &mut Bench, rule: &Rule, (landing, index): (&Landing, usize)) {
    let surface = &bench.geometry.surfaces[index];
    let neighbours = level_beside(bench, landing, index);
    let clear = surface.clear_length + neighbours;
    let finding = bench.weigh(rule, &piece_pointer(index), Measured::Length(clear));
    let more = rule.length().unwrap_or(clear) - clear;
    let finding = stretch(bench, finding, (index, "lengthen", more));
    let mut finding = less_curbs(bench, (surface.plan_length, surface.clear_length), finding);
    if !neighbours.is_zero() {
        let more = bench.tape(neighbours);
        finding = finding.note(format!(
            "with {more} of the landings straight before and behind"
        ));
    }
    bench.push(rule, finding);
}

/// Clear length of landings that follow straight on, both ways.
fn level_beside(bench: &Bench, landing: &Landing, index: usize) -> Length {
    let path = &bench.job.ramp.path;
    let straight = |index: usize| match path.get(index) {
        Some(Piece::Landing(landing)) => landing.turn == Turn::Straight,
        _ => false,
    };
    let mut sum = Length::ZERO;
    let mut before = index;
    while before > 0 && straight(before - 1) {
        before -= 1;
        sum += bench.geometry.surfaces[before].clear_length;
    }
    let mut after = index;
    let mut goes_on = landing.turn == Turn::Straight;
    while goes_on && matches!(path.get(after + 1), Some(Piece::Landing(_))) {
        after += 1;
        sum += bench.geometry.surfaces[after].clear_length;
        goes_on = straight(after);
    }
    sum
}

fn check_turn(bench: &mut Bench, landing: &Landing, index: usize) {
    let between = index > 0 && bench.way.is_ramp(index - 1) && bench.way.is_ramp(index + 1);
    if landing.turn == Turn::Straight || !between {
        return;
    }
    let surface = &bench.geometry.surfaces[index];
    let (long, wide) = (
        (surface.plan_length, surface.clear_length, "lengthen"),
        (surface.width, surface.clear_width, "widen"),
    );
    let (shorter, longer) = match surface.clear_length < surface.clear_width {
        true => (long, wide),
        false => (wide, long),
    };
    let back = matches!(landing.turn, Turn::BackLeft | Turn::BackRight);
    check_side(bench, (index, Measure::TurnLanding, shorter));
    if back {
        check_side(bench, (index, Measure::TurnBackLanding, longer));
    }
}

/// A side of a slab: whole, clear of curbs, and how to make it larger.
type Side = (Length, Length, &'static str);

fn check_side(bench: &mut Bench, (index, measure, side): (usize, Measure, Side)) {
    let Some(rule) = bench.rule(measure) else {
        return;
    };
    let (slab, clear, how) = side;
    let finding = bench.weigh(rule, &piece_pointer(index), Measured::Length(clear));
    let more = rule.length().unwrap_or(clear) - clear;
    let finding = stretch(bench, finding, (index, how, more));
    let finding = less_curbs(bench, (slab, clear), finding);
    let side = match measure {
        Measure::TurnBackLanding => "longer side of the floor where the ramp turns back",
        _ => "shorter side of the turning square",
    };
    let finding = finding.note(format!("{side}; rails and posts stay out of it"));
    bench.push(rule, finding);
}

fn check_water(bench: &mut Bench, landing: &Landing, index: usize) {
    let Some(rule) = bench.rule(Measure::LandingFall) else {
        return;
    };
    let fall = landing.slope_along.abs().max(landing.slope_across.abs());
    let mut finding = bench
        .weigh(rule, &piece_pointer(index), Measured::Slope(fall))
        .by(landing.by);
    if finding.verdict == Verdict::Violates {
        // A level landing breaks nothing by itself: something else may drain it.
        finding.verdict = Verdict::Undetermined;
        finding.remedy = Some(drain(bench, landing, index));
        finding = finding
            .note("not told: how water leaves a landing that lies level both ways".to_owned());
    }
    bench.push(rule, finding);
}

fn drain(bench: &Bench, landing: &Landing, index: usize) -> String {
    let name = &bench.way.names[index];
    let most = bench
        .rule(Measure::LandingSlope)
        .and_then(Rule::slope)
        .unwrap_or(Slope::ZERO);
    let (most, width) = (bench.down(most * landing.width), bench.tape(landing.width));
    format!(
        "let {name} fall to one side, by at most {most} over its {width}, or show how it drains"
    )
}
