//! Cold and hot weather: how warm concrete is placed, how long it is kept so, when it may freeze.
//!
//! Invariant: a limit of size or temperature falls to the safer row at its number. Absent: how the
//! slab is kept warm.

use super::maturity::{Warmth, speed};
use super::rows::SettingRows;
use super::strength::age_of_strength;
use crate::job::Cement;
use crate::quantity::{Citation, Compared, Length, Span, Stress, Temperature};
use serde::Deserialize;

/// What holds for members below a size.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct MemberRow {
    /// Of the least dimension; none for all larger.
    pub below: Option<Length>,
    /// The least as placed and kept.
    pub placed: Temperature,
    /// Fahrenheit degrees it may fall in a day when protection ends.
    pub fall_degf: f64,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// How warm concrete is mixed, by the air.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct MixedRow {
    /// The air is warmer than this; none for all colder.
    pub air_above: Option<Temperature>,
    /// The least as mixed.
    pub concrete: Temperature,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// How long concrete is protected.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct ProtectionRow {
    /// With a usual mix.
    pub usual: Span,
    /// With an accelerated one.
    pub accelerated: Span,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// What the concrete bears while it is young.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Load {
    /// None, and not exposed to frost.
    None,
    /// None, exposed.
    NoneExposed,
    /// Part of it, exposed.
    PartExposed,
}

/// The row of a member by its least dimension.
///
/// # Source
/// Rows `member`: ACI 306R Table 5.1, from memory.
pub fn member(least: Length) -> Option<&'static MemberRow> {
    let fits = |row: &&MemberRow| {
        row.below
            .is_none_or(|below| least.compare(below) == Compared::Below)
    };
    SettingRows::built_in().member.iter().find(fits)
}

/// How warm concrete of members below 12 in is mixed at the least, by the air.
///
/// # Source
/// Rows `mixed`: ACI 306R Table 5.1, from memory.
pub fn mixed_least(air: Temperature) -> Option<&'static MixedRow> {
    let fits = |row: &&MixedRow| {
        row.air_above
            .is_none_or(|above| air.compare(above) == Compared::Above)
    };
    SettingRows::built_in().mixed.iter().find(fits)
}

/// How long concrete is protected in cold weather.
///
/// # Source
/// Rows `protection`: ACI 306R Table 7.1, from memory.
pub fn protection(load: Load) -> &'static ProtectionRow {
    let rows = &SettingRows::built_in().protection;
    match load {
        Load::None => &rows.no_load,
        Load::NoneExposed => &rows.no_load_exposed,
        Load::PartExposed => &rows.part_load_exposed,
    }
}

/// Whether the air makes it cold weather; at the number it is not yet.
///
/// # Source
/// Row `cold_weather`: ACI 306R-10 by its public topic page, second hand.
pub fn is_cold(air: Temperature) -> bool {
    air.compare(SettingRows::built_in().cold_weather.air) == Compared::Below
}

/// Whether concrete is too hot to be placed; at the number it is not yet.
///
/// # Source
/// Row `hot_weather`: ACI 305.1, from memory.
pub fn is_too_hot(concrete: Temperature) -> bool {
    !concrete.at_most(SettingRows::built_in().hot_weather.most)
}

/// The age at which concrete may freeze once, for planning; none while its warmth does not suffice.
///
/// Both the strength of the row, by equivalent age, and the row's own age at normal temperature have to be
/// reached: the curve of strength is not made for the first hours.
///
/// # Source
/// Row `first_freeze`: PCA, Design and Control of Concrete Mixtures, chapter 14, second hand.
pub fn first_freeze_age(at_28_days: Stress, cement: Cement, concrete: Warmth<'_>) -> Option<Span> {
    let row = &SettingRows::built_in().first_freeze;
    let wanted = age_of_strength(at_28_days, cement, row.strength)?.max(row.age);
    let mut had = Span::ZERO;
    for (number, at) in (0_u32..).zip(concrete.temperatures) {
        let speed = speed(*at);
        let missing = wanted - had;
        if missing.at_most(concrete.step * speed) {
            return Some(concrete.step * f64::from(number) + missing / speed);
        }
        had += concrete.step * speed;
    }
    None
}
