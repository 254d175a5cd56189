//! What an answer was computed with, and the hash that names it.
//!
//! Invariant: equal fingerprints mean equal bodies, so everything that a body depends on goes into
//! the hash: the expanded job, which of its values were assumed, and what it was computed with.
//! Departs: the list of assumed pointers is hashed too, since a value that was sent and the same
//! value assumed give different lists of assumptions.
//!
//! Source: RFC 8785 (canonical JSON); FIPS 180-4 (SHA-256).

use super::With;
use super::canonical::write_canonical;
use crate::catalog::Pinned;
use crate::job::{Assumption, Day, Job, Pour};
use crate::quantity::System;
use crate::rules::Check;
use serde::Serialize;
use sha2::{Digest, Sha256};

/// What an answer was computed with.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct ComputedWith {
    /// Version of this program.
    pub engine: String,
    /// Rule sets with their versions.
    pub rule_sets: Vec<RuleSetUsed>,
    /// Crew rates with their version.
    pub rates: String,
    /// Every book in the chain with its revision.
    pub books: Vec<BookUsed>,
    /// Date of the prices.
    pub as_of: Day,
    /// Seed of whatever is drawn at random.
    pub seed: u32,
    /// Units of the answer.
    pub units: System,
}

/// A rule set that was used.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct RuleSetUsed {
    /// Its id.
    pub id: String,
    /// Its version.
    pub version: u32,
}

/// A book that was used.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct BookUsed {
    /// Its code.
    pub code: String,
    /// Its revision.
    pub revision: i64,
    /// True when its prices are invented.
    pub demo: bool,
}

impl BookUsed {
    /// A book as it stands in a chain.
    pub fn of(pinned: &Pinned) -> Self {
        let head = pinned.history.head();
        Self {
            code: head.code.clone(),
            revision: pinned.revision,
            demo: head.demo,
        }
    }
}

/// Seed where nothing is drawn at random or none was asked for.
const SEED: u32 = 1;

/// Version of this program.
pub const ENGINE: &str = env!("CARGO_PKG_VERSION");

impl ComputedWith {
    pub(super) fn of(job: &Job, check: &Check, with: With<'_>) -> Self {
        let used = |set: &crate::rules::SetResult| RuleSetUsed {
            id: set.id.clone(),
            version: set.version,
        };
        Self {
            rule_sets: check.sets.iter().map(used).collect(),
            ..Self::without_rules(job, with)
        }
    }

    /// The same where no rule was asked.
    pub(super) fn without_rules(job: &Job, with: With<'_>) -> Self {
        Self {
            engine: ENGINE.to_owned(),
            rule_sets: Vec::new(),
            rates: format!("{}/{}", with.rates.id, with.rates.version),
            books: with.list.chain().iter().map(BookUsed::of).collect(),
            as_of: job.book.as_of,
            seed: SEED,
            units: job.units,
        }
    }
}

#[derive(Serialize)]
struct Hashed<'a> {
    assumed: Vec<&'a str>,
    computed_with: &'a ComputedWith,
    job: &'a Job,
    #[serde(skip_serializing_if = "Option::is_none")]
    pour: Option<&'a Pour>,
}

pub(super) fn fingerprint(job: &Job, assumed: &[Assumption], with: &ComputedWith) -> String {
    fingerprint_of((job, None), assumed, with)
}

/// The same of a pour with its weather.
pub(super) fn fingerprint_of(
    (job, pour): (&Job, Option<&Pour>),
    assumed: &[Assumption],
    with: &ComputedWith,
) -> String {
    let mut assumed: Vec<&str> = assumed.iter().map(|a| a.pointer.as_str()).collect();
    assumed.sort_unstable();
    let hashed = Hashed {
        assumed,
        computed_with: with,
        job,
        pour,
    };
    let mut canonical = Vec::with_capacity(USUAL_LENGTH);
    // A job holds texts and whole numbers alone, so this cannot be refused; if it ever were, what
    // was written so far would still be this job's own.
    drop(write_canonical(&hashed, &mut canonical));
    format!("sha256:{:x}", Sha256::digest(&canonical))
}

/// Bytes of the canonical form of most jobs.
const USUAL_LENGTH: usize = 8 * 1024;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{Expanded, expand};

    #[test]
    fn a_whole_job_has_the_canonical_form_of_an_independent_library() {
        // The oracle is the library `serde_json_canonicalizer`.
        for text in [
            include_str!("../../examples/straight.json"),
            include_str!("../../examples/l-shape.json"),
            include_str!("../../examples/switchback.json"),
        ] {
            let sent = serde_json::from_str(text).expect("an example");
            let today = Day::parse("2026-05-04").expect("a day");
            let Expanded { job, .. } = expand(sent, today).expect("no fault");
            let theirs = serde_json_canonicalizer::to_vec(&job).expect("JSON");
            let mut ours = Vec::new();
            write_canonical(&job, &mut ours).expect("JSON");
            assert_eq!(ours, theirs);
        }
    }
}
