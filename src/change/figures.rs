//! What is told of a comparison beside money: quantities, hours, days, the verdict.
//!
//! Invariants: a change is the difference of what is printed, in the units of the later side; what
//! one side does not hold is null. Absent: money.

use super::side::Side;
use crate::quantity::shown::{H, LbKg, Shown, Yd3M3};
use crate::quantity::{Span, System};
use serde::Serialize;

/// A figure before and now.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Moved {
    /// Before.
    pub before: Option<Shown>,
    /// Now.
    pub after: Option<Shown>,
    /// The difference; null where a side does not hold the figure.
    pub change: Option<Shown>,
}

/// A word before and now.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct WordMoved {
    /// Before.
    pub before: Option<String>,
    /// Now.
    pub after: Option<String>,
}

/// Hours of one kind before and now.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct HoursMoved {
    /// Code of the item or of the task.
    pub code: String,
    /// The hours.
    pub hours: Moved,
}

/// Everything beside money.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Figures {
    /// Verdict of the rules.
    pub verdict: WordMoved,
    /// Concrete in the forms.
    pub concrete_net: Moved,
    /// Concrete to order.
    pub concrete_order: Moved,
    /// Bars.
    pub steel: Moved,
    /// Paid hours.
    pub paid_hours: Moved,
    /// Paid hours by item: a class of people, or a premium.
    pub paid_by_item: Vec<HoursMoved>,
    /// Hours of work.
    pub task_hours: Moved,
    /// Hours of work by task, over all visits; those that differ.
    pub tasks: Vec<HoursMoved>,
    /// Visits.
    pub visits: Moved,
    /// Days from the first visit to the last.
    pub calendar_days: Moved,
}

impl Moved {
    fn of(before: Option<Shown>, after: Option<Shown>, places: u8) -> Self {
        let change = before.zip(after);
        Self {
            before,
            after,
            change: change.map(|(was, is)| Shown::new(is.value - was.value, is.unit, places)),
        }
    }

    fn stays(&self) -> bool {
        self.before == self.after
    }
}

impl Figures {
    /// What two sides say.
    pub(super) fn of(before: &Side, after: &Side) -> Self {
        let (was, is, system) = (&before.facts, &after.facts, after.units);
        let volume = |value: Option<_>| value.map(|value| Yd3M3::of(value, system).shown());
        let mass = |value: Option<_>| value.map(|value| LbKg::of(value, system).shown());
        let hours = |value: Option<Span>| value.map(|value| show_hours(value, system));
        let count =
            |value: Option<u32>, unit| value.map(|value| Shown::new(f64::from(value), unit, 0));
        Self {
            verdict: WordMoved {
                before: was.verdict.clone(),
                after: is.verdict.clone(),
            },
            concrete_net: Moved::of(volume(was.concrete_net), volume(is.concrete_net), 3),
            concrete_order: Moved::of(volume(was.concrete_order), volume(is.concrete_order), 3),
            steel: Moved::of(mass(was.steel), mass(is.steel), 1),
            paid_hours: Moved::of(hours(was.paid), hours(is.paid), 2),
            paid_by_item: by_code(&paid(before), &paid(after)),
            task_hours: Moved::of(hours(was.task_hours), hours(is.task_hours), 2),
            tasks: by_code(&worked(before, system), &worked(after, system)),
            visits: Moved::of(count(was.visits, "each"), count(is.visits, "each"), 0),
            calendar_days: Moved::of(
                count(was.calendar_days, "d"),
                count(is.calendar_days, "d"),
                0,
            ),
        }
    }
}

fn show_hours(hours: Span, system: System) -> Shown {
    H::of(hours, system).shown()
}

/// Hours by code, in the order in which the codes come.
type ByCode<'a> = Vec<(&'a str, Shown)>;

fn paid(side: &Side) -> ByCode<'_> {
    let lines = side.hours_by_item();
    lines
        .map(|(code, hours)| (code, Shown::new(hours.number(), "h", 2)))
        .collect()
}

fn worked(side: &Side, system: System) -> ByCode<'_> {
    let mut sums: Vec<(&str, Span)> = Vec::new();
    for task in &side.facts.tasks {
        match sums.iter_mut().find(|(code, _)| *code == task.code) {
            Some((_, sum)) => *sum += task.hours,
            None => sums.push((&task.code, task.hours)),
        }
    }
    let shown = sums.into_iter();
    shown
        .map(|(code, hours)| (code, show_hours(hours, system)))
        .collect()
}

/// Those that differ; hours that one side does not know are none of it.
fn by_code(before: &[(&str, Shown)], after: &[(&str, Shown)]) -> Vec<HoursMoved> {
    let find = |list: &[(&str, Shown)], code: &str| {
        let found = list.iter().find(|(known, _)| *known == code);
        Some(found.map_or_else(|| Shown::new(0.0, "h", 2), |(_, hours)| *hours))
    };
    let new = after
        .iter()
        .filter(|(code, _)| !before.iter().any(|(known, _)| known == code));
    let codes = before.iter().chain(new).map(|(code, _)| *code);
    codes
        .map(|code| HoursMoved {
            code: code.to_owned(),
            hours: Moved::of(find(before, code), find(after, code), 2),
        })
        .filter(|moved| !moved.hours.stays())
        .collect()
}
