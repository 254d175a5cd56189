//! What is tolerated in the field and by the trade: rows, told beside the rules.
//!
//! Invariant: nothing here decides a verdict.

use crate::job::Survey;
use crate::quantity::{Citation, Length, Slope};
use crate::rules::Measure;
use serde::Deserialize;
use std::sync::LazyLock;

/// A suggested field tolerance on a slope.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct FieldRow {
    /// What it is for.
    pub measures: Vec<Measure>,
    /// By how much the limit may be passed, in percentage points.
    pub points: Slope,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// What the trade tolerates.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Tolerance {
    /// The most.
    pub most: Length,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// The gap under a straightedge of a length.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct GapRow {
    /// Length of the straightedge.
    pub length: Length,
    /// The same in metric practice.
    pub length_metric: Length,
    /// The most.
    pub most: Length,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// Every row.
#[derive(Debug, Deserialize)]
pub struct Tolerances {
    /// Field tolerances on slopes.
    pub field: Vec<FieldRow>,
    /// Gap under a straightedge.
    pub straightedge: GapRow,
    /// Error of a form's height.
    pub form: Tolerance,
    /// By how much a slab may be thinner than drawn at one point.
    pub thinner: Tolerance,
}

static ROWS: LazyLock<Tolerances> = LazyLock::new(|| {
    toml::from_str(include_str!("tolerance.toml"))
        .expect("the embedded tolerances are read by a test")
});

impl Tolerances {
    /// The rows built into the program.
    pub fn built_in() -> &'static Self {
        &ROWS
    }

    /// The field tolerance on a measure.
    pub fn field(&self, measure: Measure) -> Option<&FieldRow> {
        self.field
            .iter()
            .find(|row| row.measures.contains(&measure))
    }

    /// The gap tolerated under a survey's straightedge: the job's own, else the row of that length, else
    /// none.
    pub fn gap(&self, survey: &Survey) -> Option<Tolerance> {
        let row = &self.straightedge;
        let same = |length: Length| {
            survey.straightedge.at_most(length) && length.at_most(survey.straightedge)
        };
        let published = same(row.length) || same(row.length_metric);
        let built_in = published.then(|| Tolerance {
            most: row.most,
            source: row.source.clone(),
        });
        own(survey.limits.gap).or(built_in)
    }

    /// The error tolerated of a form.
    pub fn form(&self, survey: &Survey) -> Tolerance {
        own(survey.limits.form).unwrap_or_else(|| self.form.clone())
    }

    /// By how much a slab may be thinner than drawn.
    pub fn thinner(&self, survey: &Survey) -> Tolerance {
        own(survey.limits.thinner).unwrap_or_else(|| self.thinner.clone())
    }
}

fn own(most: Option<Length>) -> Option<Tolerance> {
    most.map(|most| Tolerance {
        most,
        source: Citation {
            document: "the job".to_owned(),
            ..Citation::practice()
        },
    })
}
