//! What comes out: tasks, visits, totals.
//!
//! Invariants: totals are sums of visits; a visit's paid hours are the sum of its classes' and at
//! least people × hours on site. Absent: money, rounding for print.

use super::hold::Hold;
use super::week::Overtime;
use crate::job::{Class, Day};
use crate::quantity::{Area, Citation, Length, Mass, Span, System, Volume};
use crate::takeoff::{Advice, Net};

/// Crew hours of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct CrewHours {
    /// Every task, visit by visit, in the order of the work.
    pub tasks: Vec<Task>,
    /// Visits in the order of their days.
    pub visits: Vec<Visit>,
    /// Sums.
    pub totals: HourTotals,
    /// From the first visit to the last, both counted.
    pub calendar_days: u32,
    /// Paid hours without travel, in working days of one person.
    pub crew_days: f64,
    /// Hours of this job above the limit of a day or a week, by class; other jobs of the same week
    /// are not known here.
    pub overtime: Vec<Overtime>,
    /// Hours in the office for what a wage schedule asks, such as payrolls that are certified.
    pub office: Span,
    /// From the first visit until the slab may be walked on.
    pub days_entrance_closed: u32,
    /// What must be given before a visit can go on, in the order of the visits.
    pub holds: Vec<Hold>,
    /// What a person should know.
    pub advices: Vec<Advice>,
}

impl CrewHours {
    /// The first visit with a task whose code begins so: `place-` is the pour, `saw-` the saw; none without one.
    pub fn visit_that_does(&self, code: &str) -> Option<&Visit> {
        let mut tasks = self.tasks.iter();
        let task = tasks.find(|task| task.code.starts_with(code))?;
        let mut visits = self.visits.iter();
        visits.find(|visit| visit.visit == task.visit)
    }
}

/// A task, or the part of one that falls into one visit.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// Which visit, counted from 1.
    pub visit: u32,
    /// Code of its rate row; `requirement` for what the site asks.
    pub code: String,
    /// What is done.
    pub description: String,
    /// JSON Pointer into the expanded job.
    pub of: String,
    /// Hours before the first unit.
    pub setup: Span,
    /// How much.
    pub quantity: Net,
    /// Hours per unit.
    pub rate: RateShown,
    /// Multiplies the rate; 1 where nothing bends it.
    pub factor: f64,
    /// What the factor is made of.
    pub modifiers: Vec<TaskModifier>,
    /// Setup + quantity × likely rate × factor.
    pub hours: Span,
    /// Fewest people who can do it.
    pub people_least: u32,
    /// What is inside the row.
    pub includes: String,
    /// True when the rate is the office's own.
    pub own: bool,
    /// Where the row comes from.
    pub source: Citation,
}

/// What bends a task.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskModifier {
    /// Code of its row.
    pub code: String,
    /// Its factor.
    pub factor: f64,
    /// The share of the task that it bends; none where it bends all of it.
    pub share: Option<f64>,
    /// Where the row comes from.
    pub source: Citation,
}

/// A rate and its range, in hours per unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RateShown {
    /// When all goes well.
    pub low: f64,
    /// What is used.
    pub likely: f64,
    /// When little goes well.
    pub high: f64,
    /// The unit: ft, ft2, yd3, lb, each, visit.
    pub per: &'static str,
}

impl RateShown {
    /// How many of a system's units one of the row's units is, and what that unit is called.
    fn unit_in(self, system: System) -> (f64, &'static str) {
        match (system, self.per) {
            (System::Metric, "ft") => (Length::from_feet(1.0).metres(), "m"),
            (System::Metric, "ft2") => (Area::from_square_feet(1.0).square_metres(), "m2"),
            (System::Metric, "yd3") => (Volume::from_cubic_yards(1.0).cubic_metres(), "m3"),
            (System::Metric, "lb") => (Mass::from_pounds(1.0).kilograms(), "kg"),
            (_, per) => (1.0, per),
        }
    }

    /// The rate per unit of a system: low, likely, high, and the unit.
    pub fn in_system(self, system: System) -> ([f64; 3], &'static str) {
        let (units, per) = self.unit_in(system);
        (
            [self.low / units, self.likely / units, self.high / units],
            per,
        )
    }
}

/// A visit.
#[derive(Clone, Debug, PartialEq)]
pub struct Visit {
    /// Counted from 1.
    pub visit: u32,
    /// Day counted from the first visit, which is day 1.
    pub day: u32,
    /// Its date, when the job says on which date it starts.
    pub date: Option<Day>,
    /// What is done.
    pub description: String,
    /// Who comes.
    pub crew: Vec<(Class, u32)>,
    /// How many come.
    pub people: u32,
    /// Hours of the tasks.
    pub task_hours: Span,
    /// Hours each who stays to the end is on site, in whole pay steps.
    pub on_site: Span,
    /// Who leaves before the end.
    pub released: Option<Released>,
    /// Hours on site of all people.
    pub standing: Span,
    /// Those less the hours of the tasks; most of it waiting for the concrete.
    pub standby: Span,
    /// Both ways, all people.
    pub travel: Span,
    /// All people, in whole pay steps.
    pub paid: Span,
    /// The same by class.
    pub paid_by_class: Vec<(Class, Span)>,
    /// What made it that long: `tasks`, `chain`, `order`, `setting` or `least_hours`.
    pub governed_by: &'static str,
    /// Who works on what, from when to when.
    pub schedule: Vec<Scheduled>,
    /// What no schedule of so many people can be shorter than.
    pub lower_bound: Span,
}

impl Visit {
    /// What one person of a class is paid; those who leave early are the last of the helpers.
    pub(super) fn paid_to(&self, class: Class, person: u32) -> Span {
        let of = |list: &[(Class, Span)]| list.iter().find(|(of, _)| *of == class).map(|of| of.1);
        let came = self.crew.iter().find(|(of, _)| *of == class);
        let (paid, people) = (of(&self.paid_by_class), came.map_or(0, |came| came.1));
        let paid = paid.unwrap_or(Span::ZERO);
        let Some(released) = self.released.filter(|_| class == Class::Labourer) else {
            return paid / f64::from(people.max(1));
        };
        let staying = people.saturating_sub(released.people);
        if person < staying {
            (paid - released.paid) / f64::from(staying)
        } else {
            released.paid / f64::from(released.people.max(1))
        }
    }
}

/// Helpers who leave before the end of a visit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Released {
    /// How many.
    pub people: u32,
    /// Hours each is on site, in whole pay steps.
    pub on_site: Span,
    /// What all of them are paid.
    pub paid: Span,
}

/// People on a task for a while.
#[derive(Clone, Debug, PartialEq)]
pub struct Scheduled {
    /// Its code.
    pub task: String,
    /// After the arrival.
    pub from: Span,
    /// After the arrival.
    pub to: Span,
    /// How many.
    pub people: u32,
}

/// Sums over the visits.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct HourTotals {
    /// Hours of the tasks.
    pub task: Span,
    /// People × hours on site.
    pub on_site: Span,
    /// Waiting.
    pub standby: Span,
    /// Travel.
    pub travel: Span,
    /// Paid.
    pub paid: Span,
}

impl HourTotals {
    pub(super) fn of(visits: &[Visit]) -> Self {
        let sum = |of: fn(&Visit) -> Span| visits.iter().map(of).sum();
        Self {
            task: sum(|visit| visit.task_hours),
            on_site: sum(|visit| visit.standing),
            standby: sum(|visit| visit.standby),
            travel: sum(|visit| visit.travel),
            paid: sum(|visit| visit.paid),
        }
    }
}
