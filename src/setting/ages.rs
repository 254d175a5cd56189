//! Ages from which forms come off, people walk, sealer takes and rails hold.
//!
//! Invariant: a product's or the job's own age is an argument here and wins; ours are the least.
//! Absent: which products there are, and dates.

use super::maturity::Warmth;
use super::rows::SettingRows;
use super::strength::age_of_strength;
use crate::job::Cement;
use crate::quantity::{Citation, Span, Stress, Temperature};
use serde::Deserialize;

/// From which age on, from the least to the most that is told.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct AgeRange {
    /// The least.
    pub least: Span,
    /// The most.
    pub most: Span,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// How long at what temperature before forms come off.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct StripRow {
    /// All warm hours together.
    pub together: Span,
    /// What is warm.
    pub warm: Temperature,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// A strength and an age that stand for each other.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct StrengthAgeRow {
    /// The strength.
    pub strength: Stress,
    /// The age.
    pub age: Span,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// How long a slab is cured.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct CureRow {
    /// The least.
    pub least: Span,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// How long a slab of high early strength is cured.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct HighEarlyRow {
    /// Of the usual time.
    pub share: f64,
    /// The least.
    pub least: Span,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// When forms that carry no weight come off; none while the warm hours do not suffice.
///
/// Every stretch of the warmth that begins warm counts whole.
///
/// # Source
/// Row `strip`: a municipal specification that follows ACI 301, second hand.
pub fn measure_strip_age(concrete: Warmth<'_>) -> Option<Span> {
    let row = &SettingRows::built_in().strip;
    let mut warm = Span::ZERO;
    for (number, at) in (0_u32..).zip(concrete.temperatures) {
        if !at.at_least(row.warm) {
            continue;
        }
        let missing = row.together - warm;
        if missing.at_most(concrete.step) {
            return Some(concrete.step * f64::from(number) + missing);
        }
        warm += concrete.step;
    }
    None
}

/// The least age at which a sealer may go on: the product's own, and dry since it was last wet.
///
/// # Source
/// Row `dry_before_sealing`, its most: product presentation and trade article, second hand.
pub fn seal_age(product: Span, last_wet: Span) -> Span {
    let dry = SettingRows::built_in().dry_before_sealing.most;
    product.max(last_wet + dry)
}

/// The age at which anchors of a rail hold: of strength, or the row's age where that comes first.
///
/// # Source
/// Row `rail`: common practice, no source.
pub fn rail_age(at_28_days: Stress, cement: Cement) -> Span {
    let row = &SettingRows::built_in().rail;
    let strong = age_of_strength(at_28_days, cement, row.strength);
    strong.map_or(row.age, |age| age.min(row.age))
}

/// How long a slab is cured at the least.
///
/// # Source
/// Rows `cure`: UFGS-02753, second hand.
pub fn cure_least(cement: Cement) -> Span {
    let rows = &SettingRows::built_in().cure;
    match cement {
        Cement::Usual => rows.usual.least,
        Cement::HighEarly => (rows.usual.least * rows.high_early.share).max(rows.high_early.least),
    }
}
