//! Sections 5 and 6: what the slopes are, what they leave of the limits, and how concrete looks.
//!
//! Invariants: a margin is that of the finding, in points; nothing here says that anybody accepts the ramp.

use super::text::say;
use super::{Offer, ProposalSection};
use crate::answered::AnsweredFinding;
use crate::geometry::SurfaceKind;
use crate::job::Work;
use crate::quantity::round_to;
use crate::quantity::slack::{Compared, compare};

const PERCENT: &str = "%";
const CROSS: &str = "/cross_slope";
const PATH: &str = "/ramp/path/";

pub(super) fn slopes(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(5);
    if let Some((running, cross)) = steepest(offer) {
        let facts = [
            ("running", running.to_string()),
            ("cross", cross.to_string()),
        ];
        section.say(&say().slope_set_out, &facts);
    }
    let tightest = [tightest(offer, false), tightest(offer, true)];
    let tightest: Vec<(&AnsweredFinding, f64)> = tightest.into_iter().flatten().collect();
    if !tightest.is_empty() {
        let margins = tightest
            .iter()
            .map(|(_, margin)| round_to(*margin, 2).to_string());
        let facts = [
            ("rules", rules(&tightest)),
            ("margins", margins.collect::<Vec<_>>().join(" and ")),
        ];
        let over = tightest
            .iter()
            .any(|(_, margin)| compare(*margin, 0.0) == Compared::Below);
        section.say(
            if over {
                &say().slope_over
            } else {
                &say().slope_held
            },
            &facts,
        );
    }
    if let Some(code) = &offer.request.local_code {
        section.say(&say().slope_local, &[("code", code.clone())]);
    }
    section.say(&say().slope_acceptance, &[]);
    section
}

/// The steepest new run and the largest cross fall, in percent.
fn steepest(offer: &Offer<'_>) -> Option<(f64, f64)> {
    let surfaces = &offer.site?.geometry.surfaces;
    let new = surfaces.iter().filter(|surface| surface.work == Work::New);
    let runs = new.filter(|surface| surface.kind == SurfaceKind::Run);
    let (mut running, mut cross) = (None, 0.0_f64);
    for run in runs {
        running = Some(f64::max(running.unwrap_or(0.0), run.slope.percent().abs()));
        cross = cross.max(run.cross_slope.percent().abs());
    }
    Some((round_to(running?, 2), round_to(cross, 2)))
}

/// The required finding on a slope of a run that leaves least, and what it leaves.
fn tightest<'a>(offer: &'a Offer<'_>, across: bool) -> Option<(&'a AnsweredFinding, f64)> {
    let findings = offer.answer.check.iter().flat_map(|check| &check.findings);
    let of_slope = findings.filter_map(|finding| {
        let margin = finding
            .margin
            .as_ref()
            .filter(|margin| margin.unit == PERCENT)?;
        let place = finding.subject.strip_prefix(PATH)?;
        let is_of_run = match across {
            true => finding.subject.ends_with(CROSS),
            false => !place.contains('/'),
        };
        (is_of_run && finding.force == "required").then_some((finding, margin.value))
    });
    of_slope.min_by(|one, other| one.1.total_cmp(&other.1))
}

/// The documents with their sections, each document once.
fn rules(findings: &[(&AnsweredFinding, f64)]) -> String {
    let mut words = String::new();
    let mut last = None;
    for (finding, _) in findings {
        let source = &finding.source;
        let section = source.section.as_deref().unwrap_or(&finding.rule);
        if !words.is_empty() {
            words.push_str(" and ");
        }
        if last != Some(&source.document) {
            words.push_str(&source.document);
            words.push_str(", ");
        }
        words.push_str(section);
        last = Some(&source.document);
    }
    words
}

pub(super) fn appearance() -> ProposalSection {
    let mut section = ProposalSection::new(6);
    section.say(&say().cracking, &[]);
    section
}
