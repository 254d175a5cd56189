//! When concrete sets, by its temperature.
//!
//! Invariants: hotter concrete never sets later; colder than the last row it never sets. Absent:
//! retarders and accelerators, which no row of ours measures.

use super::measure::Window;
use super::rows::SettingRows;
use crate::quantity::{Citation, Span, Temperature};
use serde::Deserialize;

/// One row of the table of initial set.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct SetRow {
    /// Of the concrete.
    pub concrete: Temperature,
    /// After placing.
    pub after: Span,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// When a mix reaches initial set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum InitialSet {
    /// After a span from placing.
    After(Span),
    /// Hotter than the table: sooner than this span.
    Sooner(Span),
    /// Colder than the table: it does not set.
    Never,
}

impl InitialSet {
    /// The span at the latest; none where it does not set.
    pub const fn latest(self) -> Option<Span> {
        match self {
            Self::After(span) | Self::Sooner(span) => Some(span),
            Self::Never => None,
        }
    }
}

/// Initial set (500 psi of penetration) of a plain mix, straight between the rows.
///
/// # Source
/// Rows `initial_set`: a table of the ready-mix industry, from memory but for its end points.
pub fn initial_set(concrete: Temperature) -> InitialSet {
    let rows = &SettingRows::built_in().initial_set;
    let Some(hottest) = rows.first() else {
        return InitialSet::Never;
    };
    if !concrete.at_most(hottest.concrete) {
        return InitialSet::Sooner(hottest.after);
    }
    let colder = rows.iter().position(|row| concrete.at_least(row.concrete));
    let Some(at) = colder else {
        return InitialSet::Never;
    };
    let (hot, cold) = (&rows[at.saturating_sub(1)], &rows[at]);
    InitialSet::After(between(hot, cold, concrete))
}

/// Straight between two rows; the same row twice gives its own span.
fn between(hot: &SetRow, cold: &SetRow, concrete: Temperature) -> Span {
    let apart = hot.concrete - cold.concrete;
    if apart.is_zero() {
        return cold.after;
    }
    let share = ((concrete - cold.concrete) / apart).clamp(0.0, 1.0);
    cold.after + (hot.after - cold.after) * share
}

/// Final set (4,000 psi of penetration), from the least to the most after placing.
///
/// # Source
/// Row `final_set`: usual results of ASTM C403, from memory.
pub fn final_set(concrete: Temperature) -> Option<Window> {
    let row = &SettingRows::built_in().final_set;
    let initial = initial_set(concrete).latest()?;
    Some(Window::new(initial * row.least, initial * row.most))
}

/// How much later than in mild weather (70 degF) it sets: 1 there, above 1 in the cold.
pub fn set_factor(concrete: Temperature) -> Option<f64> {
    let mild = initial_set(SettingRows::built_in().mild.concrete).latest()?;
    let here = initial_set(concrete).latest()?;
    (mild > Span::ZERO).then(|| here / mild)
}
