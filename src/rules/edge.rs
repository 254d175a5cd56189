//! Edge protection of ramp runs and their landings.
//!
//! Invariants: each open stretch of edge is judged by the first means that holds: an exception, a
//! curb, a barrier, an extended surface; a curb that is there and too low is broken even where rails
//! by others follow; joined edges, walls and walks are not open. Absent here: walks, which need none.
//!
//! # Source
//! 2010 ADA Standards, 405.9 with its exceptions, 405.9.1, 405.9.2.

use super::bench::Bench;
use super::finding::{Finding, Measured, Verdict};
use super::measure::Measure;
use super::row::Rule;
use super::way::Role;
use crate::geometry::{EdgeLine, piece_pointer};
use crate::job::{By, Piece};
use crate::quantity::Length;

/// What guards a stretch of edge.
enum Guard {
    /// The ramp needs no rails and its sides are flared.
    Flare,
    /// The drop beside a landing is small.
    SmallDrop,
    /// The ramp's curb.
    Curb,
    /// A barrier whose opening is told or not.
    Barrier,
    /// Surface past the handrail.
    Extended,
    /// Handrails by others, of which the lower parts are not known.
    RailsByOthers,
    /// A landing whose drop is not told.
    DropUnknown,
    /// Nothing.
    Open,
}

/// Findings of one kind, and the edges that they hold for.
struct Stretch {
    rule: Measure,
    finding: Finding,
    edges: Vec<(usize, &'static str)>,
}

/// Judges the edges of ramp runs and of landings that serve them.
pub(super) fn check_edges(bench: &mut Bench) {
    if bench.rule(Measure::EdgeProtection).is_none() {
        return;
    }
    let mut stretches: Vec<Stretch> = Vec::new();
    for edge in &bench.geometry.edges {
        let served = matches!(bench.way.roles[edge.piece], Role::Ramp | Role::RampLanding);
        if !edge.is_formed() || !served {
            continue;
        }
        let Some((rule, finding)) = judge_edge(bench, edge) else {
            continue;
        };
        let place = (edge.piece, edge.name.as_str());
        let same = |s: &&mut Stretch| {
            s.finding.rule == finding.rule && s.finding.subject == finding.subject
        };
        match stretches.iter_mut().find(same) {
            Some(stretch) if stretch.edges.contains(&place) => {}
            Some(stretch) => stretch.edges.push(place),
            None => stretches.push(Stretch {
                rule,
                finding,
                edges: vec![place],
            }),
        }
    }
    for stretch in stretches {
        take_in(bench, stretch);
    }
}

/// Names the edges of a stretch and takes its finding in.
fn take_in(bench: &mut Bench, stretch: Stretch) {
    let Some(rule) = bench.rule(stretch.rule) else {
        return;
    };
    let places = name_places(bench, &stretch.edges);
    let mut finding = stretch.finding.note(places.clone());
    let open = finding.measured.is_none() && finding.verdict == Verdict::Violates;
    if open && let Some(curb) = bench.rule(Measure::CurbHeight) {
        let curb = curb.text();
        finding.remedy = Some(format!(
            "cast a curb at least {curb} high along {places}, or set a barrier there"
        ));
    }
    if finding.verdict == Verdict::Undetermined && finding.by == Some(By::Others) {
        bench.condition(format!(
            "edge protection by others along {places} ({})",
            rule.row.section
        ));
    }
    bench.push(rule, finding);
}

/// `left and right of run 1; end of landing 2`.
fn name_places(bench: &Bench, edges: &[(usize, &'static str)]) -> String {
    let mut places: Vec<(usize, Vec<&str>)> = Vec::new();
    for (piece, edge) in edges {
        match places.last_mut() {
            Some((last, names)) if last == piece => names.push(edge),
            _ => places.push((*piece, vec![edge])),
        }
    }
    let place = |(piece, edges): &(usize, Vec<&str>)| {
        let name = &bench.way.names[*piece];
        match edges.split_last() {
            Some((last, [])) => format!("{last} of {name}"),
            Some((last, others)) => format!("{} and {last} of {name}", others.join(", ")),
            None => name.clone(),
        }
    };
    places.iter().map(place).collect::<Vec<_>>().join("; ")
}

fn judge_edge(bench: &Bench, edge: &EdgeLine) -> Option<(Measure, Finding)> {
    let piece = piece_pointer(edge.piece);
    let by = bench.job.ramp.path[edge.piece].by();
    match find_guard(bench, edge) {
        Guard::Flare => exempt(
            bench,
            Measure::FlaredSides,
            flare_of(bench, edge.piece),
            &format!("{piece}/flare"),
        ),
        Guard::SmallDrop => exempt(
            bench,
            Measure::EdgeDrop,
            drop_of(bench, edge.piece),
            &format!("{piece}/edge_drop"),
        ),
        Guard::Curb => judge_curb(bench),
        Guard::Barrier => judge_barrier(bench),
        Guard::Extended => judge_extended(bench),
        Guard::RailsByOthers => {
            let fact = (
                "the lowest opening of the handrails, or a curb or barrier with them",
                By::Others,
            );
            open_question(bench, "/ramp/handrails", fact)
        }
        Guard::DropUnknown => {
            let fact = (
                "the drop beside this landing (edge_drop), or what guards it",
                by,
            );
            open_question(bench, &format!("{piece}/edge_drop"), fact)
        }
        Guard::Open => {
            let rule = bench.rule(Measure::EdgeProtection)?;
            let finding = bench.blank(rule, &piece, Verdict::Violates).by(by);
            Some((
                Measure::EdgeProtection,
                finding.note("nothing guards the edge".to_owned()),
            ))
        }
    }
}

/// The first means that holds, in the order in which a set allows them.
fn find_guard(bench: &Bench, edge: &EdgeLine) -> Guard {
    let index = edge.piece;
    let holds = |measure: Measure, measured: Option<Measured>| {
        bench
            .rule(measure)
            .zip(measured)
            .is_some_and(|(rule, measured)| {
                bench.weigh(rule, "", measured).verdict != Verdict::Violates
            })
    };
    let rails = bench.job.ramp.handrails.as_option();
    let barrier = bench.job.ramp.barrier.as_option();
    if holds(Measure::EdgeDrop, drop_of(bench, index)) {
        return Guard::SmallDrop;
    }
    if !bench.rails_needed() && holds(Measure::FlaredSides, flare_of(bench, index)) {
        return Guard::Flare;
    }
    let curb_holds = edge.curb && holds(Measure::CurbHeight, curb_height(bench));
    if curb_holds {
        return Guard::Curb;
    }
    if barrier.is_some() {
        return Guard::Barrier;
    }
    if holds(Measure::ExtendedSurface, inset(bench)) {
        return Guard::Extended;
    }
    if edge.curb {
        return Guard::Curb;
    }
    if rails.is_some_and(|rails| rails.by == By::Others) {
        return Guard::RailsByOthers;
    }
    let landing = matches!(bench.job.ramp.path[index], Piece::Landing(_));
    if landing && drop_of(bench, index).is_none() {
        return Guard::DropUnknown;
    }
    Guard::Open
}

fn drop_of(bench: &Bench, index: usize) -> Option<Measured> {
    match &bench.job.ramp.path[index] {
        Piece::Landing(landing) => landing.edge_drop.map(Measured::Length),
        Piece::Run(_) => None,
    }
}

fn flare_of(bench: &Bench, index: usize) -> Option<Measured> {
    match &bench.job.ramp.path[index] {
        Piece::Run(run) => run.flare.map(Measured::Slope),
        Piece::Landing(_) => None,
    }
}

fn curb_height(bench: &Bench) -> Option<Measured> {
    bench
        .job
        .ramp
        .curb
        .as_option()
        .map(|curb| Measured::Length(curb.height))
}

/// How far the surface reaches past the inside face of the rails; not known of one-sided ones, since
/// nobody told which side.
fn inset(bench: &Bench) -> Option<Measured> {
    let rails = bench.job.ramp.handrails.as_option()?;
    let inset = rails.inset.filter(|_| rails.both_sides != Some(false))?;
    Some(Measured::Length(inset))
}

/// An exception that holds: nothing is asked, and its figures are shown.
fn exempt(
    bench: &Bench,
    measure: Measure,
    measured: Option<Measured>,
    subject: &str,
) -> Option<(Measure, Finding)> {
    let rule = bench.rule(measure)?;
    let mut finding = bench.weigh(rule, subject, measured?);
    finding.verdict = Verdict::NotApplicable;
    Some((
        measure,
        finding.note("no edge protection is asked".to_owned()),
    ))
}

fn judge_curb(bench: &Bench) -> Option<(Measure, Finding)> {
    let rule = bench.rule(Measure::CurbHeight)?;
    let height = curb_height(bench)?;
    let finding = bench.weigh(rule, "/ramp/curb/height", height).remedy(|| {
        let Measured::Length(height) = height else {
            return String::new();
        };
        let least = rule.length().unwrap_or(height);
        let (more, least) = (bench.up(least - height), bench.up(least));
        format!("cast the curb {more} higher, to {least}")
    });
    Some((Measure::CurbHeight, finding))
}

fn judge_barrier(bench: &Bench) -> Option<(Measure, Finding)> {
    let rule = bench.rule(Measure::BarrierOpening)?;
    let barrier = bench.job.ramp.barrier.as_option()?;
    let subject = "/ramp/barrier/gap_below";
    let finding = match barrier.gap_below {
        None => bench.unknown(
            rule,
            subject,
            ("the opening under the barrier (gap_below)", barrier.by),
        ),
        Some(gap) => bench
            .weigh(rule, subject, Measured::Length(gap))
            .by(barrier.by)
            .remedy(|| {
                let less = bench.up(gap - rule.length().unwrap_or(Length::ZERO));
                format!(
                    "close the opening under the barrier to less than {}: more than {less} lower",
                    rule.text()
                )
            }),
    };
    Some((Measure::BarrierOpening, finding))
}

fn judge_extended(bench: &Bench) -> Option<(Measure, Finding)> {
    let rule = bench.rule(Measure::ExtendedSurface)?;
    let rails = bench.job.ramp.handrails.as_option()?;
    let finding = bench
        .weigh(rule, "/ramp/handrails/inset", inset(bench)?)
        .by(rails.by);
    Some((Measure::ExtendedSurface, finding))
}

fn open_question(bench: &Bench, subject: &str, fact: (&str, By)) -> Option<(Measure, Finding)> {
    let rule: &Rule = bench.rule(Measure::EdgeProtection)?;
    Some((Measure::EdgeProtection, bench.unknown(rule, subject, fact)))
}
