//! The sum over all rows of a batch, as it is sent.
//!
//! Absent: how it is summed; that is `crate::batch`.

use super::cuts::CutTogetherAnswer;
use super::plan::Asked;
use super::share::SharedLoadsAnswer;
use super::written::Out;
use crate::batch::{MoneySums, Summary};
use crate::quantity::System;
use crate::quantity::shown::{H, Shown, Yd3M3};
use serde::Serialize;
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// The sum over all rows of a batch.
#[derive(Debug, Serialize, ToSchema)]
pub struct SummaryAnswer {
    /// Rows that were answered.
    pub rows: u64,
    /// Rows priced whole.
    pub ok: u64,
    /// Rows with a line that has no price.
    pub incomplete: u64,
    /// Rows that are no job; each says why.
    pub errors: u64,
    /// Money of the rows priced whole, one entry a currency.
    pub money: Vec<MoneyAnswer>,
    /// Paid hours of all jobs.
    #[schema(value_type = H)]
    pub paid_hours: Shown,
    /// Crew-days of all jobs.
    pub crew_days: f64,
    /// Visits of all jobs.
    pub visits: u64,
    /// Concrete to order for all jobs.
    #[schema(value_type = Yd3M3)]
    pub concrete_order: Shown,
    /// Crew-days and concrete by week and area, of the jobs with a `day` or a `start`.
    pub weeks: Vec<WeekAnswer>,
    /// Jobs without a date.
    pub undated: u64,
    /// One order list for all jobs, rounded up once.
    pub to_order: Vec<OrderAnswer>,
    /// Rows whose price is under `least_per_visit` times their visits.
    pub under_least: UnderLeast,
    /// Loads shared between the pours of each day; with `share_loads=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load_plan: Option<SharedLoadsAnswer>,
    /// Bars of all jobs cut together; with `cut_together=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cut_together: Option<CutTogetherAnswer>,
}

/// Sums of one currency.
#[derive(Debug, Serialize, ToSchema)]
pub struct MoneyAnswer {
    /// Its code (ISO 4217).
    pub currency: String,
    /// Jobs that are summed.
    pub jobs: u64,
    /// The sums, by the names of the money columns.
    pub sums: BTreeMap<&'static str, String>,
}

/// A week and an area.
#[derive(Debug, Serialize, ToSchema)]
pub struct WeekAnswer {
    /// The week (ISO 8601), Monday to Sunday.
    #[schema(example = "2026-W19")]
    pub week: String,
    /// The area as the rows name it; empty where they name none.
    pub area: String,
    /// Jobs.
    pub jobs: u64,
    /// Crew-days.
    pub crew_days: f64,
    /// Concrete to order.
    #[schema(value_type = Yd3M3)]
    pub concrete_order: Shown,
    /// Truck loads.
    pub loads: u64,
}

/// One thing to order.
#[derive(Debug, Serialize, ToSchema)]
pub struct OrderAnswer {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Sale unit.
    pub unit: &'static str,
    /// Jobs that need it.
    pub jobs: u64,
    /// What to order for all of them, rounded up once.
    pub order: f64,
    /// What would be ordered job by job.
    pub job_by_job: f64,
}

/// Rows whose price does not pay for their visits.
#[derive(Debug, Serialize, ToSchema)]
pub struct UnderLeast {
    /// Least price of one visit, where the caller named one.
    pub least_per_visit: Option<String>,
    /// How many rows are under it.
    pub count: u64,
    /// The first thousand of them.
    pub rows: Vec<u64>,
}

impl SummaryAnswer {
    /// A summary as it is sent.
    pub(super) fn of(summary: Summary, asked: &Asked) -> Self {
        let system = asked.units;
        let concrete = |volume| Yd3M3::of(volume, system).shown();
        let weeks = summary.weeks.by_key.iter();
        let orders = summary.orders.by_item.iter();
        let (count, rows) = summary.under_least;
        Self {
            rows: summary.rows,
            ok: summary.ok,
            incomplete: summary.incomplete,
            errors: summary.errors,
            money: summary.money.iter().map(MoneyAnswer::of).collect(),
            paid_hours: H::of(summary.paid, System::Us).shown(),
            crew_days: days(summary.crew_days),
            visits: summary.visits,
            concrete_order: concrete(summary.concrete),
            weeks: weeks
                .map(|(key, week)| WeekAnswer {
                    week: key.name(),
                    area: key.area.clone(),
                    jobs: week.jobs,
                    crew_days: days(week.crew_days),
                    concrete_order: concrete(week.concrete),
                    loads: week.loads,
                })
                .collect(),
            undated: summary.weeks.undated,
            to_order: orders
                .map(|((code, unit), combined)| OrderAnswer {
                    code: code.clone(),
                    description: combined.description.clone(),
                    unit,
                    jobs: combined.jobs,
                    order: combined.order().number(),
                    job_by_job: combined.job_by_job.number(),
                })
                .collect(),
            under_least: UnderLeast {
                least_per_visit: asked.least.map(|least| least.to_string()),
                count,
                rows,
            },
            load_plan: None,
            cut_together: None,
        }
    }

    /// A cell of the row of sums; none where a figure is none that can be summed.
    pub(super) fn cell(&self, figure: &str) -> Option<Out<'static>> {
        let number = |value: f64| Some(Out::Number(value.to_string()));
        match figure {
            "status" => Some(Out::Text("summary".into())),
            "note" => Some(Out::Text(self.sentence().into())),
            "paid_hours" => number(self.paid_hours.value),
            "crew_days" => number(self.crew_days),
            "visits" => Some(Out::Number(self.visits.to_string())),
            "concrete_order" => number(self.concrete_order.value),
            // Sums of several currencies are none.
            money => match self.money.as_slice() {
                [one] => one.sums.get(money).cloned().map(Out::Number),
                _ => None,
            },
        }
    }

    fn sentence(&self) -> String {
        format!(
            "{} rows: {} priced, {} incomplete, {} with errors; money of the priced ones",
            self.rows, self.ok, self.incomplete, self.errors
        )
    }
}

impl MoneyAnswer {
    fn of((currency, sums): (&String, &MoneySums)) -> Self {
        let amounts = sums.amounts.iter();
        Self {
            currency: currency.clone(),
            jobs: sums.jobs,
            sums: amounts
                .map(|(name, sum)| (*name, sum.to_string()))
                .collect(),
        }
    }
}

/// Days to a tenth.
fn days(days: f64) -> f64 {
    crate::quantity::slack::round_to(days, 1)
}
