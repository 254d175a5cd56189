//! The rows behind a handover: care, winters, renewal of sealers, what a warranty leaves out.
//!
//! Invariant: a row names its source. Absent: dates of a job.

use crate::job::SealerProduct;
use crate::quantity::{Citation, Span};
use serde::Deserialize;
use std::sync::LazyLock;

/// All rows.
#[derive(Debug, Deserialize)]
pub(super) struct Rows {
    pub(super) sawn: SawnRow,
    pub(super) discharge: DischargeRow,
    pub(super) winter: WinterRow,
    pub(super) renewal: Vec<RenewalRow>,
    pub(super) care: Vec<CareRow>,
    pub(super) left_out: Vec<LeftOutRow>,
}

/// When joints are sawn.
#[derive(Debug, Deserialize)]
pub(super) struct SawnRow {
    pub(super) within_days: i64,
}

/// How long concrete may be under way.
#[derive(Debug, Deserialize)]
pub(super) struct DischargeRow {
    pub(super) most: Span,
    #[serde(flatten)]
    pub(super) source: Citation,
}

/// From a day of the year to another, `MM-DD`.
#[derive(Debug, Deserialize)]
pub(super) struct WinterRow {
    pub(super) begins: String,
    pub(super) ends: String,
}

/// When a sealer is renewed, in years.
#[derive(Debug, Deserialize)]
pub(super) struct RenewalRow {
    pub(super) product: SealerProduct,
    pub(super) from: u32,
    pub(super) by: u32,
    #[serde(flatten)]
    pub(super) source: Citation,
}

/// Something that the owner does or leaves.
#[derive(Debug, Deserialize)]
pub(super) struct CareRow {
    pub(super) id: String,
    pub(super) not_before_days: Option<u32>,
    pub(super) after_months: Option<u32>,
    #[serde(default)]
    pub(super) winter: bool,
    pub(super) text: String,
    #[serde(flatten)]
    pub(super) source: Citation,
}

/// Something that a warranty leaves out.
#[derive(Debug, Deserialize)]
pub(super) struct LeftOutRow {
    pub(super) text: String,
}

impl Rows {
    pub(super) fn built_in() -> &'static Self {
        static ROWS: LazyLock<Rows> = LazyLock::new(|| {
            toml::from_str(include_str!("handover.toml")).expect("a test reads the rows")
        });
        &ROWS
    }
}
