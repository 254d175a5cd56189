//! What can be done against the weather, and how much of it a day takes.
//!
//! Invariant: every amount is a row times an area, a volume or a length of the job. Absent: money.

use super::rows::{MeasureRow, Per};
use super::site::Facts;
use crate::quantity::{Citation, Span, Volume, ceil_to};

/// Something done so that the pour can go.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// Its name.
    pub code: &'static str,
    /// What it is.
    pub what: &'static str,
    /// The item bought for it; none where it is people.
    pub item: Option<&'static str>,
    /// How much of the item, in its own unit; how many people.
    pub amount: f64,
    /// What it is done to, counted by `per`.
    pub done: f64,
    /// What it is counted by.
    pub per: Per,
    /// Person-hours of work.
    pub hours: Span,
    /// Where its amount comes from.
    pub source: &'static Citation,
}

impl Measure {
    /// What it is in a sentence, with how many people.
    pub fn told(&self) -> String {
        let people = self.amount as u32;
        match self.code {
            "finishers" => format!("{} for the day", super::words::finishers(people)),
            "own_people" => format!("{} more of the own crew", super::words::people(people)),
            _ => self.what.to_lowercase(),
        }
    }
}

/// So much of a measure as a job takes.
pub(super) fn take(facts: &Facts<'_>, code: &'static str, row: &'static MeasureRow) -> Measure {
    let units = match row.per {
        Per::Ft2 => facts.area().square_feet(),
        Per::Yd3 => facts.order().cubic_yards(),
        Per::Ft => facts.length().feet(),
        Per::Person => 1.0,
    };
    let step = facts.from.rates.figures.pay_step.likely.hours();
    Measure {
        code,
        what: &row.what,
        item: row.item.as_deref(),
        amount: row.amount * units,
        done: units,
        per: row.per,
        hours: Span::from_hours(ceil_to(row.once + row.hours * units, step)),
        source: &row.source,
    }
}

/// Yards that loads miss, beyond those of the estimate.
pub(super) fn take_short_loads(row: &'static MeasureRow, missing: Volume) -> Measure {
    Measure {
        code: "short_loads",
        what: &row.what,
        item: row.item.as_deref(),
        amount: missing.cubic_yards(),
        done: missing.cubic_yards(),
        per: row.per,
        hours: Span::ZERO,
        source: &row.source,
    }
}

/// So many people more, each for a stay.
pub(super) fn take_people(
    row: &'static MeasureRow,
    (code, people): (&'static str, u32),
    paid_each: Span,
) -> Measure {
    Measure {
        code,
        what: &row.what,
        item: row.item.as_deref(),
        amount: f64::from(people),
        done: f64::from(people),
        per: row.per,
        hours: paid_each * f64::from(people),
        source: &row.source,
    }
}
