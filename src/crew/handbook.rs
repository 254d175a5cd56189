//! The reckoning of man-days in the public building handbooks, for checking ours against theirs.
//!
//! Invariant: exact numbers, nothing rounded but whole days, and those up. Absent: any delay factor
//! (our rows are site rates already; a factor on top would count delays twice).

use crate::quantity::{Span, ceil};

/// Man-days of a piece of work: `quantity` ÷ `unit` × hours per unit ÷ hours of a day.
///
/// `quantity` and `unit` are in the same unit; `unit` and `day` are above nothing.
///
/// # Source
/// Navy training manual Builder Advanced, NAVEDTRA 14045, as excerpted online, page 69.
pub fn man_days(quantity: f64, unit: f64, hours_per_unit: Span, day: Span) -> f64 {
    quantity / unit * (hours_per_unit / day)
}

/// Working days of a crew, exact and in whole days: man-days ÷ crew ÷ availability ÷ efficiency.
///
/// `availability` is the share of people who are there for the work, `efficiency` the share of the
/// day in which they can work; both above 0.
///
/// # Source
/// Navy training manual Builder Advanced, NAVEDTRA 14045, as excerpted online, page 71.
pub fn work_days(man_days: f64, crew: u32, availability: f64, efficiency: f64) -> (f64, u32) {
    let exact = man_days / f64::from(crew.max(1)) / availability / efficiency;
    (exact, ceil(exact).max(0.0) as u32)
}
