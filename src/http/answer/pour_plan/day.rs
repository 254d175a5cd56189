//! One day of a plan of the pour as a caller reads it.
//!
//! Invariant: nothing is left out but what the day does not have. Absent: the choice among days.

use super::after::{AgesAnswer, ProtectionAnswer, SawPlanAnswer};
use crate::estimate::PlannedDay;
use crate::job::{Day, Moment, TimeOfDay};
use crate::pour::{Course, Measure, Per, PourDay, PourHour, Reason, Truck, shown_rate, tell_steps};
use crate::price::{DayCost, MeasureCost};
use crate::quantity::money::Amount;
use crate::quantity::shown::{FC, H, MphKmh, Pct, Shown, Yd3M3};
use crate::quantity::{Area, Citation, Length, System, Volume};
use chrono::{NaiveDateTime, Timelike};
use serde::Serialize;
use utoipa::ToSchema;

/// A day weighed for the pour.
#[derive(Debug, Serialize, ToSchema)]
pub struct PourDayAnswer {
    /// From 1, the best.
    pub rank: u32,
    /// The day.
    pub day: Day,
    /// Its name.
    pub weekday: String,
    /// `go`, `go_with` what is listed under `with`, or `wait`.
    pub verdict: &'static str,
    /// When the first truck comes.
    pub first_truck: TimeOfDay,
    /// Until when the plant takes the order back; not where it is mixed on site.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub call_off_by: Option<Moment>,
    /// Temperature of the concrete as it comes.
    pub concrete: FC,
    /// Why: what was found, against what, and what to do.
    pub reasons: Vec<ReasonAnswer>,
    /// What is done so that it can go.
    pub with: Vec<MeasureAnswer>,
    /// What that costs beside the estimate.
    pub cost: DayCostAnswer,
    /// What a trip costs on which nothing is poured.
    pub lost_trip: LostTripAnswer,
    /// People on the pour.
    pub people: u32,
    /// Finishers that it takes.
    pub finishers: u32,
    /// Hours that each is on site.
    pub on_site_hours: H,
    /// Hours paid, all people, travel in them.
    pub paid_hours: H,
    /// The day from the first foot on site to the last.
    pub steps: Vec<DayStepAnswer>,
    /// The trucks: one at a time, none waiting.
    pub trucks: Vec<TruckAnswer>,
    /// When the surface can be worked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub finishing: Option<FinishingAnswer>,
    /// When joints can be sawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saw: Option<SawPlanAnswer>,
    /// When what may be done.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ages: Option<AgesAnswer>,
    /// Protection from the cold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub protection: Option<ProtectionAnswer>,
    /// Hour by hour.
    pub hours: Vec<PourHourAnswer>,
}

/// Why a day is as it is.
#[derive(Debug, Serialize, ToSchema)]
pub struct ReasonAnswer {
    /// Its name.
    pub code: &'static str,
    /// True where it makes the pour wait.
    pub waits: bool,
    /// What was found, against what, and what to do.
    pub text: String,
    /// Where the limit comes from.
    pub source: Citation,
}

/// Something done so that the pour can go.
#[derive(Debug, Serialize, ToSchema)]
pub struct MeasureAnswer {
    /// Its name.
    pub code: &'static str,
    /// What it is.
    pub what: &'static str,
    /// The item of the price book; none where it is people.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub item: Option<&'static str>,
    /// What it is done to: surface, concrete, length, or people.
    pub quantity: Shown,
    /// What is bought, in the item's unit, rounded up to its step.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub order: Option<Shown>,
    /// Hours of work, all people.
    pub hours: H,
    /// The item's cost; null where the book has no price.
    pub bought: Option<Amount>,
    /// The work's cost; null where there is none, or no wage.
    pub labour: Option<Amount>,
    /// Where its amount comes from.
    pub source: Citation,
}

/// What a day costs beside the estimate.
#[derive(Debug, Serialize, ToSchema)]
pub struct DayCostAnswer {
    /// The crew's stay, more than the estimate plans; below nothing where it is less.
    pub stay: Option<Amount>,
    /// Measures and stay, as far as there are prices.
    pub total: Amount,
    /// What has no price in the book.
    pub unpriced: Vec<String>,
}

/// What a lost trip costs.
#[derive(Debug, Serialize, ToSchema)]
pub struct LostTripAnswer {
    /// Pay of the crew that came.
    pub crew: Option<Amount>,
    /// The concrete, where it was not called off in time.
    pub concrete: Option<Amount>,
}

/// A step of the day.
#[derive(Debug, Serialize, ToSchema)]
pub struct DayStepAnswer {
    /// When.
    pub at: Moment,
    /// What.
    pub what: &'static str,
    /// In a sentence.
    pub text: String,
}

/// A truck.
#[derive(Debug, Serialize, ToSchema)]
pub struct TruckAnswer {
    /// What it carries.
    pub volume: Yd3M3,
    /// When the plant batches it.
    pub batched: Moment,
    /// When it comes.
    pub arrives: Moment,
    /// When it is empty.
    pub empty: Moment,
    /// From batching until it is empty.
    pub age: H,
}

/// When the surface can be worked.
#[derive(Debug, Serialize, ToSchema)]
pub struct FinishingAnswer {
    /// Edging and hand floating begin.
    pub edging_from: Moment,
    /// The broom can begin on the first concrete.
    pub broom_from: Moment,
    /// The broom must be done on the last concrete.
    pub broom_until: Moment,
}

/// One hour of the day.
#[derive(Debug, Serialize, ToSchema)]
pub struct PourHourAnswer {
    /// From this hour on.
    pub at: Moment,
    /// The air.
    pub air: FC,
    /// Relative humidity.
    pub humidity: Pct,
    /// The wind at hand height.
    pub wind: MphKmh,
    /// Chance of rain.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rain: Option<Pct>,
    /// The first concrete, once it is placed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slab: Option<FC>,
    /// How fast its surface dries, until it is cured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub evaporation: Option<Shown>,
}

impl PourDayAnswer {
    pub(super) fn of(planned: PlannedDay, system: System) -> Self {
        let PlannedDay { rank, day, cost } = planned;
        let steps = tell_steps(&day, system)
            .into_iter()
            .map(|step| DayStepAnswer {
                at: Moment(step.at),
                what: step.what,
                text: step.text,
            });
        let course = day.course.as_ref();
        Self {
            rank,
            day: day.day,
            weekday: day.day.0.format("%A").to_string(),
            verdict: day.verdict.as_str(),
            first_truck: time_of(day.first_truck),
            call_off_by: day.call_off.map(Moment),
            concrete: FC::of(day.concrete, system),
            steps: steps.collect(),
            trucks: course.map_or_else(Vec::new, |course| trucks(course, system)),
            finishing: course.map(FinishingAnswer::of),
            saw: day.saw.map(|saw| SawPlanAnswer::of(saw, &cost, system)),
            ages: day.ages.map(AgesAnswer::of),
            protection: day.cold.map(|cold| ProtectionAnswer::of(cold, system)),
            hours: day
                .hours
                .iter()
                .map(|hour| PourHourAnswer::of(hour, system))
                .collect(),
            with: measures(&day, &cost, system),
            people: day.people,
            finishers: day.finishers,
            on_site_hours: H::of(day.on_site, system),
            paid_hours: H::of(day.paid, system),
            reasons: day.reasons.into_iter().map(Into::into).collect(),
            lost_trip: LostTripAnswer {
                crew: cost.lost_crew,
                concrete: cost.lost_concrete,
            },
            cost: DayCostAnswer {
                stay: cost.stay,
                total: cost.total,
                unpriced: cost.unpriced,
            },
        }
    }
}

fn time_of(at: NaiveDateTime) -> TimeOfDay {
    TimeOfDay::from_minutes(at.hour() * 60 + at.minute())
}

fn trucks(course: &Course, system: System) -> Vec<TruckAnswer> {
    let show = |truck: &Truck| TruckAnswer {
        volume: Yd3M3::of(truck.volume, system),
        batched: Moment(truck.batched),
        arrives: Moment(truck.arrives),
        empty: Moment(truck.empty),
        age: H::of(truck.age, system),
    };
    course.trucks.iter().map(show).collect()
}

fn measures(day: &PourDay, cost: &DayCost, system: System) -> Vec<MeasureAnswer> {
    let each = day.measures.iter().zip(&cost.measures);
    each.map(|(measure, cost)| MeasureAnswer::of(measure, *cost, system))
        .collect()
}

impl MeasureAnswer {
    fn of(measure: &Measure, cost: MeasureCost, system: System) -> Self {
        Self {
            code: measure.code,
            what: measure.what,
            item: measure.item,
            quantity: amount(measure, system),
            order: cost
                .quantity
                .map(|quantity| Shown::new(quantity.number(), cost.unit, 4)),
            hours: H::of(measure.hours, system),
            bought: cost.bought,
            labour: cost.labour,
            source: measure.source.clone(),
        }
    }
}

/// What a measure is done to, in the units of the answer.
fn amount(measure: &Measure, system: System) -> Shown {
    use crate::quantity::shown::{Ft2M2, FtM};
    let done = measure.done;
    match measure.per {
        Per::Ft2 => Ft2M2::of(Area::from_square_feet(done), system).shown(),
        Per::Yd3 => Yd3M3::of(Volume::from_cubic_yards(done), system).shown(),
        Per::Ft => FtM::of(Length::from_feet(done), system).shown(),
        Per::Person => Shown::new(done, "each", 0),
    }
}

impl From<Reason> for ReasonAnswer {
    fn from(reason: Reason) -> Self {
        Self {
            code: reason.code,
            waits: reason.waits,
            text: reason.text,
            source: reason.source,
        }
    }
}

impl FinishingAnswer {
    fn of(course: &Course) -> Self {
        Self {
            edging_from: Moment(course.edged),
            broom_from: Moment(course.broom_opens),
            broom_until: Moment(course.broom_closes),
        }
    }
}

impl PourHourAnswer {
    fn of(hour: &PourHour, system: System) -> Self {
        Self {
            at: Moment(hour.at),
            air: FC::of(hour.air, system),
            humidity: Pct::of(hour.humidity, system),
            wind: MphKmh::of(hour.wind, system),
            rain: hour.rain.map(|rain| Pct::of(rain, system)),
            slab: hour.slab.map(|slab| FC::of(slab, system)),
            evaporation: hour.evaporation.map(|rate| shown_rate(rate, system)),
        }
    }
}
