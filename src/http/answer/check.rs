//! Findings as a caller reads them.

use super::{View, plain};
use crate::job::By;
use crate::quantity::shown::{InMm, Shown, SlopePct};
use crate::quantity::{Citation, Length};
use crate::rules::{Check, Finding, Force, Measured, SetVerdict, Verdict};
use serde::Serialize;
use utoipa::ToSchema;

/// A ramp judged against rule sets.
#[derive(Debug, Serialize, ToSchema)]
pub struct CheckAnswer {
    /// `complies`, `does_not_comply` or `undetermined`; required findings alone count. A reading of
    /// the named rules: the official in charge decides.
    pub verdict: &'static str,
    /// What others must still do for it to hold.
    pub conditions: Vec<String>,
    /// Each rule set with its own verdict.
    pub rule_sets: Vec<RuleSetAnswer>,
    /// Every rule that was looked at.
    pub findings: Vec<FindingAnswer>,
}

/// The verdict of one rule set.
#[derive(Debug, Serialize, ToSchema)]
pub struct RuleSetAnswer {
    /// Its id.
    pub id: String,
    /// Its version.
    pub version: u32,
    /// Its title.
    pub title: String,
    /// Its verdict.
    pub verdict: &'static str,
    /// True when its rows only warn.
    pub advisory: bool,
}

/// One rule, looked at in one place.
#[derive(Debug, Serialize, ToSchema)]
pub struct FindingAnswer {
    /// Rule id: rule set, section, letter.
    pub rule: String,
    /// The rule set that was held against the job, where the rule stands in one that it extends.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule_set: Option<String>,
    /// JSON Pointer into the expanded job.
    pub subject: String,
    /// What was measured; null where a fact is missing.
    pub measured: Option<MeasuredAnswer>,
    /// The limit.
    pub limit: Option<MeasuredAnswer>,
    /// Room to the limit; below zero where it is exceeded. Slopes in percentage points.
    pub margin: Option<MeasuredAnswer>,
    /// `meets`, `at_limit`, `violates`, `undetermined` or `not_applicable`.
    pub verdict: &'static str,
    /// `required` or `advisory`.
    pub force: &'static str,
    /// Who would have to do it, where that is not us.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<By>,
    /// What else to know.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Where the limit is published.
    pub source: Citation,
    /// What the crew can do about it.
    pub remedy: Option<String>,
}

/// A length (in or mm), a slope (%) or a count.
#[derive(Debug, Serialize, ToSchema)]
pub struct MeasuredAnswer {
    /// The number.
    #[serde(serialize_with = "plain")]
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
    /// A slope as a ratio.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ratio: Option<String>,
    /// A length as the tape shows it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tape: Option<String>,
}

impl CheckAnswer {
    /// A check, shown.
    pub fn of(check: Check, view: View) -> Self {
        Self {
            verdict: set_verdict(check.verdict),
            conditions: check.conditions,
            rule_sets: check
                .sets
                .into_iter()
                .map(|set| RuleSetAnswer {
                    id: set.id,
                    version: set.version,
                    title: set.title,
                    verdict: set_verdict(set.verdict),
                    advisory: set.advisory,
                })
                .collect(),
            findings: check
                .findings
                .into_iter()
                .map(|finding| show_finding(finding, view))
                .collect(),
        }
    }
}

fn show_finding(finding: Finding, view: View) -> FindingAnswer {
    let own = finding.rule.strip_prefix(&finding.set);
    let inherited = own.is_none_or(|rest| !rest.starts_with('/'));
    FindingAnswer {
        rule_set: inherited.then_some(finding.set),
        rule: finding.rule,
        subject: finding.subject,
        measured: finding
            .measured
            .map(|measured| MeasuredAnswer::of(measured, view)),
        limit: finding.limit.map(|limit| MeasuredAnswer::of(limit, view)),
        margin: finding
            .margin
            .map(|margin| MeasuredAnswer::of(margin, view)),
        verdict: verdict(finding.verdict),
        force: match finding.force {
            Force::Required => "required",
            Force::Advisory => "advisory",
        },
        by: finding.by,
        note: finding.note,
        source: finding.source,
        remedy: finding.remedy,
    }
}

impl MeasuredAnswer {
    pub(super) fn of(measured: Measured, view: View) -> Self {
        match measured {
            Measured::Length(length) => Self::of_length(length, view),
            Measured::Slope(slope) => {
                let shown = SlopePct::of(slope, view.system);
                let ratio = Some(shown.ratio().to_owned());
                Self {
                    ratio,
                    ..Self::bare(shown.shown())
                }
            }
            Measured::Points(points) => Self::bare(Shown::new(points, "%", 3)),
            Measured::Count(count) => Self::bare(Shown::new(count, "each", 0)),
        }
    }

    fn of_length(length: Length, view: View) -> Self {
        let tape = Some(length.tape(view.system));
        Self {
            tape,
            ..Self::bare(InMm::of(length, view.system).shown())
        }
    }

    const fn bare(shown: Shown) -> Self {
        Self {
            value: shown.value,
            unit: shown.unit,
            ratio: None,
            tape: None,
        }
    }
}

pub(super) const fn set_verdict(verdict: SetVerdict) -> &'static str {
    verdict.as_str()
}

pub(super) const fn verdict(verdict: Verdict) -> &'static str {
    verdict.as_str()
}
