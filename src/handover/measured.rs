//! The survey of the poured ramp in short: its verdict, each rule once, what is to be mended.
//!
//! Invariants: of a rule that was looked at in several places the worst stands here; what only advises is
//! left out; nothing is judged here. Absent: the readings, which the survey's own answer holds.

use crate::estimate::SurveyAnswered;
use crate::quantity::{Citation, System};
use crate::rules::{Finding, Force, SetVerdict, Verdict};
use serde::Serialize;

/// A survey in short.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct SurveyInShort {
    /// `complies`, `does_not_comply` or `undetermined`, of what was measured.
    pub verdict: &'static str,
    /// In one sentence.
    pub headline: String,
    /// Each rule that counts, where it was met worst.
    pub findings: Vec<FindingInShort>,
    /// Places to mend.
    pub to_mend: Vec<String>,
}

/// One rule.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct FindingInShort {
    /// Rule id.
    pub rule: String,
    /// `meets`, `at_limit`, `violates` or `undetermined`, at the worst place.
    pub verdict: &'static str,
    /// Places at which it was looked at.
    pub places: usize,
    /// What was measured at the worst.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured: Option<String>,
    /// The limit there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<String>,
    /// Where the limit is published.
    pub source: Citation,
}

impl SurveyInShort {
    pub(super) fn of(answered: &SurveyAnswered, system: System) -> Self {
        let check = answered.check.as_ref().map(|check| &check.check);
        let all = check.map_or(&[][..], |check| &check.findings);
        let verdict = check.map_or(SetVerdict::Undetermined, |check| check.verdict);
        Self {
            verdict: verdict.as_str(),
            headline: answered.headline.clone(),
            findings: in_short(all, system),
            to_mend: answered
                .defects
                .iter()
                .map(|one| one.text.clone())
                .collect(),
        }
    }

    /// True where a rule that counts is broken.
    pub fn breaks_a_rule(&self) -> bool {
        self.verdict == SetVerdict::DoesNotComply.as_str()
    }
}

fn in_short(all: &[Finding], system: System) -> Vec<FindingInShort> {
    let mut told: Vec<(&Finding, usize)> = Vec::new();
    let counts = |finding: &&Finding| {
        finding.force == Force::Required && finding.verdict != Verdict::NotApplicable
    };
    for finding in all.iter().filter(counts) {
        match told.iter_mut().find(|(one, _)| one.rule == finding.rule) {
            Some((worst, places)) => {
                *places += 1;
                if rank(finding) < rank(worst) {
                    *worst = finding;
                }
            }
            None => told.push((finding, 1)),
        }
    }
    told.sort_by_key(|(finding, _)| rank(finding).0);
    told.into_iter()
        .map(|(finding, places)| FindingInShort {
            rule: finding.rule.clone(),
            verdict: finding.verdict.as_str(),
            places,
            measured: finding.measured.map(|one| one.text(system)),
            limit: finding.limit.map(|one| one.text(system)),
            source: finding.source.clone(),
        })
        .collect()
}

/// The lower, the worse: by verdict, then by the room left, in thousandths of its limit.
fn rank(finding: &Finding) -> (u8, i64) {
    let verdict = match finding.verdict {
        Verdict::Violates => 0,
        Verdict::Undetermined => 1,
        Verdict::AtLimit => 2,
        Verdict::Meets => 3,
        Verdict::NotApplicable => 4,
    };
    let room = finding.tightness().unwrap_or(0.0);
    (verdict, (room.clamp(-1e6, 1e6) * 1e9) as i64)
}
