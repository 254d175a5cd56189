//! The mix as it was ordered, beside what freezing and thawing asks of it.
//!
//! Invariants: what is asked is the takeoff's; strengths are compared by class, not by tests, which nobody
//! sent. Absent: what came, which the tickets tell.

use super::request::HandoverMixRequest;
use crate::job::Exposure;
use crate::quantity::shown::{Pct, PsiMpa};
use crate::quantity::{Bounds, Citation, Faults, Percent, Stress, System};
use crate::takeoff::Mix;
use serde::Serialize;

const STRENGTH: Bounds<Stress> = Bounds::new(
    "strength",
    Stress::from_psi(1_000.0),
    Stress::from_psi(12_000.0),
);
const AIR: Bounds<Percent> = Bounds::new("air", Percent::ZERO, Percent::from_percent(20.0));

/// A mix beside its exposure.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct MixHandedOver {
    /// The plant's name of it, where it was told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Strength at 28 days that was ordered.
    pub strength: PsiMpa,
    /// Air that was ordered; null where another mix than the job's was told without it.
    pub air: Option<Pct>,
    /// What the exposure of the site asks.
    pub asked: MixAsked,
    /// `meets` or `below`; `not_told` where the air is missing.
    pub verdict: &'static str,
    /// The same in a sentence.
    pub text: String,
}

/// What freezing and thawing asks.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct MixAsked {
    /// Freezing and thawing class.
    pub exposure: Exposure,
    /// Least strength at 28 days.
    pub strength: PsiMpa,
    /// Where that comes from.
    pub strength_source: Citation,
    /// Target air for this stone.
    pub air: Pct,
    /// By which the air may miss the target, either way.
    pub air_tolerance: Pct,
    /// Where that comes from.
    pub air_source: Citation,
}

pub(super) fn check_mix(mix: Option<&HandoverMixRequest>, faults: &mut Faults) {
    let Some(mix) = mix else {
        return;
    };
    faults
        .0
        .extend(STRENGTH.check(mix.strength, "/mix/strength").err());
    let air = mix.air.map(|air| AIR.check(air, "/mix/air"));
    faults.0.extend(air.and_then(Result::err));
}

/// The mix that was told, else the job's.
pub(super) fn weigh_mix(
    asked: &Mix,
    told: Option<&HandoverMixRequest>,
    system: System,
) -> MixHandedOver {
    let strength = told.map_or(asked.strength, |told| told.strength);
    let air = told.map_or(Some(asked.air), |told| told.air);
    let strong = strength.at_least(asked.code.0);
    let least = asked.target_air - asked.air_tolerance;
    let aired = air.map(|air| asked.exposure == Exposure::F0 || air.at_least(least));
    let (verdict, said) = match (strong, aired) {
        (true, Some(true)) => ("meets", "is what the exposure asks, or more"),
        (false, _) => ("below", "is weaker than the exposure asks"),
        (true, Some(false)) => ("below", "has less air than the exposure asks"),
        (true, None) => ("not_told", "is strong enough; its air was not told"),
    };
    let shown = PsiMpa::of(strength, system);
    let exposure = asked.exposure.as_str();
    MixHandedOver {
        name: told.and_then(|told| told.name.clone()),
        strength: shown,
        air: air.map(|air| Pct::of(air, system)),
        asked: MixAsked {
            exposure: asked.exposure,
            strength: PsiMpa::of(asked.code.0, system),
            strength_source: asked.source.clone(),
            air: Pct::of(asked.target_air, system),
            air_tolerance: Pct::of(asked.air_tolerance, system),
            air_source: asked.air_source.clone(),
        },
        verdict,
        text: format!("The mix as ordered ({shown}) {said} (class {exposure})."),
    }
}
