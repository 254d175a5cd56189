//! What an answer was computed with, and the hash that names it.
//!
//! Invariant: equal fingerprints mean equal bodies, so everything that a body depends on goes into
//! the hash: the expanded job, which of its values were assumed, and what it was computed with.
//! Departs: the list of assumed pointers is hashed too, since a value that was sent and the same
//! value assumed give different lists of assumptions.
//!
//! Source: RFC 8785 (canonical JSON); FIPS 180-4 (SHA-256).

use super::With;
use crate::catalog::Pinned;
use crate::job::{Assumption, Day, Job};
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
    fn of(pinned: &Pinned) -> Self {
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

impl ComputedWith {
    pub(super) fn of(job: &Job, check: &Check, with: With<'_>) -> Self {
        let used = |set: &crate::rules::SetResult| RuleSetUsed {
            id: set.id.clone(),
            version: set.version,
        };
        Self {
            engine: env!("CARGO_PKG_VERSION").to_owned(),
            rule_sets: check.sets.iter().map(used).collect(),
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
}

pub(super) fn fingerprint(job: &Job, assumed: &[Assumption], with: &ComputedWith) -> String {
    let mut assumed: Vec<&str> = assumed.iter().map(|a| a.pointer.as_str()).collect();
    assumed.sort_unstable();
    let hashed = Hashed {
        assumed,
        computed_with: with,
        job,
    };
    // Every number in a job is finite and every key is text, so this cannot be refused.
    let canonical = serde_json_canonicalizer::to_vec(&hashed).unwrap_or_default();
    let digest = Sha256::digest(&canonical);
    digest.iter().fold("sha256:".to_owned(), |mut text, byte| {
        use std::fmt::Write as _;
        let _ = write!(text, "{byte:02x}");
        text
    })
}
