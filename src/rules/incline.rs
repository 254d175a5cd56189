//! The running slope of one incline, a run or a curb ramp, and what to do when it is too steep.
//!
//! Invariants: slope is rise over length on plan, whatever was taped; steeper bands hold only where
//! the job says existing and space-limited, and what no band holds falls to the base row.
//! Absent here: any number of a rule.
//!
//! # Source
//! 2010 ADA Standards, 405.2 with Table 405.2, Advisory 405.3.

use super::bench::Bench;
use super::finding::{Finding, Measured, Verdict};
use super::measure::Measure;
use super::row::Rule;
use crate::job::By;
use crate::quantity::{Length, Slope};

/// One incline.
pub(super) struct Incline {
    /// JSON Pointer.
    pub(super) subject: String,
    /// What a crew calls it.
    pub(super) name: String,
    /// Rise.
    pub(super) rise: Length,
    /// Length on plan.
    pub(super) plan: Length,
    /// Length along the surface, where it was taped so.
    pub(super) surface: Option<Length>,
    /// Rise of all steep inclines of its way together.
    pub(super) steep_rise: Length,
    /// Who builds it.
    pub(super) by: By,
}

impl Incline {
    fn slope(&self) -> Slope {
        Slope::from_ratio(self.rise / self.plan)
    }
}

/// Judges an incline by the base row, or by the bands where steeper ones are allowed.
pub(super) fn check_incline(bench: &mut Bench, incline: &Incline) {
    let Some(base) = bench.rule(Measure::RunSlope) else {
        return;
    };
    let Some(limit) = base.slope() else { return };
    let steep = !incline.slope().at_most(limit);
    if steep && bench.job.site.existing_and_space_limited && check_steep(bench, incline, limit) {
        return;
    }
    let mut finding = weigh(bench, base, incline).remedy(|| lengthen(bench, incline, limit));
    if finding.verdict == Verdict::Violates && !bench.job.site.existing_and_space_limited {
        finding = hint_at_table(bench, incline, finding);
    }
    bench.push(base, finding);
}

/// Judges a steep incline by its band; false when the set has no bands, or none that holds it.
fn check_steep(bench: &mut Bench, incline: &Incline, base: Slope) -> bool {
    let Some(cap) = bench.rule(Measure::SteepestRun) else {
        return false;
    };
    let milder = milder_slope(bench, incline, base);
    let remedy = |bench: &Bench| lengthen(bench, incline, milder);
    let finding = weigh(bench, cap, incline).remedy(|| remedy(bench));
    if finding.verdict == Verdict::Violates {
        bench.push(cap, finding);
        return true;
    }
    let Some(band) = bench.set.rule_in_band(Measure::SteepRise, incline.slope()) else {
        return false;
    };
    bench.push(cap, finding);
    let rise = Measured::Length(incline.steep_rise);
    let finding = bench
        .weigh(band, &incline.subject, rise)
        .by(incline.by)
        .note(band_note(band, incline))
        .remedy(|| remedy(bench));
    bench.push(band, finding);
    true
}

fn band_note(band: &Rule, incline: &Incline) -> String {
    let from = band.row.steeper_than.as_deref().unwrap_or_default();
    let to = band.row.not_steeper_than.as_deref().unwrap_or_default();
    let slope = Measured::Slope(incline.slope()).text(crate::quantity::System::Us);
    format!(
        "at {slope}, steeper than {from} and not steeper than {to}, the rise of all steep runs together is held to {}",
        band.text()
    )
}

/// The steepest slope that this rise may have: that of a band that holds it, else the base.
fn milder_slope(bench: &Bench, incline: &Incline, base: Slope) -> Slope {
    let bands = bench.set.bands(Measure::SteepRise);
    let holds = |band: &&Rule| {
        band.length()
            .is_some_and(|most| incline.steep_rise.at_most(most))
    };
    let slopes = bands
        .filter(holds)
        .filter_map(|band| band.band.map(|(_, most)| most));
    slopes.fold(base, Slope::max)
}

/// Says so when the table would allow this on an existing site.
fn hint_at_table(bench: &Bench, incline: &Incline, finding: Finding) -> Finding {
    let band = bench.set.rule_in_band(Measure::SteepRise, incline.slope());
    let allowed = band
        .and_then(Rule::length)
        .is_some_and(|most| incline.steep_rise.at_most(most));
    if !allowed {
        return finding;
    }
    let hint = "only on an existing site where space makes it necessary does a table allow this (existing_and_space_limited)";
    finding.note(hint.to_owned())
}

fn weigh(bench: &Bench, rule: &Rule, incline: &Incline) -> Finding {
    let finding = bench
        .weigh(rule, &incline.subject, Measured::Slope(incline.slope()))
        .by(incline.by);
    let Some(surface) = incline.surface else {
        return finding;
    };
    let (taped, plan) = (bench.tape(surface), bench.tape(incline.plan));
    let finding = finding.note(format!("{taped} along the surface is {plan} on plan"));
    let on_plan = Measured::Slope(Slope::from_ratio(incline.rise / surface));
    let would_meet = bench.weigh(rule, &incline.subject, on_plan).verdict != Verdict::Violates;
    if finding.verdict == Verdict::Violates && would_meet {
        return finding.note(format!("{taped} on plan would comply"));
    }
    finding
}

/// How much longer an incline must be to rise no steeper than `limit`, rounded up to a mark.
fn lengthen(bench: &Bench, incline: &Incline, limit: Slope) -> String {
    let plan = Length::from_metres(incline.rise.metres() / limit.ratio());
    let name = &incline.name;
    let on_plan = bench.up(plan);
    let Some(taped) = incline.surface else {
        return format!(
            "lengthen {name} by {}, to {on_plan} on plan",
            bench.up(plan - incline.plan)
        );
    };
    let surface = Length::from_metres(libm::hypot(plan.metres(), incline.rise.metres()));
    let more = bench.up(surface - taped);
    format!(
        "lengthen {name} by {more}, to {on_plan} on plan ({} along the surface)",
        bench.up(surface)
    )
}
