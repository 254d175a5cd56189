//! Tasks of a visit as steps that can be laid out.
//!
//! Invariant: the hours of the steps are those of the tasks; what is done when all else is has a step
//! of its own, the last. Absent: people.

use super::schedule::Step;
use super::sequence::{AT_THE_END, Mask, Sequence, WaitsFor};
use super::staffing::{Asks, PourAsks};
use super::wanted::Wanted;
use crate::quantity::Span;

impl PourAsks {
    fn waits(&self, of: WaitsFor) -> f64 {
        let opens = self.finishing.map(|finishing| match of {
            WaitsFor::Edging => finishing.edging.opens,
            WaitsFor::Broom => finishing.broom.opens,
            WaitsFor::Risers => finishing.risers.opens,
        });
        opens.map_or(0.0, Span::hours)
    }
}

/// Steps of a visit, and the placing among them.
pub(super) struct Load {
    pub(super) steps: Vec<Step>,
    /// Hours of all of them.
    pub(super) hours: f64,
    pub(super) placed: Mask,
}

impl Load {
    pub(super) fn of(tasks: &[Wanted], asks: &Asks) -> Self {
        let sequence = Sequence::built_in();
        let mut placed = 0;
        let step = |task: &Wanted| {
            let place = sequence.of(task.row.place);
            let is = 1 << task.row.place;
            let pour = asks.pour.filter(|_| task.row.code.starts_with("place-"));
            placed |= if pour.is_some() { is } else { 0 };
            let waits = asks.pour.zip(place.waits_for);
            Step {
                is,
                after: place.after,
                hours: task.hours(),
                lasts: pour.map_or(0.0, |pour| pour.unloading),
                waits: waits.map_or(0.0, |(pour, of)| pour.waits(of)),
                people_least: task.row.people_least,
                people_most: task.row.people_most.unwrap_or(u32::MAX),
                finisher: task.row.finisher,
            }
        };
        let mut steps = Vec::with_capacity(tasks.len() + 1);
        steps.extend(tasks.iter().map(step));
        let last = at_the_end(tasks, &mut steps);
        steps.extend(last);
        let hours = steps.iter().map(|step| step.hours).sum();
        Self {
            steps,
            hours,
            placed,
        }
    }
}

/// Takes off what is left of a step for the end; where there is more than one, of the first.
fn at_the_end(tasks: &[Wanted], steps: &mut [Step]) -> Option<Step> {
    let at = split_at(tasks)?;
    let step = steps.get_mut(at)?;
    let last = step.hours * Sequence::built_in().of(tasks[at].row.place).at_the_end;
    step.hours -= last;
    Some(Step {
        is: AT_THE_END,
        after: !AT_THE_END,
        hours: last,
        ..*step
    })
}

/// Which task is done in part when all others are.
pub(super) fn split_at(tasks: &[Wanted]) -> Option<usize> {
    let sequence = Sequence::built_in();
    let splits = |task: &Wanted| sequence.of(task.row.place).at_the_end > 0.0;
    tasks.iter().position(splits)
}
