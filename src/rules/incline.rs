//! The running slope of one incline, a run or a curb ramp, and what to do when it is too steep.
//!
//! Invariants: slope is rise over length on plan, whatever was taped; steeper bands hold only where
//! the job says existing and space-limited, and what no band holds falls to the base row.
//! Absent here: any number of a rule.
//!
//! # Source
//! 2010 ADA Standards, 405.2 with Table 405.2, Advisory 405.3.

use super::bench::Bench;
use super::class::{Class, Classed};
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

    const fn classed(&self, slope: Slope) -> Classed {
        Classed {
            slope,
            length: self.plan,
            rise: self.rise,
        }
    }
}

/// Judges an incline by the row that allows it most, or by the bands where steeper ones are allowed.
pub(super) fn check_incline(bench: &mut Bench, incline: &Incline) {
    let Some((base, limit)) = most_allowed(bench, incline) else {
        return;
    };
    let steep = !incline.slope().at_most(limit);
    if steep && bench.job.site.existing_and_space_limited && check_steep(bench, incline, limit) {
        return;
    }
    let against = (base, limit);
    let mut finding = weigh(bench, against, incline).remedy(|| flatten(bench, incline, against));
    if finding.verdict == Verdict::Violates && !bench.job.site.existing_and_space_limited {
        finding = hint_at_table(bench, incline, finding);
    }
    bench.push(base, finding);
}

/// The row that lets a run of this length and rise be steepest, and how steep that is.
pub(super) fn most_allowed<'a>(bench: &Bench<'a>, incline: &Incline) -> Option<(&'a Rule, Slope)> {
    let run = incline.classed(incline.slope());
    let slope = |rule: &'a Rule| match rule.limit_for(run) {
        Some(Measured::Slope(slope)) => Some((rule, slope)),
        _ => None,
    };
    let held = bench
        .set
        .rules_for(Measure::RunSlope, run)
        .filter_map(slope);
    let held = held.reduce(|a, b| if b.1.at_most(a.1) { a } else { b });
    held.or_else(|| slope(bench.rule(Measure::RunSlope)?))
}

/// Judges a steep incline by its band; false when the set has no bands, or none that holds it.
fn check_steep(bench: &mut Bench, incline: &Incline, base: Slope) -> bool {
    let Some(cap) = bench.rule(Measure::SteepestRun) else {
        return false;
    };
    let milder = milder_slope(bench, incline, base);
    let remedy = |bench: &Bench| lengthen(bench, incline, milder);
    let Some(steepest) = cap.slope() else {
        return false;
    };
    let finding = weigh(bench, (cap, steepest), incline).remedy(|| remedy(bench));
    if finding.verdict == Verdict::Violates {
        bench.push(cap, finding);
        return true;
    }
    let Some(band) = band_of(bench, incline) else {
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

/// The band of slopes in which an incline lies.
fn band_of<'a>(bench: &Bench<'a>, incline: &Incline) -> Option<&'a Rule> {
    let run = incline.classed(incline.slope());
    bench.set.rules_for(Measure::SteepRise, run).next()
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
pub(super) fn milder_slope(bench: &Bench, incline: &Incline, base: Slope) -> Slope {
    let bands = bench.set.rows_of(Measure::SteepRise);
    let holds = |band: &&Rule| {
        band.length()
            .is_some_and(|most| incline.steep_rise.at_most(most))
    };
    let slopes = bands
        .filter(holds)
        .filter_map(|band| band.class.not_steeper_than);
    slopes.fold(base, Slope::max)
}

/// Says so when the table would allow this on an existing site.
fn hint_at_table(bench: &Bench, incline: &Incline, finding: Finding) -> Finding {
    let band = band_of(bench, incline);
    let allowed = band
        .and_then(Rule::length)
        .is_some_and(|most| incline.steep_rise.at_most(most));
    if !allowed {
        return finding;
    }
    let hint = "only on an existing site where space makes it necessary does a table allow this (existing_and_space_limited)";
    finding.note(hint.to_owned())
}

fn weigh(bench: &Bench, (rule, limit): (&Rule, Slope), incline: &Incline) -> Finding {
    let against = |slope: Slope| (Measured::Slope(slope), Measured::Slope(limit));
    let mut finding = bench
        .weigh_against(rule, &incline.subject, against(incline.slope()))
        .by(incline.by);
    if let Some(words) = words_of(rule) {
        finding = finding.note(words);
    }
    let Some(surface) = incline.surface else {
        return finding;
    };
    let (taped, plan) = (bench.tape(surface), bench.tape(incline.plan));
    let finding = finding.note(format!("{taped} along the surface is {plan} on plan"));
    let on_plan = Slope::from_ratio(incline.rise / surface);
    let would_meet = bench
        .weigh_against(rule, &incline.subject, against(on_plan))
        .verdict
        != Verdict::Violates;
    if finding.verdict == Verdict::Violates && would_meet {
        return finding.note(format!("{taped} on plan would comply"));
    }
    finding
}

/// What a row says beside its number: how it is reckoned, or for which runs it holds.
fn words_of(rule: &Rule) -> Option<String> {
    if let Some(by) = rule.row.reckoned {
        let (base, per, most) = (by.base, by.per, rule.text());
        return Some(format!(
            "not steeper than 1 in {base} and {per} more for each metre of going, nor than {most}"
        ));
    }
    let class = Class::words(&rule.row);
    (!class.is_empty()).then(|| format!("a run {class} may have {}", rule.text()))
}

/// What to do about a run that is too steep for its row.
fn flatten(bench: &Bench, incline: &Incline, (rule, limit): (&Rule, Slope)) -> String {
    let Some(by) = rule.row.reckoned else {
        // What a class lets off is let off up to a length; a longer run answers to the base row.
        let base = bench.rule(Measure::RunSlope).and_then(Rule::slope);
        return lengthen(
            bench,
            incline,
            if rule.class.is_any() {
                limit
            } else {
                base.unwrap_or(limit)
            },
        );
    };
    let rise = incline.rise.metres();
    let cap = rule.slope().unwrap_or(limit);
    let shortest = rise / cap.ratio();
    let steepest_holds = by.base + by.per * shortest <= 1.0 / cap.ratio();
    let left = 1.0 - by.per * rise;
    if steepest_holds {
        lengthen(bench, incline, cap)
    } else if left > 0.0 {
        lengthen(bench, incline, Slope::from_ratio(left / by.base))
    } else {
        let name = &incline.name;
        format!("divide {name} into runs that rise less, with a landing between")
    }
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
