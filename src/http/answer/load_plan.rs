//! A plan of shared loads as a caller reads it.
//!
//! Invariants: amounts add up as printed; times are those of the site; a pour is named and pointed to
//! in the request as sent. Absent: what to plan.

use crate::estimate::BookUsed;
use crate::job::TimeOfDay;
use crate::job::{Assumption, Day};
use crate::loads::{
    Asked, Breaks, CAUTIONS, Charges, Load, Plan, Stop, Sums, tell_load, tell_plan,
};
use crate::quantity::money::Amount;
use crate::quantity::shown::{Min, Pct, Yd3M3};
use crate::quantity::{Percent, Span};
use serde::Serialize;
use utoipa::ToSchema;

/// Which pours share a load, when each truck comes, and what that saves.
#[derive(Debug, Serialize, ToSchema)]
pub struct LoadPlanAnswer {
    /// Name of the plan, as sent.
    pub name: String,
    /// The plan in one sentence.
    pub summary: String,
    /// Currency of every amount (ISO 4217).
    pub currency: String,
    /// True when no other plan within the same rules costs less.
    pub proven: bool,
    /// What the plan costs.
    pub cost: SumsAnswer,
    /// What ordering each pour by itself costs, each in its cheapest way.
    pub one_by_one: SumsAnswer,
    /// How much less the plan costs.
    pub saving: Amount,
    /// No plan within the same rules costs less than this.
    pub bound: Amount,
    /// By how much the cost is more than the bound, as a share of the cost.
    pub gap: Pct,
    /// Every load, by day and hour.
    pub loads: Vec<LoadAnswer>,
    /// What holds for every plan.
    pub cautions: Vec<String>,
    /// Every default used.
    pub assumptions: Vec<Assumption>,
    /// How much was weighed.
    pub weighed: WeighedAnswer,
    /// Every book in the chain with its revision.
    pub books: Vec<BookUsed>,
    /// Date of the prices.
    pub as_of: Day,
}

/// Sums.
#[derive(Debug, Serialize, ToSchema)]
pub struct SumsAnswer {
    /// Loads.
    pub loads: u32,
    /// Ordered.
    pub ordered: Yd3M3,
    /// By kind.
    pub charges: ChargesAnswer,
    /// Their sum.
    pub total: Amount,
}

/// Charges by kind; they add up to `total`.
#[derive(Debug, Serialize, ToSchema)]
pub struct ChargesAnswer {
    /// The concrete ordered.
    pub concrete: Amount,
    /// The charge for each load.
    pub per_load: Amount,
    /// For small loads.
    pub short_load: Amount,
    /// For stops after the first.
    pub extra_stops: Amount,
    /// For time on site beyond the free time.
    pub waiting: Amount,
}

/// One load.
#[derive(Debug, Serialize, ToSchema)]
pub struct LoadAnswer {
    /// From 1, by day and hour.
    pub number: u32,
    /// In words.
    pub says: String,
    /// Its day.
    pub day: Day,
    /// Its mix.
    pub mix: String,
    /// The smallest truck that carries it.
    pub truck: Yd3M3,
    /// To order.
    pub order: Yd3M3,
    /// What the pours take of it.
    pub delivered: Yd3M3,
    /// When it is batched.
    pub batched: TimeOfDay,
    /// When it leaves the plant.
    pub leaves_plant: TimeOfDay,
    /// From batching to the end of discharge.
    pub since_batching: Min,
    /// The pours, in the order in which they are served.
    pub stops: Vec<StopAnswer>,
    /// What it costs.
    pub charges: ChargesAnswer,
    /// Their sum.
    pub total: Amount,
}

/// One stop.
#[derive(Debug, Serialize, ToSchema)]
pub struct StopAnswer {
    /// JSON Pointer into the request as sent.
    pub pour: String,
    /// Name of the pour.
    pub name: String,
    /// Delivered.
    pub volume: Yd3M3,
    /// The truck is there.
    pub arrives: TimeOfDay,
    /// How long it waits for the pour's first hour.
    pub waits: Min,
    /// The pour takes its first concrete from it.
    pub starts: TimeOfDay,
    /// And its last; midnight at the end of the day is `00:00`.
    pub ends: TimeOfDay,
    /// From batching to then.
    pub since_batching: Min,
    /// How much later it may begin until something breaks.
    pub slack: Min,
    /// What breaks first: `limit`, or the name of the pour that is then served after its last hour.
    pub breaks_first: String,
}

/// How much was weighed.
#[derive(Debug, Serialize, ToSchema)]
pub struct WeighedAnswer {
    /// Sets of pours that one truck can serve.
    pub shared_loads: u64,
    /// How often one of them was tried in a plan.
    pub tried: u64,
}

impl LoadPlanAnswer {
    /// A plan as a caller reads it.
    pub fn of(
        (asked, assumptions): (&Asked, Vec<Assumption>),
        plan: &Plan,
        (books, as_of): (Vec<BookUsed>, Day),
    ) -> Self {
        let (cost, apart) = (plan.cost.charges.total(), plan.one_by_one.charges.total());
        let over = (cost - plan.bound).minor() as f64;
        let share = if over > 0.0 {
            over / cost.minor() as f64
        } else {
            0.0
        };
        let loads = plan.loads.iter().zip(1..);
        Self {
            name: asked.name.clone(),
            summary: tell_plan(asked, plan),
            currency: asked.currency.code().to_owned(),
            proven: plan.proven,
            cost: SumsAnswer::of(&plan.cost, asked),
            one_by_one: SumsAnswer::of(&plan.one_by_one, asked),
            saving: apart - cost,
            bound: plan.bound,
            gap: Pct::of(Percent::from_fraction(share), asked.units),
            loads: loads
                .map(|(load, number)| LoadAnswer::of(asked, load, number))
                .collect(),
            cautions: CAUTIONS.map(str::to_owned).to_vec(),
            assumptions,
            weighed: WeighedAnswer {
                shared_loads: plan.work.shared_loads,
                tried: plan.work.tried,
            },
            books,
            as_of,
        }
    }
}

impl SumsAnswer {
    fn of(sums: &Sums, asked: &Asked) -> Self {
        Self {
            loads: sums.loads,
            ordered: Yd3M3::of(sums.ordered, asked.units),
            charges: ChargesAnswer::of(&sums.charges),
            total: sums.charges.total(),
        }
    }
}

impl ChargesAnswer {
    fn of(charges: &Charges) -> Self {
        Self {
            concrete: charges.concrete,
            per_load: charges.per_load,
            short_load: charges.short_load,
            extra_stops: charges.extra_stops,
            waiting: charges.waiting,
        }
    }
}

impl LoadAnswer {
    fn of(asked: &Asked, load: &Load, number: u32) -> Self {
        let volume = |volume| Yd3M3::of(volume, asked.units);
        let stops = load.stops.iter();
        Self {
            number,
            says: tell_load(asked, load),
            day: load.day,
            mix: load.mix.clone(),
            truck: volume(load.truck),
            order: volume(load.order),
            delivered: volume(load.volume()),
            batched: time(load.batched),
            leaves_plant: time(load.leaves),
            since_batching: minutes(load.ride, asked),
            stops: stops
                .map(|stop| StopAnswer::of(asked, load, stop))
                .collect(),
            charges: ChargesAnswer::of(&load.charges),
            total: load.charges.total(),
        }
    }
}

impl StopAnswer {
    fn of(asked: &Asked, load: &Load, stop: &Stop) -> Self {
        let pour = &asked.pours[stop.pour];
        let later = |number: usize| load.stops.get(number).map(|stop| stop.pour);
        Self {
            pour: format!("/pours/{}", pour.place),
            name: pour.name.clone(),
            volume: Yd3M3::of(stop.volume, asked.units),
            arrives: time(stop.arrives),
            waits: minutes(stop.starts - stop.arrives, asked),
            starts: time(stop.starts),
            ends: time(stop.ends),
            since_batching: minutes(stop.ends - load.batched, asked),
            slack: minutes(stop.spare, asked),
            breaks_first: match stop.breaks {
                Breaks::Limit => "limit".to_owned(),
                Breaks::Hours(number) => {
                    later(number).map_or_else(String::new, |pour| asked.pours[pour].name.clone())
                }
            },
        }
    }
}

/// A minute of the day; that of midnight at its end is the first of the next.
fn time(minute: u32) -> TimeOfDay {
    TimeOfDay::from_minutes(minute % (24 * 60))
}

fn minutes(minutes: u32, asked: &Asked) -> Min {
    Min::of(Span::from_minutes(f64::from(minutes)), asked.units)
}
