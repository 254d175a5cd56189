//! The visits of a job in their order, each on its day.
//!
//! Invariants: one visit a day and visits in the order of the days; the saw comes the day after the
//! pour; a sealer never before its age, never under a cover, never before curing ends. Absent:
//! money, weather.

use super::calendar::Calendar;
use super::measured::Measured;
use super::rate::Phase;
use super::stage::{Staged, Stager, of_phase};
use super::wanted::Wanted;
use crate::job::{CuringMethod, Job, JointMethod};
use crate::quantity::{Span, ceil};

/// A visit on its day.
#[derive(Clone, Debug)]
pub(super) struct Dated<'a> {
    /// Counted from the first, which is 1.
    pub(super) day: u32,
    pub(super) staged: Staged<'a>,
}

/// The visits of a job, and what their days were bent by.
#[derive(Clone, Debug, Default)]
pub(super) struct Plan<'a> {
    pub(super) visits: Vec<Dated<'a>>,
    pub(super) pour_day: Option<u32>,
    /// True when days that are not worked pushed a visit back.
    pub(super) week_moved: bool,
    /// True when the pour waits because the day after would not be worked.
    pub(super) pour_moved: bool,
}

/// Puts visits on days.
pub(super) struct Planner<'a> {
    pub(super) measured: &'a Measured<'a>,
    pub(super) stager: Stager<'a>,
    pub(super) calendar: Calendar<'a>,
}

/// Whole days that a span takes.
pub(super) fn whole_days(span: Span) -> u32 {
    ceil(span.days()).max(0.0) as u32
}

impl<'a> Planner<'a> {
    /// Plans every visit.
    pub(super) fn plan(&self) -> Plan<'a> {
        let tasks = self.measured.tasks();
        let mut plan = Plan::default();
        self.put(&mut plan, 1, self.stager.preparation(&tasks));
        let Some(pour) = self.stager.pour(&tasks) else {
            return plan;
        };
        let day = self.pour_day(&mut plan);
        self.put(&mut plan, day, vec![pour]);
        plan.pour_day = Some(day);
        self.put_after_the_pour(&mut plan, day, &tasks);
        plan
    }

    /// Puts visits one a day from `earliest` on, after those already there.
    fn put(&self, plan: &mut Plan<'a>, earliest: u32, visits: Vec<Staged<'a>>) {
        let mut next = earliest.max(last_day(plan) + 1);
        for staged in visits {
            let day = self.calendar.on_or_after(next);
            plan.week_moved |= day != next;
            plan.visits.push(Dated { day, staged });
            next = day + 1;
        }
    }

    /// The next day worked; where joints are sawn, one after which the day of sawing is worked too.
    fn pour_day(&self, plan: &mut Plan<'a>) -> u32 {
        let next = self.calendar.on_or_after(last_day(plan) + 1);
        plan.week_moved |= next != last_day(plan) + 1;
        if self.job().joints.method != JointMethod::Sawn {
            return next;
        }
        let day = self.calendar.with_a_day_after(next, self.saw_after());
        plan.pour_moved = day != next;
        day
    }

    fn put_after_the_pour(&self, plan: &mut Plan<'a>, pour: u32, tasks: &[Wanted<'a>]) {
        let of = |phase| of_phase(tasks, phase);
        let (mut saw, close, seal) = (of(Phase::Saw), of(Phase::Close), of(Phase::Seal));
        let cured = pour + whole_days(self.job().curing.duration);
        let with_saw = cured <= pour + self.saw_after();
        if with_saw {
            saw.extend(close.iter().cloned());
        }
        let days = |phase, tasks: &[_]| self.stager.days(phase, tasks);
        self.put(plan, pour + self.saw_after(), days(Phase::Saw, &saw));
        if !with_saw {
            self.put(plan, cured, days(Phase::Close, &close));
        }
        let closed = if close.is_empty() {
            cured
        } else {
            last_day(plan).max(cured)
        };
        let age = self.sealing_age(&seal);
        let dry = closed + self.drying();
        self.put(plan, (pour + age).max(dry), days(Phase::Seal, &seal));
    }

    fn job(&self) -> &'a Job {
        self.measured.job
    }

    fn saw_after(&self) -> u32 {
        whole_days(self.measured.rates.figures.saw_after.likely)
    }

    /// Days between the cover and the sealer; a membrane leaves a dry slab.
    fn drying(&self) -> u32 {
        match self.job().curing.method {
            CuringMethod::WetCover => whole_days(self.measured.rates.figures.drying.likely),
            CuringMethod::Compound => 0,
        }
    }

    /// Age of the concrete at the sealing visit, in days from the pour.
    fn sealing_age(&self, seal: &[Wanted]) -> u32 {
        let surface = seal.iter().any(|task| task.row.code == "seal-surface");
        match self.job().sealer.as_option() {
            Some(sealer) if surface => whole_days(sealer.earliest_age),
            _ => whole_days(self.measured.rates.figures.joint_sealant_age.likely),
        }
    }
}

/// The day of the last visit so far; 0 before the first.
fn last_day(plan: &Plan) -> u32 {
    plan.visits.last().map_or(0, |visit| visit.day)
}
