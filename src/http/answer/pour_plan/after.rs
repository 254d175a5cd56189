//! What follows a pour as a caller reads it: the saw, ages, protection.
//!
//! Invariant: moments are on the clock of the site. Absent: the day of the pour itself.

use crate::job::{Day, Moment, Saw};
use crate::pour::{Ages, Cold, SawPlan};
use crate::price::DayCost;
use crate::quantity::System;
use crate::quantity::money::Amount;
use crate::quantity::shown::{D, FC, H};
use serde::Serialize;
use utoipa::ToSchema;

/// When joints can be sawn.
#[derive(Debug, Serialize, ToSchema)]
pub struct SawPlanAnswer {
    /// With which saw.
    pub saw: Saw,
    /// From when on, as soon as the edges do not ravel.
    pub from: Moment,
    /// The last moment.
    pub until: Moment,
    /// The day of the visit as planned.
    pub visit: Day,
    /// Its name.
    pub weekday: String,
    /// True where that is no day of the usual week.
    pub day_off: bool,
    /// True where the next morning is too late.
    pub next_day_too_late: bool,
    /// People of that visit.
    pub people: u32,
    /// Hours paid, all people.
    pub paid_hours: H,
    /// Their pay at the plain rate, where it falls on a day off; what a state or a contract adds is not in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pay: Option<Amount>,
}

/// When what may be done.
#[derive(Debug, Serialize, ToSchema)]
pub struct AgesAnswer {
    /// Forms that carry nothing come off, not while the slab is protected; null where the weather told does not
    /// get there.
    pub strip_from: Option<Moment>,
    /// The slab may be walked on; null where the weather told does not get there.
    pub walk_from: Option<Moment>,
    /// The cure ends.
    pub cure_until: Moment,
    /// A sealer may go on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seal_from: Option<Moment>,
    /// Anchors of rails hold, for planning; a test decides. Null where the weather told does not get there.
    pub rails_from: Option<Moment>,
}

/// Protection from the cold.
#[derive(Debug, Serialize, ToSchema)]
pub struct ProtectionAnswer {
    /// How long.
    pub days: D,
    /// The coldest air in that time.
    pub lowest: FC,
    /// False where the weather is told for less.
    pub told: bool,
}

impl SawPlanAnswer {
    pub(super) fn of(saw: SawPlan, cost: &DayCost, system: System) -> Self {
        Self {
            saw: saw.saw,
            from: Moment(saw.opens),
            until: Moment(saw.closes),
            visit: saw.visit,
            weekday: saw.visit.0.format("%A").to_string(),
            day_off: saw.off_day,
            next_day_too_late: saw.next_day_too_late,
            people: saw.people,
            paid_hours: H::of(saw.paid, system),
            pay: cost.saw,
        }
    }
}

impl AgesAnswer {
    pub(super) fn of(ages: Ages) -> Self {
        Self {
            strip_from: ages.strip.map(Moment),
            walk_from: ages.walk.map(Moment),
            cure_until: Moment(ages.cure_until),
            seal_from: ages.seal.map(Moment),
            rails_from: ages.rails.map(Moment),
        }
    }
}

impl ProtectionAnswer {
    pub(super) fn of(cold: Cold, system: System) -> Self {
        Self {
            days: D::of(cold.protect, system),
            lowest: FC::of(cold.lowest, system),
            told: cold.told,
        }
    }
}
