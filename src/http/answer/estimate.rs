//! A whole estimate as a caller reads it.

use super::supply::SupplyAnswer;
use super::{
    CheckAnswer, CrewHoursAnswer, GeometryAnswer, HeadlineAnswer, PriceAnswer, TakeoffAnswer, View,
};
use crate::estimate::{Caution, ComputedWith, DayPlan, Estimate, NeededFromOthers, ToOrder};
use crate::job::{Assumption, By, Day};
use crate::quantity::shown::Shown;
use serde::Serialize;
use utoipa::ToSchema;

/// A priced ramp: headline first, then everything it rests on.
#[derive(Debug, Serialize, ToSchema)]
pub struct EstimateAnswer {
    /// The ten things that come first.
    pub headline: HeadlineAnswer,
    /// Name of the job, as sent.
    pub name: String,
    /// True when every line has a price.
    pub complete: bool,
    /// Equal fingerprints mean equal answers.
    pub fingerprint: String,
    /// What it was computed with.
    pub computed_with: ComputedWith,
    /// What to phone in.
    pub to_order: Vec<ToOrderAnswer>,
    /// What others must bring or do, and by when.
    pub needed_from_others: Vec<NeededAnswer>,
    /// The days.
    pub day_plan: Vec<DayAnswer>,
    /// Price lines and build-up.
    pub price: PriceAnswer,
    /// How else the concrete could come, and what that costs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub concrete_supply: Option<SupplyAnswer>,
    /// Judged by the rules.
    pub check: CheckAnswer,
    /// Materials.
    pub takeoff: TakeoffAnswer,
    /// Hours.
    pub crew_hours: CrewHoursAnswer,
    /// Solved in space.
    pub geometry: GeometryAnswer,
    /// Every default used, those that move the price most first.
    pub assumptions: Vec<Assumption>,
    /// What the price leaves out.
    pub exclusions: Vec<String>,
    /// What to know before acting on it.
    pub cautions: Vec<CautionAnswer>,
    /// The job with every question answered; with `?job=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    pub job: Option<crate::job::Job>,
}

/// One thing to order.
#[derive(Debug, Serialize, ToSchema)]
pub struct ToOrderAnswer {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// How much.
    pub order: Shown,
    /// From whom.
    pub supplier: Option<String>,
    /// The visit that needs it, from 1.
    pub visit: u32,
    /// Its date, where the job has a start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<Day>,
    /// True when it may be in stock: it is charged by use.
    pub from_stock: bool,
}

/// One thing that others bring or do.
#[derive(Debug, Serialize, ToSchema)]
pub struct NeededAnswer {
    /// What.
    pub what: String,
    /// From whom.
    pub from: By,
    /// JSON Pointer into the expanded job.
    pub of: String,
    /// `before` the visit, or `after` it.
    pub when: &'static str,
    /// The visit, from 1.
    pub visit: u32,
    /// Its date, where the job has a start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<Day>,
}

/// One day on site.
#[derive(Debug, Serialize, ToSchema)]
pub struct DayAnswer {
    /// Visit, from 1.
    pub visit: u32,
    /// Day number, from 1.
    pub day: u32,
    /// Date, where the job has a start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<Day>,
    /// What happens.
    pub text: String,
    /// What must be given before that day's work, and when it is asked for at the latest.
    pub holds: Vec<String>,
}

/// One caution.
#[derive(Debug, Serialize, ToSchema)]
pub struct CautionAnswer {
    /// What it is about.
    pub kind: String,
    /// What to do.
    pub text: String,
}

impl CautionAnswer {
    /// Cautions, shown.
    pub fn of_all(cautions: Vec<Caution>) -> Vec<Self> {
        let cautions = cautions.into_iter();
        cautions
            .map(|Caution { kind, text }| Self { kind, text })
            .collect()
    }
}

impl EstimateAnswer {
    /// An estimate, shown; `with_job` adds the expanded job.
    pub fn of(estimate: Estimate, view: View, with_job: bool) -> Self {
        // The texts of an estimate move into its answer: copied they would cost as much again.
        let headline = HeadlineAnswer::of(&estimate, view);
        let exclusions = estimate.exclusions.into_iter();
        Self {
            headline,
            concrete_supply: estimate
                .supply
                .as_ref()
                .map(|supply| SupplyAnswer::of(supply, view)),
            complete: estimate.priced.complete(),
            geometry: GeometryAnswer::of(&estimate.job, &estimate.geometry, view),
            fingerprint: estimate.fingerprint,
            computed_with: estimate.computed_with,
            to_order: estimate.to_order.into_iter().map(show_order).collect(),
            needed_from_others: estimate
                .needed_from_others
                .into_iter()
                .map(show_needed)
                .collect(),
            day_plan: estimate.day_plan.into_iter().map(show_day).collect(),
            price: PriceAnswer::of((estimate.priced, estimate.extras), view),
            check: CheckAnswer::of(estimate.check, view),
            takeoff: TakeoffAnswer::of(estimate.takeoff, view),
            crew_hours: CrewHoursAnswer::of(estimate.hours, view),
            assumptions: estimate.assumptions,
            exclusions: exclusions.map(|left_out| left_out.text).collect(),
            cautions: CautionAnswer::of_all(estimate.cautions),
            name: estimate.job.name.clone(),
            job: with_job.then_some(estimate.job),
        }
    }
}

fn show_order(order: ToOrder) -> ToOrderAnswer {
    ToOrderAnswer {
        code: order.code,
        description: order.description,
        order: Shown::new(order.order.number(), order.unit, 4),
        supplier: order.supplier,
        visit: order.visit,
        date: order.date,
        from_stock: order.from_stock,
    }
}

fn show_needed(needed: NeededFromOthers) -> NeededAnswer {
    NeededAnswer {
        what: needed.what,
        from: needed.from,
        of: needed.of,
        when: if needed.after { "after" } else { "before" },
        visit: needed.visit,
        date: needed.date,
    }
}

fn show_day(day: DayPlan) -> DayAnswer {
    DayAnswer {
        visit: day.visit,
        day: day.day,
        date: day.date,
        text: day.text,
        holds: day.holds,
    }
}
