//! Rows of what is usual by class: the mix by exposure and stone, sealers by product and finish, steel by slab.
//!
//! Invariant: a row holds both systems of units where they are round apart. Absent here: finding a row.

use super::choice::{Exposure, Finish, SealerProduct};
use crate::quantity::{Citation, Coverage, Length, Percent, Span, Stress};
use serde::Deserialize;

/// What concrete must be in a freezing and thawing class.
#[derive(Clone, Debug, Deserialize)]
pub struct ExposureRow {
    /// Class.
    pub class: Exposure,
    /// Least strength at 28 days in the design aid, which a job takes where it says nothing.
    pub strength: Stress,
    /// Most water to cementitious material there, by mass.
    pub w_cm: Option<f64>,
    /// Least strength in ACI 318.
    pub code_strength: Stress,
    /// Most water to cementitious material there.
    pub code_w_cm: Option<f64>,
    /// Least strength in ACI 318 where the bars carry.
    pub structural_strength: Option<Stress>,
    /// Most water to cementitious material there.
    pub structural_w_cm: Option<f64>,
    /// Where it comes from.
    #[serde(flatten)]
    pub source: Citation,
}

/// Target air by the largest stone.
#[derive(Clone, Debug, Deserialize)]
pub struct AirRow {
    /// Largest stone.
    pub aggregate: Length,
    /// In class F0.
    #[serde(rename = "F0")]
    f0: Percent,
    /// In class F1.
    #[serde(rename = "F1")]
    f1: Percent,
    /// In class F2.
    #[serde(rename = "F2")]
    f2: Percent,
    /// In class F3.
    #[serde(rename = "F3")]
    f3: Percent,
    /// By which an order may miss the target, either way.
    pub tolerance: Percent,
    /// Where it comes from.
    #[serde(flatten)]
    pub source: Citation,
}

impl AirRow {
    /// The target in a class.
    pub const fn target(&self, class: Exposure) -> Percent {
        match class {
            Exposure::F0 => self.f0,
            Exposure::F1 => self.f1,
            Exposure::F2 => self.f2,
            Exposure::F3 => self.f3,
        }
    }
}

/// Coverage and least age of a sealer.
#[derive(Clone, Debug, Deserialize)]
pub struct SealerRow {
    /// Product.
    pub product: SealerProduct,
    /// Coverage, round in US units.
    pub coverage: Coverage,
    /// Coverage, round in metric units.
    pub coverage_metric: Coverage,
    /// Least age of the concrete.
    pub age: Span,
}

/// What a finish does to the coverage of a sealer.
#[derive(Clone, Debug, Deserialize)]
pub(super) struct TextureRow {
    /// Finish.
    pub finish: Finish,
    /// Share of what is covered on a broomed surface.
    pub share: Percent,
}

/// Cover of steel by the thickness of its slab.
#[derive(Clone, Debug, Deserialize)]
pub(super) struct LieRow {
    pub(super) from: Length,
    pub(super) from_metric: Length,
    pub(super) cover: Length,
    pub(super) cover_metric: Length,
}

/// Depth of sealant by the width of its joint.
#[derive(Clone, Debug, Deserialize)]
pub(super) struct SealantRow {
    pub(super) share: Percent,
    pub(super) least: Length,
    pub(super) least_metric: Length,
}
