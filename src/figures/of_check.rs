//! Figures of the rules, and of slopes and rises that they judge.
//!
//! Invariant: counts are those of required findings; nothing here approves anything.

use super::shape::digits;
use super::{Found, NotKnown, Shown};
use crate::estimate::Estimate;
use crate::geometry::{HeightWhat, SurfaceKind, piece_pointer};
use crate::quantity::shown::{InMm, Shown as Quantity, SlopePct};
use crate::quantity::{Length, Slope};
use crate::rules::{Finding, Force, Measured, SetVerdict, Verdict};

pub(super) fn verdict(estimate: &Estimate) -> Found {
    Ok(Shown::text(estimate.check.verdict.as_str()))
}

fn required(estimate: &Estimate) -> impl Iterator<Item = &Finding> {
    let findings = estimate.check.findings.iter();
    findings.filter(|finding| finding.force == Force::Required)
}

fn count(estimate: &Estimate, verdict: Verdict) -> Found {
    let found = required(estimate).filter(|finding| finding.verdict == verdict);
    Ok(Shown::count(found.count()))
}

pub(super) fn violations(estimate: &Estimate) -> Found {
    count(estimate, Verdict::Violates)
}

pub(super) fn at_limits(estimate: &Estimate) -> Found {
    count(estimate, Verdict::AtLimit)
}

pub(super) fn undetermined(estimate: &Estimate) -> Found {
    let open = required(estimate).filter(|f| f.counts_as() == SetVerdict::Undetermined);
    Ok(Shown::count(open.count()))
}

/// The first required finding that is broken.
pub(super) fn first_broken(estimate: &Estimate) -> Option<&Finding> {
    required(estimate).find(|finding| finding.verdict == Verdict::Violates)
}

/// The first required finding of ours that waits for a fact.
pub(super) fn first_open(estimate: &Estimate) -> Option<&Finding> {
    required(estimate).find(|finding| finding.counts_as() == SetVerdict::Undetermined)
}

/// The first required finding exactly at its limit.
pub(super) fn first_at_limit(estimate: &Estimate) -> Option<&Finding> {
    required(estimate).find(|finding| finding.verdict == Verdict::AtLimit)
}

pub(super) fn first_violation(estimate: &Estimate) -> Found {
    let broken = first_broken(estimate);
    Ok(Shown::text(broken.map_or_else(
        || "none".to_owned(),
        |finding| rule_and_remedy(finding, estimate),
    )))
}

/// The rule, and what to do about it, or by how much it is missed.
pub(super) fn rule_and_remedy(finding: &Finding, estimate: &Estimate) -> String {
    let system = estimate.job.units;
    let against = || match (finding.measured, finding.limit) {
        (Some(measured), Some(limit)) => Some(format!(
            "{} against {}",
            measured.text(system),
            limit.text(system)
        )),
        _ => None,
    };
    let told = finding.remedy.clone().or_else(against);
    match told.or_else(|| finding.note.clone()) {
        Some(told) => format!("{}: {told}", finding.rule),
        None => finding.rule.clone(),
    }
}

pub(super) fn worst_margin(estimate: &Estimate) -> Found {
    let surfaces = estimate.geometry.surfaces.iter().enumerate();
    let runs = surfaces.filter(|(_, surface)| surface.kind == SurfaceKind::Run);
    let runs: Vec<String> = runs.map(|(index, _)| piece_pointer(index)).collect();
    let room = |finding: &Finding| match (finding.measured, finding.margin) {
        // A fall across has a subject of its own below the run's.
        (Some(Measured::Slope(_)), Some(Measured::Points(points)))
            if runs.contains(&finding.subject) =>
        {
            Some(points)
        }
        _ => None,
    };
    let worst = required(estimate).filter_map(room).min_by(f64::total_cmp);
    worst
        .map(|points| digits(Quantity::new(points, "%", 3)))
        .ok_or_else(|| {
            NotKnown::undetermined(
                "no rule of running slope was held against a run; name a rule set in rule_set",
            )
        })
}

fn steepest(estimate: &Estimate) -> Result<SlopePct, NotKnown> {
    let surfaces = estimate.geometry.surfaces.iter();
    let runs = surfaces.filter(|surface| surface.kind == SurfaceKind::Run);
    let steepest = runs.map(|run| run.slope.abs()).reduce(Slope::max);
    steepest
        .map(|slope| SlopePct::of(slope, estimate.job.units))
        .ok_or_else(no_run)
}

fn no_run() -> NotKnown {
    NotKnown::undetermined("the path has no run; give its rise in rise")
}

pub(super) fn slope(estimate: &Estimate) -> Found {
    Ok(digits(steepest(estimate)?.shown()))
}

pub(super) fn slope_ratio(estimate: &Estimate) -> Found {
    Ok(Shown::text(steepest(estimate)?.ratio()))
}

pub(super) fn rise_max(estimate: &Estimate) -> Found {
    let steps = estimate.geometry.height_budget.iter();
    let runs = steps.filter(|step| step.what == HeightWhat::Run);
    let largest = runs.map(|step| step.rise.abs()).reduce(Length::max);
    largest
        .map(|rise| digits(InMm::of(rise, estimate.job.units).shown()))
        .ok_or_else(no_run)
}
