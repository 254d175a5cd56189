//! Paid hours of each visit, estimated and actual.
//!
//! Invariant: hours that name no visit are told by none. Absent: money.

use super::sent::{ActualRequest, WorkedRequest};
use crate::answered::{Answered, AnsweredVisit};
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
    pub description: String,
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

/// The visits of an answer; none where it came without them.
pub(super) fn visits_of(answer: &Answered) -> &[AnsweredVisit] {
    let hours = answer.crew_hours.as_ref();
    let visits = hours.and_then(|hours| hours.visits.as_deref());
    visits.unwrap_or_default()
}

/// Every visit of the answer; a fault for hours of a visit that it does not have.
pub(super) fn tell_visits(
    answer: &Answered,
    actual: &ActualRequest,
    faults: &mut Faults,
) -> Vec<VisitCost> {
    let visits = visits_of(answer);
    let worked = actual.hours.as_deref().unwrap_or_default();
    for (index, row) in worked.iter().enumerate() {
        let stranger = row.visit.filter(|number| !is_one_of(*number, visits));
        let at = format!("/actual/hours/{index}/visit");
        faults
            .0
            .extend(stranger.map(|number| refuse(number, visits, at)));
    }
    let tell = |visit| VisitCost::of(visit, answer, worked);
    visits.iter().map(tell).collect()
}

fn is_one_of(number: u32, visits: &[AnsweredVisit]) -> bool {
    visits.iter().any(|visit| visit.visit == number)
}

fn refuse(number: u32, visits: &[AnsweredVisit], at: String) -> Fault {
    let known: Vec<String> = visits.iter().map(|visit| visit.visit.to_string()).collect();
    let accepted = match known.is_empty() {
        true => "no visit, since the answer came without `crew_hours`".to_owned(),
        false => format!("a visit of the estimate: {}", known.join(", ")),
    };
    Fault::new(at, number.to_string(), accepted, None)
}

impl VisitCost {
    fn of(visit: &AnsweredVisit, answer: &Answered, worked: &[WorkedRequest]) -> Self {
        let shown = |span| H::of(span, System::Us);
        let of_visit = worked.iter().filter(|row| row.visit == Some(visit.visit));
        let actual: Option<Span> = of_visit.map(|row| row.hours).reduce(|sum, one| sum + one);
        let estimated = shown(visit.paid_hours.unwrap_or(Span::ZERO));
        let actual = actual.map(shown);
        let (paid, paid_estimated) = (
            actual.map(|actual| actual.shown().value),
            estimated.shown().value,
        );
        let tasks = answer.crew_hours.iter();
        let tasks = tasks.flat_map(|hours| hours.tasks.iter().flatten());
        let of_tasks = tasks.filter(|task| task.visit == Some(visit.visit));
        Self {
            visit: visit.visit,
            description: visit.description.clone(),
            tasks: of_tasks.map(|task| task.code.clone()).collect(),
            task_hours: visit.task_hours.map(shown),
            difference: paid.map(|paid| Shown::new(paid - paid_estimated, "h", 2)),
            ratio: paid
                .filter(|_| paid_estimated > 0.0)
                .map(|paid| round_to(paid / paid_estimated, 3)),
            estimated,
            actual,
        }
    }
}

/// Of the hours that an answer estimates, those of visits that hours were sent for: hundredths of an
/// hour, of how many. None where hours name no visit, or where every visit has some.
pub(super) fn part_worked(answer: &Answered, actual: &ActualRequest) -> Option<(i64, i64)> {
    let visits = visits_of(answer);
    let worked = actual.hours.as_deref().unwrap_or_default();
    let named = worked.iter().all(|row| row.visit.is_some());
    let came = |visit: &&AnsweredVisit| worked.iter().any(|row| row.visit == Some(visit.visit));
    // Printed hours have two decimals, so that these are whole numbers.
    let hundredths = |visit: &AnsweredVisit| {
        let paid = visit.paid_hours.unwrap_or(Span::ZERO);
        round_to(paid.hours() * 100.0, 0) as i64
    };
    let all: i64 = visits.iter().map(hundredths).sum();
    let part: i64 = visits.iter().filter(came).map(hundredths).sum();
    (named && part > 0 && part < all).then_some((part, all))
}
