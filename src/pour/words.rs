//! How times, temperatures and rates are told in a sentence.
//!
//! Invariant: in the units of the answer, rounded as the answer rounds them.

use crate::quantity::shown::{FC, Pct, Shown};
use crate::quantity::{Percent, System, Temperature};
use crate::setting::{EvaporationRate, LimitRow};
use chrono::NaiveDateTime;

/// The time of the day.
pub(super) fn clock(at: NaiveDateTime) -> String {
    at.format("%H:%M").to_string()
}

/// The day of the week with the time of the day.
pub(super) fn day_clock(at: NaiveDateTime) -> String {
    at.format("%A %H:%M").to_string()
}

/// The time of the day, with the day of the week where it is another day than that of `base`.
pub(super) fn on_day(base: NaiveDateTime, at: NaiveDateTime) -> String {
    match base.date() == at.date() {
        true => clock(at),
        false => day_clock(at),
    }
}

pub(super) fn temperature(at: Temperature, system: System) -> String {
    FC::of(at, system).to_string()
}

pub(super) fn percent(share: Percent) -> String {
    Pct::of(share, System::Us).to_string()
}

/// A rate of evaporation as an answer shows it.
pub fn shown_rate(rate: EvaporationRate, system: System) -> Shown {
    match system {
        System::Us => Shown::new(rate.lb_ft2_h(), "lb/ft2/h", 3),
        System::Metric => Shown::new(rate.kg_m2_h(), "kg/m2/h", 3),
    }
}

pub(super) fn rate(rate: EvaporationRate, system: System) -> String {
    let exact = shown_rate(rate, system);
    Shown::new(exact.value, exact.unit, 2).to_string()
}

/// The limit of a mix as an answer shows it.
pub fn shown_limit(limit: &LimitRow, system: System) -> Shown {
    match system {
        System::Us => Shown::new(limit.lb_ft2_h, "lb/ft2/h", 2),
        System::Metric => Shown::new(limit.kg_m2_h, "kg/m2/h", 2),
    }
}

pub(super) fn limit(limit: &LimitRow, system: System) -> String {
    shown_limit(limit, system).to_string()
}

/// So many people.
pub(super) fn people(count: u32) -> String {
    format!("{count} {}", if count == 1 { "person" } else { "people" })
}

/// So many finishers more.
pub(super) fn finishers(count: u32) -> String {
    let word = if count == 1 { "finisher" } else { "finishers" };
    format!("{count} more {word}")
}
