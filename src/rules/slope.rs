//! Slopes of runs: running and across, of ramps and of walks.
//!
//! Invariants: the two axes are judged apart, their resultant is no test; a run that is no ramp is
//! judged as a walk alone. Absent here: landings, whose slopes are judged with them.

use super::bench::Bench;
use super::finding::Measured;
use super::incline::{Incline, check_incline};
use super::measure::Measure;
use super::way::Role;
use crate::geometry::piece_pointer;
use crate::job::{By, Measured as Taped, Piece, Run};
use crate::quantity::{Length, Slope};

/// Judges the slopes of every run.
pub(super) fn check_slopes(bench: &mut Bench) {
    let job = bench.job;
    for (index, piece) in job.ramp.path.iter().enumerate() {
        let Piece::Run(run) = piece else { continue };
        if bench.way.roles[index] == Role::Ramp {
            check_incline(bench, &incline(bench, run, index));
        } else {
            let slope = bench.geometry.surfaces[index].slope.abs();
            check_walk_slope(bench, &piece_pointer(index), (slope, run.by));
        }
    }
    for (index, piece) in job.ramp.path.iter().enumerate() {
        let Piece::Run(run) = piece else { continue };
        let measure = match bench.way.roles[index] {
            Role::Ramp => Measure::RunCrossSlope,
            _ => Measure::WalkCrossSlope,
        };
        let across = Across {
            subject: format!("{}/cross_slope", piece_pointer(index)),
            name: bench.way.names[index].clone(),
            slope: run.cross_slope,
            over: run.width,
            by: run.by,
        };
        check_fall(bench, measure, &across);
    }
}

fn incline(bench: &Bench, run: &Run, index: usize) -> Incline {
    Incline {
        subject: piece_pointer(index),
        name: bench.way.names[index].clone(),
        rise: run.rise.abs(),
        plan: run.plan_length(),
        surface: (run.measured == Taped::Surface).then_some(run.length),
        steep_rise: bench.way.steep_rise,
        by: run.by,
    }
}

/// Judges the running slope of a walk, or of a landing that is part of one.
pub(super) fn check_walk_slope(bench: &mut Bench, subject: &str, (slope, by): (Slope, By)) {
    let Some(rule) = bench.rule(Measure::WalkSlope) else {
        return;
    };
    let finding = bench.weigh(rule, subject, Measured::Slope(slope)).by(by);
    bench.push(rule, finding);
}

/// A fall over a width or a length.
pub(super) struct Across {
    pub(super) subject: String,
    pub(super) name: String,
    pub(super) slope: Slope,
    /// What it falls over, on plan.
    pub(super) over: Length,
    pub(super) by: By,
}

/// Judges a fall; the remedy says how much it may be over the whole width or length.
pub(super) fn check_fall(bench: &mut Bench, measure: Measure, across: &Across) {
    let Some(rule) = bench.rule(measure) else {
        return;
    };
    let remedy = || {
        let most = rule.slope().unwrap_or(Slope::ZERO) * across.over;
        let (most, over) = (bench.down(most), bench.tape(across.over));
        format!("let {} fall at most {most} over its {over}", across.name)
    };
    let slope = Measured::Slope(across.slope.abs());
    let finding = bench
        .weigh(rule, &across.subject, slope)
        .by(across.by)
        .remedy(remedy);
    bench.push(rule, finding);
}
