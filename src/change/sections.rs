//! The way from one job to another, one cause after the other.
//!
//! Invariants: the order is that of [`super::cause::ORDER`]; each job on the way has the sections
//! of all causes so far from the later job and the rest from the earlier one; percentages that came
//! from a book are pinned first, so that another book moves prices alone. Absent: prices.

use super::cause::{Cause, ORDER};
use super::mix::{Changed, differences, mix};
use crate::catalog::PriceList;
use crate::estimate::Estimate;
use crate::job::JobRequest;
use crate::price::{Profit, Settings};
use serde_json::{Value, json};

/// One cause, what it changed, and the job with all changes so far.
#[derive(Clone, Debug)]
pub struct Section {
    /// The cause.
    pub cause: Cause,
    /// What it changed.
    pub changed: Vec<Changed>,
    /// The job up to here.
    pub job: Between,
}

/// A job on the way.
#[derive(Clone, Debug)]
pub enum Between {
    /// That of the step before, or the first.
    Same,
    /// Another one.
    Job(Box<JobRequest>),
    /// One whose parts do not go together.
    Unreadable,
}

/// A priced job and the list it was priced from.
#[derive(Clone, Copy)]
pub struct End<'a> {
    /// The priced job.
    pub estimate: &'a Estimate,
    /// Its prices.
    pub list: &'a PriceList,
}

/// The way from one priced job to another.
pub fn sections(before: End<'_>, after: End<'_>) -> Vec<Section> {
    let (before, after) = (pinned(before), pinned(after));
    let mut taken = Vec::new();
    let mut way = Vec::new();
    for cause in ORDER {
        taken.push(cause);
        let changed = differences(&before, &after, cause);
        let job = if changed.is_empty() {
            Between::Same
        } else {
            let mixed = serde_json::from_value(mix(&before, &after, &taken));
            mixed.map_or(Between::Unreadable, Between::Job)
        };
        way.push(Section {
            cause,
            changed,
            job,
        });
    }
    way
}

/// An expanded job with the percentages that held, wherever they came from.
fn pinned(end: End<'_>) -> Value {
    // A job holds texts and whole numbers alone, so that writing it is never refused.
    let mut job = serde_json::to_value(&end.estimate.job).unwrap_or_default();
    if let Some(fields) = job.as_object_mut() {
        let held = Settings::of(&end.estimate.job, end.list);
        fields.insert("price".to_owned(), written(&held));
    }
    job
}

fn written(held: &Settings) -> Value {
    let (basis, rate) = match held.profit {
        Profit::Margin(rate) => ("margin", rate),
        Profit::Markup(rate) => ("markup", rate),
    };
    json!({
        "sales_tax": {"rate": held.tax_rate, "base": held.tax_base.as_str()},
        "contingency": held.contingency,
        "warranty": held.warranty,
        "overhead": held.overhead,
        "profit": {"basis": basis, "rate": rate},
    })
}
