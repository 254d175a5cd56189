//! The sealer: whether it went on old enough, how it goes with the curing, and when it is looked at again.
//!
//! Invariants: the least age is the job's own; what is not on is said to be due, with its first day. Absent:
//! coverage and cost.

use super::dates::{days_after, days_between, months_after};
use super::request::SealedRequest;
use super::rows::{RenewalRow, Rows};
use crate::catalog::{Catalog, Fit};
use crate::job::{Day, Job, Sealer};
use crate::quantity::Citation;
use crate::quantity::ceil;
use serde::Serialize;

/// The sealer of a ramp.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Sealing {
    /// `sealed`, `due` or `none`.
    pub state: &'static str,
    /// Its kind, as the job spells it; null where none is meant.
    pub product: Option<String>,
    /// Its kind in words.
    pub name: Option<String>,
    /// Day on which it was put on.
    pub applied_on: Option<Day>,
    /// Who put it on.
    pub by: Option<String>,
    /// Days after the pour on which it was put on.
    pub age_days: Option<i64>,
    /// Days that the concrete has to be old.
    pub least_age_days: Option<u32>,
    /// First day on which it may go on.
    pub not_before: Option<Day>,
    /// When it is looked at and renewed, where it is.
    pub renew: Option<Renewal>,
    /// All of it in sentences.
    pub text: Vec<String>,
    /// True where it went on too early, or over a curing that keeps it out.
    #[serde(skip)]
    pub doubtful: bool,
}

/// When a sealer is renewed.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Renewal {
    /// From this day on it is looked at.
    pub from: Day,
    /// By this day it is renewed.
    pub by: Day,
    /// Where that comes from.
    pub source: Citation,
}

/// The sealer of a job that was poured on a day.
pub(super) fn tell_sealer(job: &Job, poured: Day, sent: Option<&SealedRequest>) -> Sealing {
    let meant = job.sealer.as_option();
    let told = sent.and_then(|sent| sent.product);
    let product = told.or_else(|| sent.and(meant).map(|sealer| sealer.product));
    let product = product.or_else(|| meant.map(|sealer| sealer.product));
    let mut sealing = Sealing {
        state: "none",
        product: product.map(|product| product.as_str().to_owned()),
        name: None,
        applied_on: sent.map(|sent| sent.applied_on),
        by: sent.and_then(|sent| sent.by.clone()),
        age_days: sent.map(|sent| days_between(poured, sent.applied_on)),
        least_age_days: None,
        not_before: None,
        renew: None,
        text: Vec::new(),
        doubtful: false,
    };
    let Some(product) = product else {
        let said = match sent {
            Some(_) => "A sealer is on; which one was not told.",
            None => "No sealer is part of this job.",
        };
        sealing.state = if sent.is_some() { "sealed" } else { "none" };
        sealing.text.push(said.to_owned());
        return sealing;
    };
    let rows = &Catalog::built_in().curing.sealer;
    let row = rows.iter().find(|row| row.product == product.as_str());
    sealing.name = row.map(|row| row.name.clone());
    let own = meant.filter(|sealer: &&Sealer| sealer.product == product);
    let least = own
        .map(|sealer| sealer.earliest_age)
        .or(row.map(|row| row.least_age));
    sealing.least_age_days = least.map(|age| whole_days(age.days()));
    sealing.not_before = sealing.least_age_days.map(|days| days_after(poured, days));
    judge(&mut sealing, job);
    let renewal = Rows::built_in()
        .renewal
        .iter()
        .find(|row| row.product == product);
    sealing.renew = sealing
        .applied_on
        .zip(renewal)
        .map(|(on, row)| Renewal::of(on, row));
    tell_renewal(&mut sealing);
    sealing
}

/// A count of days that covers an age.
fn whole_days(days: f64) -> u32 {
    // An age is bounded by the rows to a few years.
    ceil(days).clamp(0.0, 9_999.0) as u32
}

/// Says whether it is on, and whether it went on well.
fn judge(sealing: &mut Sealing, job: &Job) {
    let name = sealing
        .name
        .clone()
        .unwrap_or_else(|| "The sealer".to_owned());
    let Some((on, age)) = sealing.applied_on.zip(sealing.age_days) else {
        sealing.state = "due";
        let from = sealing.not_before;
        let from = from.map_or_else(String::new, |day| format!(", not before {day}"));
        sealing
            .text
            .push(format!("{name} is still to go on{from}."));
        return;
    };
    sealing.state = "sealed";
    let by = sealing
        .by
        .as_ref()
        .map_or_else(String::new, |by| format!(" by {by}"));
    sealing.text.push(format!(
        "{name} went on {on}{by}, {age} days after the pour."
    ));
    if let Some(least) = sealing
        .least_age_days
        .filter(|least| age < i64::from(*least))
    {
        sealing.doubtful = true;
        sealing.text.push(format!(
            "That is before {least} days, the least age that was meant: see with a drop of water whether it has taken, and put it on again where the drop goes in."
        ));
    }
    let method = job.curing.method.as_str();
    let pairs = &Catalog::built_in().curing.pair;
    let pair = pairs
        .iter()
        .find(|pair| pair.method == method && Some(&pair.product) == sealing.product.as_ref());
    if let Some(pair) = pair.filter(|pair| pair.fit != Fit::Fits) {
        sealing.doubtful = true;
        sealing
            .text
            .push(format!("With the curing of this job: {}.", pair.why));
    }
}

fn tell_renewal(sealing: &mut Sealing) {
    if let Some(renew) = &sealing.renew {
        sealing.text.push(format!(
            "Look at it from {} on and have it renewed by {} at the latest ({}); the maker's sheet wins.",
            renew.from, renew.by, renew.source.document
        ));
    }
}

impl Renewal {
    fn of(on: Day, row: &RenewalRow) -> Self {
        Self {
            from: months_after(on, 12 * row.from),
            by: months_after(on, 12 * row.by),
            source: row.source.clone(),
        }
    }
}
