//! Hours, visits and days as a caller reads them.

use super::hold::{HoldAnswer, show_holds};
use super::takeoff::{AdviceAnswer, show_advice};
use super::{View, plain, show_net};
use crate::crew::{CrewHours, HourTotals, Overtime, RateShown, Task, TaskModifier, Visit};
use crate::job::{Class, Day};
use crate::quantity::shown::{H, Shown};
use crate::quantity::slack::round_to;
use crate::quantity::{Citation, Span, System};
use serde::Serialize;
use utoipa::ToSchema;

/// Who works how long, and on which days.
#[derive(Debug, Serialize, ToSchema)]
pub struct CrewHoursAnswer {
    /// Each task: set-up and quantity times rate.
    pub tasks: Vec<TaskAnswer>,
    /// Each visit.
    pub visits: Vec<VisitAnswer>,
    /// Sums.
    pub totals: HourTotalsAnswer,
    /// Days from the first visit to the last.
    pub calendar_days: u32,
    /// Paid hours without travel, in working days of one person.
    pub crew_days: Shown,
    /// Hours above the limit of a day or a week, by class: those of one person on this job; other
    /// jobs of the same week are not known here.
    pub overtime: Vec<OvertimeAnswer>,
    /// Hours in the office that a wage schedule asks for: certified payrolls.
    pub office_hours: H,
    /// Days on which the entrance is closed.
    pub days_entrance_closed: u32,
    /// What must be given before a visit can go on, in the order of the visits.
    pub holds: Vec<HoldAnswer>,
    /// What to think of.
    pub advices: Vec<AdviceAnswer>,
}

/// Hours above the limit of a day or a week; none is counted twice.
#[derive(Debug, Serialize, ToSchema)]
pub struct OvertimeAnswer {
    /// Class of worker.
    pub class: Class,
    /// Hours: both together.
    pub hours: H,
    /// Above the limit of a day, where the job states one.
    pub daily: H,
    /// Above the limit of a week, beside those.
    pub weekly: H,
}

/// One task.
#[derive(Debug, Serialize, ToSchema)]
pub struct TaskAnswer {
    /// The visit that does it, from 1.
    pub visit: u32,
    /// Task code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// JSON Pointer into the expanded job.
    pub of: String,
    /// Fixed hours.
    pub setup: H,
    /// What is done.
    pub quantity: Shown,
    /// Hours per unit.
    pub rate: RateAnswer,
    /// What the rate is multiplied with; see `modifiers`.
    #[serde(serialize_with = "plain")]
    pub factor: f64,
    /// What the factor is made of, left out where nothing bends the rate: a factor f on a share s gives
    /// 1 + s (f - 1), and these multiply; but the shares of a surface by its slope (`sloped`, `steep`)
    /// exclude each other, and what they add is added first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub modifiers: Vec<TaskModifierAnswer>,
    /// Task hours.
    pub hours: H,
    /// Fewest people who can do it.
    pub people_least: u32,
    /// What the rate includes.
    pub includes: String,
    /// True when the rate is the office's own, from its price book; left out where it is built in.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    #[schema(required = false)]
    pub own: bool,
    /// Where the rate comes from.
    pub source: Citation,
}

/// What bends a task.
#[derive(Debug, Serialize, ToSchema)]
pub struct TaskModifierAnswer {
    /// Its code, as `GET /v1/rates` lists it.
    pub code: String,
    /// Its factor; of a longer way from the truck, the factor of this way.
    #[serde(serialize_with = "plain")]
    pub factor: f64,
    /// The share of the task that it bends; left out where that is all of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub share: Option<f64>,
    /// Where the factor comes from.
    pub source: Citation,
}

/// A rate with its usual range.
#[derive(Debug, Serialize, ToSchema)]
pub struct RateAnswer {
    /// Low.
    #[serde(serialize_with = "plain")]
    pub low: f64,
    /// Used.
    #[serde(serialize_with = "plain")]
    pub likely: f64,
    /// High.
    #[serde(serialize_with = "plain")]
    pub high: f64,
    /// Hours per what: `h/ft2` or `h/m2` and the like.
    pub unit: String,
}

/// One visit.
#[derive(Debug, Serialize, ToSchema)]
pub struct VisitAnswer {
    /// From 1.
    pub visit: u32,
    /// Day number, from 1.
    pub day: u32,
    /// Date, where the job has a start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<Day>,
    /// What happens.
    pub description: String,
    /// Who.
    pub crew: Vec<CrewMemberAnswer>,
    /// How many.
    pub people: u32,
    /// Hours of work.
    pub task_hours: H,
    /// Hours on site of each person who stays to the end.
    pub on_site_hours: H,
    /// Helpers who leave before the end, where the job lets them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub released: Option<ReleasedAnswer>,
    /// Hours of waiting, all people.
    pub standby: H,
    /// Hours of travel, all people, both ways.
    pub travel: H,
    /// Hours paid, all people.
    pub paid_hours: H,
    /// What makes it this long: `tasks` (hours over people), `chain` (the longest chain of tasks and
    /// waits), `order` (neither alone: the order of tasks keeps somebody waiting), `setting` (the
    /// concrete) or `least_hours`.
    pub governed_by: &'static str,
    /// Who works on what, in hours after the arrival; a task may be shared by others later on.
    pub schedule: Vec<ScheduledAnswer>,
    /// What no schedule of so many people can be shorter than.
    pub lower_bound: H,
}

/// People on a task for a while.
#[derive(Debug, Serialize, ToSchema)]
pub struct ScheduledAnswer {
    /// Task code; `requirement` for what the site asks of each person.
    pub task: String,
    /// After the arrival.
    pub from: H,
    /// After the arrival.
    pub to: H,
    /// How many.
    pub people: u32,
}

/// Helpers who leave before the end of a visit.
#[derive(Debug, Serialize, ToSchema)]
pub struct ReleasedAnswer {
    /// How many.
    pub people: u32,
    /// Hours on site of each.
    pub on_site_hours: H,
    /// Hours paid, all of them; inside the visit's.
    pub paid_hours: H,
}

/// People of one class.
#[derive(Debug, Serialize, ToSchema)]
pub struct CrewMemberAnswer {
    /// Class.
    pub class: Class,
    /// How many.
    pub count: u32,
}

/// Sums over all visits.
#[derive(Debug, Serialize, ToSchema)]
pub struct HourTotalsAnswer {
    /// Hours of work.
    pub task_hours: H,
    /// People times hours on site.
    pub on_site: H,
    /// Waiting.
    pub standby: H,
    /// Travel.
    pub travel: H,
    /// Paid.
    pub paid_hours: H,
}

impl CrewHoursAnswer {
    /// Hours, shown.
    pub fn of(hours: CrewHours, view: View) -> Self {
        Self {
            tasks: hours
                .tasks
                .into_iter()
                .map(|task| show_task(task, view))
                .collect(),
            visits: hours
                .visits
                .into_iter()
                .map(|visit| show_visit(visit, view))
                .collect(),
            totals: show_totals(&hours.totals, view),
            calendar_days: hours.calendar_days,
            crew_days: Shown::new(hours.crew_days, "d", 1),
            overtime: hours
                .overtime
                .iter()
                .map(|over| show_overtime(over, view))
                .collect(),
            office_hours: self::hours(hours.office, view),
            days_entrance_closed: hours.days_entrance_closed,
            holds: show_holds(hours.holds),
            advices: hours.advices.into_iter().map(show_advice).collect(),
        }
    }
}

fn show_overtime(over: &Overtime, view: View) -> OvertimeAnswer {
    OvertimeAnswer {
        class: over.class,
        hours: hours(over.hours(), view),
        daily: hours(over.daily, view),
        weekly: hours(over.weekly, view),
    }
}

fn show_task(task: Task, view: View) -> TaskAnswer {
    TaskAnswer {
        visit: task.visit,
        code: task.code,
        description: task.description,
        of: task.of,
        setup: hours(task.setup, view),
        quantity: show_net(task.quantity, view.system),
        rate: show_rate(task.rate, view.system),
        factor: round_to(task.factor, 4),
        modifiers: task.modifiers.into_iter().map(show_modifier).collect(),
        hours: hours(task.hours, view),
        people_least: task.people_least,
        includes: task.includes,
        own: task.own,
        source: task.source,
    }
}

fn show_modifier(modifier: TaskModifier) -> TaskModifierAnswer {
    TaskModifierAnswer {
        code: modifier.code,
        factor: round_to(modifier.factor, 4),
        share: modifier.share.map(|share| round_to(share, 4)),
        source: modifier.source,
    }
}

/// A rate in the units of a system.
pub(super) fn show_rate(rate: RateShown, system: System) -> RateAnswer {
    let ([low, likely, high], per) = rate.in_system(system);
    RateAnswer {
        low: round_to(low, 5),
        likely: round_to(likely, 5),
        high: round_to(high, 5),
        unit: format!("h/{per}"),
    }
}

fn show_visit(visit: Visit, view: View) -> VisitAnswer {
    VisitAnswer {
        visit: visit.visit,
        day: visit.day,
        date: visit.date,
        description: visit.description,
        crew: visit
            .crew
            .iter()
            .map(|(class, count)| CrewMemberAnswer {
                class: *class,
                count: *count,
            })
            .collect(),
        people: visit.people,
        task_hours: hours(visit.task_hours, view),
        on_site_hours: hours(visit.on_site, view),
        released: visit.released.map(|released| ReleasedAnswer {
            people: released.people,
            on_site_hours: hours(released.on_site, view),
            paid_hours: hours(released.paid, view),
        }),
        standby: hours(visit.standby, view),
        travel: hours(visit.travel, view),
        paid_hours: hours(visit.paid, view),
        governed_by: visit.governed_by,
        lower_bound: hours(visit.lower_bound, view),
        schedule: visit
            .schedule
            .into_iter()
            .map(|spell| ScheduledAnswer {
                task: spell.task,
                from: hours(spell.from, view),
                to: hours(spell.to, view),
                people: spell.people,
            })
            .collect(),
    }
}

fn show_totals(totals: &HourTotals, view: View) -> HourTotalsAnswer {
    HourTotalsAnswer {
        task_hours: hours(totals.task, view),
        on_site: hours(totals.on_site, view),
        standby: hours(totals.standby, view),
        travel: hours(totals.travel, view),
        paid_hours: hours(totals.paid, view),
    }
}

fn hours(span: Span, view: View) -> H {
    H::of(span, view.system)
}
