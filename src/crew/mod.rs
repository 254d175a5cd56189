//! Crew hours: which tasks, on which visits, by how many people, for how long, paid how much time.
//!
//! Data flows one way: rows (`rate`) × what is handled (`measured`) × what bends them (`modifier`,
//! `bend`) → tasks (`wanted`) → visits (`stage`), each put in order (`sequence`, `schedule`) and manned
//! (`staffing`) → days (`calendar`, `plan`) → the answer. Invariants: a task's hours are
//! setup + quantity × rate × factor; no productivity factor goes on top; more to do never takes fewer
//! hours of tasks. Absent: prices, weather, the clock, any rate that is not a row.

mod advice;
mod answer;
mod bend;
mod calendar;
mod edge_form;
mod figure;
mod handbook;
mod hold;
mod load;
mod measured;
mod modifier;
mod office;
mod overtime;
mod plan;
mod rate;
mod schedule;
mod sequence;
mod show;
mod staffing;
mod stage;
mod task_rows;
mod wanted;
mod week;

pub use answer::{
    CrewHours, HourTotals, RateShown, Released, Scheduled, Task, TaskModifier, Visit,
};
pub use figure::{Figure, FigureShown, Figures, Week};
pub use handbook::{man_days, work_days};
pub use modifier::{Fact, Modifier};
pub use overtime::{OvertimePay, Stint, price_overtime};
pub use rate::{Per, Phase, RateRow, Rates};

pub use hold::{AskBy, Hold, NeededBy};
pub use schedule::{Bound, Ends, Leaving, Party, Spell, Step, bound_of, schedule};
pub use week::{Limits, Overtime, measure_overtime};

use crate::geometry::Geometry;
use crate::job::Job;
use crate::takeoff::{Detail, Takeoff};

/// Hours, visits and days of a job.
///
/// A job that leaves nothing to us has neither tasks nor visits.
pub fn plan_hours(job: &Job, geometry: &Geometry, takeoff: &Takeoff, rates: &Rates) -> CrewHours {
    plan_hours_with(job, geometry, takeoff, (rates, Detail::Worked))
}

/// The same; where amounts alone are asked for, visits and sums without tasks, words and advices.
pub fn plan_hours_with(
    job: &Job,
    geometry: &Geometry,
    takeoff: &Takeoff,
    (rates, detail): (&Rates, Detail),
) -> CrewHours {
    let measured = measured::Measured::of((job, geometry), takeoff, rates);
    show::show(&measured, detail != Detail::Amounts)
}

/// Whether two jobs, each with its takeoff, say the same of all that hours are planned from; where the
/// ramp differs they are taken to differ. For amounts: a description may still be another.
pub fn plans_the_same(a: (&Job, &Takeoff), b: (&Job, &Takeoff)) -> bool {
    let parts = |job: &Job| {
        let joints = (job.joints.method, job.joints.saw);
        let curing = (job.curing.method, job.curing.duration);
        let sealed = job.sealer.as_option().map(|sealer| sealer.earliest_age);
        let steel = job.reinforcement.as_option().map(|steel| steel.by);
        let based = job.base.as_option().is_some();
        (joints, curing, sealed, steel, based, job.slab.finish)
    };
    let unloading = |takeoff: &Takeoff| takeoff.concrete.unload_minutes_needed;
    a.0.ramp == b.0.ramp
        && parts(a.0) == parts(b.0)
        && a.0.crew == b.0.crew
        && a.0.forms.curved == b.0.forms.curved
        && a.0.site == b.0.site
        && a.0.requirements == b.0.requirements
        && a.0.site_work == b.0.site_work
        && unloading(a.1) == unloading(b.1)
        && a.1.measures == b.1.measures
}
