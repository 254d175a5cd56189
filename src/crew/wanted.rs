//! A task that a job wants: a row, its quantity, its factor; hours come out.
//!
//! Invariant: hours = setup + quantity × likely × factor, for a whole task and for the sum of its
//! pieces. Absent: who does it and on which day.

use super::rate::{Per, RateRow};
use crate::quantity::{Area, Length, Mass, Span, Volume};
use crate::takeoff::Net;

/// A task, or the piece of one that is done on one day.
#[derive(Clone, Debug)]
pub(super) struct Wanted<'r> {
    pub(super) row: &'r RateRow,
    /// How much, in the row's unit.
    pub(super) amount: f64,
    pub(super) factor: f64,
    /// How much of it tapers, 0 to 1; told where it is shown.
    pub(super) tapering: f64,
    /// Hours before the first unit; nothing for what is carried over from the day before.
    pub(super) setup: f64,
    /// JSON Pointer into the expanded job.
    pub(super) of: &'static str,
}

impl<'r> Wanted<'r> {
    pub(super) fn hours(&self) -> f64 {
        self.setup + self.amount * self.row.likely * self.factor
    }

    /// The shortest time in which `people` can do it, as far as they can share it.
    pub(super) fn elapsed(&self, people: u32) -> f64 {
        let sharing = self.row.people_most.map_or(people, |most| most.min(people));
        self.hours() / f64::from(sharing.max(1))
    }

    /// Cuts off what `hours` hold; `None` where a piece would be smaller than `least` or the task
    /// is counted in whole things.
    pub(super) fn split(&self, hours: f64, least: f64) -> Option<(Self, Self)> {
        let counted = matches!(self.row.per, Per::Each | Per::Visit);
        let work = self.hours() - self.setup;
        if counted || hours < self.setup + least || self.hours() - hours < least {
            return None;
        }
        let share = (hours - self.setup) / work;
        let first = Self {
            amount: self.amount * share,
            ..self.clone()
        };
        let rest = Self {
            amount: self.amount - first.amount,
            setup: 0.0,
            ..self.clone()
        };
        Some((first, rest))
    }

    /// The amount as a quantity.
    pub(super) fn quantity(&self) -> Net {
        match self.row.per {
            Per::Ft => Net::Length(Length::from_feet(self.amount)),
            Per::Ft2 => Net::Area(Area::from_square_feet(self.amount)),
            Per::Yd3 => Net::Volume(Volume::from_cubic_yards(self.amount)),
            Per::Lb => Net::Mass(Mass::from_pounds(self.amount)),
            Per::Each | Per::Visit => Net::Count(self.amount),
        }
    }

    pub(super) fn setup_span(&self) -> Span {
        Span::from_hours(self.setup)
    }
}

/// Hours of several tasks.
pub(super) fn hours_of(tasks: &[Wanted]) -> f64 {
    tasks.iter().map(Wanted::hours).sum()
}

/// Cuts a sequence of tasks into `days` shares of equal hours; a day may come out empty.
///
/// The order is kept. A task that straddles a boundary is cut where both pieces are worth it, else
/// it goes to the side on which most of it lies.
pub(super) fn cut_into_days<'r>(
    tasks: &[Wanted<'r>],
    days: usize,
    least: f64,
) -> Vec<Vec<Wanted<'r>>> {
    let share = hours_of(tasks) / days.max(1) as f64;
    let mut cut = vec![Vec::new(); days.max(1)];
    let last = cut.len() - 1;
    let (mut day, mut done) = (0, 0.0);
    for task in tasks {
        let mut rest = Some(task.clone());
        while let Some(task) = rest.take() {
            let room = (day + 1) as f64 * share - done;
            let fits = day == last || task.hours() <= room;
            if let Some((first, after)) = (!fits).then(|| task.split(room, least)).flatten() {
                done += first.hours();
                cut[day].push(first);
                (day, rest) = (day + 1, Some(after));
            } else if fits || task.hours() / 2.0 <= room {
                done += task.hours();
                cut[day].push(task);
            } else {
                (day, rest) = (day + 1, Some(task));
            }
        }
    }
    cut
}
