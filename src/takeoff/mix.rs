//! The mix: what freezing and thawing asks of it, beside what the job orders.
//!
//! Invariants: nothing here changes an order; each figure says how far it was read. Absent here: whether
//! a plant sells it, what it costs.

use super::part::Given;
use crate::job::{Exposure, Fields};
use crate::quantity::{Citation, Length, Percent, Stress};

/// What the job orders, and what its exposure asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Mix {
    /// Freezing and thawing class of the site.
    pub exposure: Exposure,
    /// Ordered strength at 28 days.
    pub strength: Stress,
    /// Ordered air.
    pub air: Percent,
    /// Largest stone.
    pub aggregate: Length,
    /// Ordered slump.
    pub slump: Length,
    /// Least strength and most water to cementitious material of the design aid.
    pub aid: (Stress, Option<f64>),
    /// The same in ACI 318.
    pub code: (Stress, Option<f64>),
    /// The same in ACI 318 where the bars carry.
    pub structural: Option<(Stress, Option<f64>)>,
    /// Target air.
    pub target_air: Percent,
    /// By which the air may miss the target.
    pub air_tolerance: Percent,
    /// Where strength and water come from.
    pub source: Citation,
    /// Where the air comes from.
    pub air_source: Citation,
}

/// What a job orders beside what its exposure asks for.
pub(super) fn judge_mix(given: Given<'_>) -> Option<Mix> {
    let (exposure, ordered) = (given.job.site.exposure, &given.job.slab.concrete);
    let row = Fields::built_in().exposure(exposure)?;
    let air = Fields::built_in().air(ordered.aggregate)?;
    let structural = row.structural_strength;
    Some(Mix {
        exposure,
        strength: ordered.strength,
        air: ordered.air,
        aggregate: ordered.aggregate,
        slump: ordered.slump,
        aid: (row.strength, row.w_cm),
        code: (row.code_strength, row.code_w_cm),
        structural: structural.map(|strength| (strength, row.structural_w_cm)),
        target_air: air.target(exposure),
        air_tolerance: air.tolerance,
        source: row.source.clone(),
        air_source: air.source.clone(),
    })
}
