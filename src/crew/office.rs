//! Hours in the office that a job's wages bring with them.
//!
//! Invariant: none where the crew's own wages hold, one share for each week with a visit otherwise.
//! Absent: what they cost, and who sits there.

use super::answer::Visit;
use super::week::count_weeks;
use crate::catalog::OWN_WAGES;
use crate::job::Crew;
use crate::quantity::{Citation, Span};
use serde::Deserialize;
use std::sync::LazyLock;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    hours_a_week: Span,
    why: String,
    #[serde(flatten)]
    source: Citation,
}

#[derive(Debug, Deserialize)]
struct Rows {
    certified_payroll: Row,
}

static ROWS: LazyLock<Rows> = LazyLock::new(|| {
    toml::from_str(include_str!("office.toml")).expect("the embedded rows are read by a test")
});

/// Hours of certified payrolls: so many for each week with a visit, where a wage schedule applies.
pub(super) fn office_hours(crew: &Crew, visits: &[Visit]) -> Span {
    match crew.wages.as_deref() {
        None | Some(OWN_WAGES) => Span::ZERO,
        Some(_) => ROWS.certified_payroll.hours_a_week * f64::from(count_weeks(visits)),
    }
}

/// What they are for, and where their row comes from.
pub(super) fn why_office() -> (&'static str, Citation) {
    let row = &ROWS.certified_payroll;
    (&row.why, row.source.clone())
}
