//! What is warranted, until when, and what that leaves out.
//!
//! Invariant: only what was stated; a year ends on the same day, or on the last of its month. Absent: the
//! law, which may give more.

use super::dates::months_after;
use super::request::WarrantyRequest;
use super::rows::Rows;
use crate::job::Day;
use crate::quantity::{Fault, Faults};
use serde::Serialize;

/// Most years.
const YEARS_AT_MOST: u32 = 20;

/// A warranty on workmanship.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Warranty {
    /// For so many years.
    pub years: u32,
    /// From this day on.
    pub from: Day,
    /// Through this day.
    pub through: Day,
    /// What it leaves out.
    pub leaves_out: Vec<String>,
}

pub(super) fn check_warranty(warranty: Option<&WarrantyRequest>, poured: Day, faults: &mut Faults) {
    let Some(warranty) = warranty else {
        return;
    };
    if !(1..=YEARS_AT_MOST).contains(&warranty.years) {
        let accepted = format!("1 to {YEARS_AT_MOST} whole years");
        let found = warranty.years.to_string();
        faults.push(Fault::new("/warranty/years", found, accepted, Some("1")));
    }
    if let Some(from) = warranty.from.filter(|from| from.0 < poured.0) {
        let accepted = format!("a day from the pour on, {poured}");
        let example = poured.to_string();
        let found = from.to_string();
        faults.push(Fault::new(
            "/warranty/from",
            found,
            accepted,
            Some(&example),
        ));
    }
}

pub(super) fn tell_warranty(sent: Option<&WarrantyRequest>, handed: Day) -> Option<Warranty> {
    let sent = sent?;
    let from = sent.from.unwrap_or(handed);
    let rows = Rows::built_in().left_out.iter();
    Some(Warranty {
        years: sent.years,
        from,
        through: months_after(from, 12 * sent.years),
        leaves_out: rows.map(|row| row.text.clone()).collect(),
    })
}
