//! Rule sets side by side, as a caller reads them.

use super::View;
use super::check::{MeasuredAnswer, set_verdict};
use crate::quantity::Citation;
use crate::rules::{Check, Compared, Finding};
use serde::Serialize;
use utoipa::ToSchema;

/// One rule set beside the others.
#[derive(Debug, Serialize, ToSchema)]
pub struct ComparedAnswer {
    /// Its id.
    pub rule_set: String,
    /// Its title.
    pub title: String,
    /// `complies`, `does_not_comply` or `undetermined`.
    pub verdict: &'static str,
    /// The finding that decides: what is broken worst, else what is open, else what has the least room.
    pub decided_by: Option<DecidedByAnswer>,
    /// Rules whose rows were not read in the document itself, so that they decided nothing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(required = false)]
    pub unread: Vec<String>,
}

/// The finding that decides.
#[derive(Debug, Serialize, ToSchema)]
pub struct DecidedByAnswer {
    /// Rule id.
    pub rule: String,
    /// JSON Pointer into the expanded job.
    pub subject: String,
    /// What was measured.
    pub measured: Option<MeasuredAnswer>,
    /// The limit.
    pub limit: Option<MeasuredAnswer>,
    /// Room to the limit; below zero where it is exceeded.
    pub margin: Option<MeasuredAnswer>,
    /// Where the limit is published.
    pub source: Citation,
    /// What the crew can do about it.
    pub remedy: Option<String>,
}

impl ComparedAnswer {
    /// Every set that counts; none where there is but one.
    pub fn of_all(check: &Check, view: View) -> Vec<Self> {
        let compared = check.compare();
        if compared.len() < 2 {
            return Vec::new();
        }
        compared
            .into_iter()
            .map(|one| Self::of(one, view))
            .collect()
    }

    fn of(compared: Compared<'_>, view: View) -> Self {
        Self {
            rule_set: compared.set.id.clone(),
            title: compared.set.title.clone(),
            verdict: set_verdict(compared.set.verdict),
            decided_by: compared
                .decided_by
                .map(|finding| DecidedByAnswer::of(finding, view)),
            unread: compared.unread.into_iter().map(str::to_owned).collect(),
        }
    }
}

impl DecidedByAnswer {
    fn of(finding: &Finding, view: View) -> Self {
        let show = |measured| MeasuredAnswer::of(measured, view);
        Self {
            rule: finding.rule.clone(),
            subject: finding.subject.clone(),
            measured: finding.measured.map(show),
            limit: finding.limit.map(show),
            margin: finding.margin.map(show),
            source: finding.source.clone(),
            remedy: finding.remedy.clone(),
        }
    }
}
