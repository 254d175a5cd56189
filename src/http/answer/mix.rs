//! The mix as a caller reads it: what is ordered, what the exposure asks.
//!
//! Invariant: each figure carries how far it was read. Absent here: any judgement, which is an advice.

use super::View;
use crate::job::Exposure;
use crate::quantity::shown::{InMm, Pct, PsiMpa};
use crate::quantity::{Citation, Stress};
use crate::takeoff::Mix;
use serde::Serialize;
use utoipa::ToSchema;

/// The mix: what is ordered, beside what freezing and thawing asks for.
#[derive(Debug, Serialize, ToSchema)]
pub struct MixAnswer {
    /// Freezing and thawing class of the site.
    pub exposure: Exposure,
    /// Ordered strength at 28 days.
    pub strength: PsiMpa,
    /// Ordered air.
    pub air: Pct,
    /// Largest stone.
    pub aggregate: InMm,
    /// Ordered slump.
    pub slump: InMm,
    /// What a design aid asks, on the safe side of the code.
    pub design_aid: MixLimitAnswer,
    /// What ACI 318 asks of concrete whose bars do not carry.
    pub code: MixLimitAnswer,
    /// What ACI 318 asks where the bars carry, if it is more.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub code_structural: Option<MixLimitAnswer>,
    /// Target air for this stone.
    pub target_air: Pct,
    /// By which the air may miss the target, either way.
    pub air_tolerance: Pct,
    /// Where strength and water come from.
    pub source: Citation,
    /// Where the air comes from.
    pub air_source: Citation,
}

/// Least strength and most water of a mix.
#[derive(Debug, Serialize, ToSchema)]
pub struct MixLimitAnswer {
    /// Least strength at 28 days.
    pub strength: PsiMpa,
    /// Most water to cementitious material, by mass; none where it is not limited.
    pub w_cm: Option<f64>,
}

impl MixAnswer {
    /// A mix, shown.
    pub(super) fn of(mix: Mix, view: View) -> Self {
        let system = view.system;
        let limit = |(strength, w_cm): (Stress, Option<f64>)| MixLimitAnswer {
            strength: PsiMpa::of(strength, system),
            w_cm,
        };
        Self {
            exposure: mix.exposure,
            strength: PsiMpa::of(mix.strength, system),
            air: Pct::of(mix.air, system),
            aggregate: InMm::of(mix.aggregate, system),
            slump: InMm::of(mix.slump, system),
            design_aid: limit(mix.aid),
            code: limit(mix.code),
            code_structural: mix.structural.map(limit),
            target_air: Pct::of(mix.target_air, system),
            air_tolerance: Pct::of(mix.air_tolerance, system),
            source: mix.source,
            air_source: mix.air_source,
        }
    }
}
