//! Paid hours of each visit, estimated and actual.
//!
//! Invariant: hours that name no visit are told by none. Absent: money.

use super::sent::ActualRequest;
use crate::answered::Answered;
use crate::quantity::shown::{H, Shown};
use crate::quantity::{Fault, Faults, Span, System, round_to};
use serde::Serialize;

/// One visit.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct VisitCost {
    /// From 1.
    pub visit: u32,
    /// What happens.
    pub description: Option<String>,
    /// Codes of its tasks, whose rates these hours bear on.
    pub tasks: Vec<String>,
    /// Hours of work, estimated.
    pub task_hours: Option<H>,
    /// Paid hours, estimated.
    pub estimated: H,
    /// Paid hours, actual; null where none were sent for it.
    pub actual: Option<H>,
    /// Actual less estimated.
    pub difference: Option<Shown>,
    /// Actual over estimated; null without both.
    pub ratio: Option<f64>,
}

/// Every visit of the answer; a fault for hours of a visit that it does not have.
pub(super) fn tell_visits(
    answer: &Answered,
    actual: &ActualRequest,
    faults: &mut Faults,
) -> Vec<VisitCost> {
    let hours = answer.crew_hours.as_ref();
    let visits = hours
        .and_then(|hours| hours.visits.as_deref())
        .unwrap_or_default();
    let worked = actual.hours.as_deref().unwrap_or_default();
    for (index, row) in worked.iter().enumerate() {
        let Some(number) = row.visit else { continue };
        if !visits.iter().any(|visit| visit.visit == number) {
            let known: Vec<String> = visits.iter().map(|visit| visit.visit.to_string()).collect();
            let accepted = match known.is_empty() {
                true => "no visit, since the answer came without `crew_hours`".to_owned(),
                false => format!("a visit of the estimate: {}", known.join(", ")),
            };
            let at = format!("/actual/hours/{index}/visit");
            faults.push(Fault::new(at, number.to_string(), accepted, None));
        }
    }
    let tasks = hours
        .and_then(|hours| hours.tasks.as_deref())
        .unwrap_or_default();
    let shown = |span| H::of(span, System::Us);
    visits
        .iter()
        .map(|visit| {
            let of_visit = worked.iter().filter(|row| row.visit == Some(visit.visit));
            let actual: Option<Span> = of_visit.map(|row| row.hours).reduce(|sum, one| sum + one);
            let estimated = shown(visit.paid_hours);
            let shown_actual = actual.map(shown);
            let of_tasks = tasks.iter().filter(|task| task.visit == visit.visit);
            VisitCost {
                visit: visit.visit,
                description: visit.description.clone(),
                tasks: of_tasks.map(|task| task.code.clone()).collect(),
                task_hours: visit.task_hours.map(shown),
                difference: shown_actual.map(|actual| {
                    let more = actual.shown().value - estimated.shown().value;
                    Shown::new(more, "h", 2)
                }),
                ratio: shown_actual
                    .filter(|_| estimated.shown().value > 0.0)
                    .map(|actual| round_to(actual.shown().value / estimated.shown().value, 3)),
                estimated,
                actual: shown_actual,
            }
        })
        .collect()
}
