//! Strength with age of moist-cured concrete at about 20 degC (68 degF), for planning only.
//!
//! Invariants: strength never falls with age and never passes its last value; 28 days give 1.007 of
//! the strength at 28 days, not 1: the published constants are not forced. Absent: tests of a mix.

use super::rows::SettingRows;
use crate::job::Cement;
use crate::quantity::slack::compare;
use crate::quantity::{Citation, Compared, Quantity, Span, Stress};
use serde::Deserialize;

/// The two constants of one cement.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct StrengthRow {
    /// Days.
    pub a_days: f64,
    /// A ratio.
    pub b: f64,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

fn row(cement: Cement) -> &'static StrengthRow {
    let rows = &SettingRows::built_in().strength;
    match cement {
        Cement::Usual => &rows.type_i,
        Cement::HighEarly => &rows.type_iii,
    }
}

/// The strength at an age; nothing before placing.
///
/// # Source
/// Rows `strength`: ACI 209R, moist cured, from memory.
pub fn strength_at(at_28_days: Stress, cement: Cement, age: Span) -> Stress {
    let row = row(cement);
    let days = age.days().max(0.0);
    at_28_days * (days / (row.a_days + row.b * days))
}

/// The age at which a strength is reached; none where it never is.
///
/// # Source
/// Rows `strength`, solved for the age.
pub fn age_of_strength(at_28_days: Stress, cement: Cement, wanted: Stress) -> Option<Span> {
    let row = row(cement);
    if compare(at_28_days.si(), 0.0) != Compared::Above {
        return None;
    }
    let ratio = (wanted / at_28_days).max(0.0);
    let left = 1.0 - row.b * ratio;
    (compare(left, 0.0) == Compared::Above).then(|| Span::from_days(row.a_days * ratio / left))
}
