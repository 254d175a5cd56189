//! A plan of the pour as a caller reads it.
//!
//! Invariants: days stand best first; moments are on the clock of the site; what has no price is told and
//! left out of the sum. Absent: what to plan.

mod after;
mod day;

pub(super) use day::PourDayAnswer;

use crate::estimate::PlannedDay;
use crate::job::{Job, Pour};
use crate::pour::{
    GoOrWait, Measure, PourFigure, shown_limit, tell_cautions, tell_figures, tell_order,
};
use crate::quantity::shown::Shown;
use crate::quantity::{Citation, System};
use crate::setting::{SettingRows, evaporation_limit};
use serde::Serialize;
use utoipa::ToSchema;

/// Days of a pour, weighed by their weather.
#[derive(Debug, Serialize, ToSchema)]
pub struct PourPlanAnswer {
    /// Which day, and what it takes, in one sentence.
    pub summary: String,
    /// Currency of every amount (ISO 4217).
    pub currency: String,
    /// Every day, the best first.
    pub days: Vec<PourDayAnswer>,
    /// How the concrete is placed.
    pub placing: Vec<String>,
    /// From which rate on the surface of this mix dries too fast.
    pub evaporation_limit: Shown,
    /// Which published form the rates are by; the forms of the two systems differ by up to 5 %.
    pub evaporation_form: EvaporationForm,
    /// Figures that bent the plan, with their sources.
    pub figures: Vec<PourFigureAnswer>,
    /// What to take care of.
    pub cautions: Vec<String>,
}

/// A published form of the evaporation rate.
#[derive(Debug, Serialize, ToSchema)]
pub struct EvaporationForm {
    /// What it is called here.
    pub label: String,
    /// Where it is published.
    pub source: Citation,
}

/// A figure of the plan.
#[derive(Debug, Serialize, ToSchema)]
pub struct PourFigureAnswer {
    /// What it is.
    pub what: &'static str,
    /// Its value.
    pub value: String,
    /// Where it comes from.
    pub source: Citation,
}

impl From<PourFigure> for PourFigureAnswer {
    fn from(figure: PourFigure) -> Self {
        Self {
            what: figure.what,
            value: figure.value,
            source: figure.source.clone(),
        }
    }
}

impl PourPlanAnswer {
    /// A plan in the units of its job.
    pub fn of((job, pour): (&Job, &Pour), mut days: Vec<PlannedDay>, currency: String) -> Self {
        let system = job.units;
        days.sort_by_key(|day| day.rank);
        let forms = &SettingRows::built_in().evaporation;
        let form = match system {
            System::Us => &forms.us,
            System::Metric => &forms.metric,
        };
        Self {
            summary: summarise(&days, &currency),
            placing: match days.is_empty() {
                true => Vec::new(),
                false => tell_order(job),
            },
            evaporation_limit: shown_limit(evaporation_limit(pour.bleeding), system),
            evaporation_form: EvaporationForm {
                label: form.label.clone(),
                source: form.source.clone(),
            },
            figures: tell_figures().into_iter().map(Into::into).collect(),
            cautions: tell_cautions(days.iter().map(|day| &day.day)),
            days: days
                .into_iter()
                .map(|day| PourDayAnswer::of(day, system))
                .collect(),
            currency,
        }
    }
}

/// The best day in one sentence.
fn summarise(days: &[PlannedDay], currency: &str) -> String {
    let Some(best) = days.first() else {
        return "Nothing of this job is poured by us.".to_owned();
    };
    let day = &best.day;
    let when = format!("{} {}", day.day.0.format("%A"), day.day);
    let bagged = day
        .course
        .as_ref()
        .is_some_and(|course| course.trucks.is_empty());
    let what = if bagged { "concrete" } else { "truck" };
    let first = format!("first {what} at {}", day.first_truck.format("%H:%M"));
    let cost = best.cost.total;
    let money = match cost.minor() {
        0 => String::new(),
        minor if minor < 0 => format!(": {} {currency} less than planned", -cost),
        _ => format!(": {cost} {currency} more than planned"),
    };
    match day.verdict {
        GoOrWait::Go => format!("Pour on {when}, {first}{money}."),
        GoOrWait::GoWith => {
            let with: Vec<String> = day.measures.iter().map(Measure::told).collect();
            format!("Pour on {when}, {first}, with {}{money}.", with.join("; "))
        }
        GoOrWait::Wait => {
            let mut waits = day.reasons.iter().filter(|reason| reason.waits);
            let why = waits.next().map_or("", |reason| reason.text.as_str());
            match days.len() {
                1 => format!("Not on {when}: {why}"),
                _ => format!("None of these days: wait. On {when}: {why}"),
            }
        }
    }
}
