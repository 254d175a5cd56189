//! What the owner does and leaves, with the days on which it holds.
//!
//! Invariants: days are counted from the pour; in the order of the rows. Absent: advice that no row holds.

use super::dates::{days_after, end_of_first_winter, months_after};
use super::rows::{CareRow, Rows};
use crate::job::Day;
use crate::quantity::Citation;
use serde::Serialize;

/// One thing to do or to leave.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Care {
    /// Which.
    pub id: String,
    /// What to do or to leave.
    pub text: String,
    /// Not before this day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_before: Option<Day>,
    /// Until the end of this day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub until: Option<Day>,
    /// For the first time by this day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first_by: Option<Day>,
    /// Where it comes from.
    pub source: Citation,
}

impl Care {
    /// With its day, on one line.
    pub fn sentence(&self) -> String {
        let day = match (self.not_before, self.until, self.first_by) {
            (Some(day), ..) => format!("Not before {day}: "),
            (_, Some(day), _) => format!("Until {day}: "),
            (.., Some(day)) => format!("First by {day}: "),
            _ => String::new(),
        };
        format!("{day}{}", self.text)
    }

    fn of(row: &CareRow, poured: Day) -> Self {
        let winter = &Rows::built_in().winter;
        Self {
            id: row.id.clone(),
            text: row.text.clone(),
            not_before: row.not_before_days.map(|days| days_after(poured, days)),
            until: row.winter.then(|| end_of_first_winter(poured, winter)),
            first_by: row.after_months.map(|months| months_after(poured, months)),
            source: row.source.clone(),
        }
    }
}

/// The care sheet of a ramp that was poured on a day.
pub(super) fn tell_care(poured: Day) -> Vec<Care> {
    let rows = Rows::built_in().care.iter();
    rows.map(|row| Care::of(row, poured)).collect()
}
