//! What jobs like this one come to, each with one input moved.
//!
//! Invariant: the amount is that of a whole estimate of the moved job (a law of the tests). Absent:
//! which inputs are moved, and how far.

use super::{With, Worked};
use crate::catalog::{Catalog, PriceList, Worths};
use crate::crew::{CrewHours, plan_hours_with, plans_the_same};
use crate::geometry::{self, Geometry};
use crate::job::Job;
use crate::price::{Lookups, Parts, Priced, sum_up};
use crate::quantity::money::Amount;
use crate::takeoff::{Detail, Kept, Takeoff};

/// A job that was worked out, to price others like it.
pub(super) struct Again<'a> {
    /// The job.
    pub(super) job: &'a Job,
    /// What it comes to.
    pub(super) total: Amount,
    worked: &'a Worked,
    with: With<'a>,
    kept: Kept<'a>,
    lookups: Lookups<'a>,
}

impl<'a> Again<'a> {
    /// Keeps what others like it may share; `catalog` is that of the plant whose price holds.
    pub(super) fn of(
        job: &'a Job,
        (worked, priced): (&'a Worked, &Priced),
        catalog: &'a Catalog,
        with: With<'a>,
    ) -> Self {
        Self {
            job,
            total: priced.build_up.total(),
            worked,
            with,
            kept: Kept::of(job, &worked.geometry, (catalog, Worths::by(with.list))),
            lookups: Lookups::of(job, with.list),
        }
    }

    /// The price list.
    pub(super) fn list(&self) -> &PriceList {
        self.with.list
    }

    /// What a job comes to that differs in an input that was moved: of the same mix from the same
    /// plant, under the same settings of the price.
    pub(super) fn price(&self, job: &Job) -> Amount {
        let known = self.worked;
        let solved = match geometry::reads_the_same(self.job, job) {
            true => None,
            false => Some(geometry::solve(job)),
        };
        let geometry = solved.as_ref().unwrap_or(&known.geometry);
        let takeoff = self.kept.take_off(job, geometry);
        let planned = match plans_the_same((self.job, &known.takeoff), (job, &takeoff)) {
            true => None,
            false => Some(self.plan(job, geometry, &takeoff)),
        };
        let parts = Parts {
            job,
            geometry,
            takeoff: &takeoff,
            hours: planned.as_ref().unwrap_or(&known.hours),
        };
        sum_up(parts, &self.lookups)
    }

    fn plan(&self, job: &Job, geometry: &Geometry, takeoff: &Takeoff) -> CrewHours {
        plan_hours_with(job, geometry, takeoff, (self.with.rates, Detail::Amounts))
    }
}
