//! What jobs like this one come to, each with one input moved.
//!
//! Invariant: the amount is that of a whole estimate of the moved job (a law of the tests). Absent:
//! which inputs are moved, and how far.

use super::{With, Worked};
use crate::catalog::{Catalog, PriceList};
use crate::crew::plan_hours_with;
use crate::geometry;
use crate::job::Job;
use crate::price::{Lookups, Priced, sum_up};
use crate::quantity::money::Amount;
use crate::takeoff::{Detail, Kept};

/// A job that was worked out, to price others like it.
pub(super) struct Again<'a> {
    /// The job.
    pub(super) job: &'a Job,
    /// What it comes to.
    pub(super) total: Amount,
    with: With<'a>,
    kept: Kept<'a>,
    lookups: Lookups<'a>,
}

impl<'a> Again<'a> {
    /// Keeps what others like it may share; `catalog` is that of the plant whose price holds.
    pub(super) fn of(
        job: &'a Job,
        (worked, priced): (&Worked, &Priced),
        catalog: &'a Catalog,
        with: With<'a>,
    ) -> Self {
        Self {
            job,
            total: priced.build_up.total(),
            with,
            kept: Kept::of(job, &worked.geometry, catalog),
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
        let geometry = geometry::solve(job);
        let takeoff = self.kept.take_off(job, &geometry);
        let rates = (self.with.rates, Detail::Amounts);
        let worked = Worked {
            hours: plan_hours_with(job, &geometry, &takeoff, rates),
            geometry,
            takeoff,
        };
        sum_up(worked.parts(job), &self.lookups)
    }
}
