//! Taking off a job like one that was taken off before: what the difference does not touch is kept.
//!
//! Invariants: the quantities are those of a takeoff from the start (a law of the tests); where the
//! ramp itself differs nothing is kept. Absent: descriptions and workings.

use super::line::Takeoff;
use super::part::{Detail, Given, Part};
use super::plan::Plan;
use super::trade::{Site, Trade};
use super::{BUILDERS, measure_own, rails, surroundings, take_off_with};
use crate::catalog::{Catalog, Worths};
use crate::geometry::Geometry;
use crate::job::{By, Job};

/// A takeoff of amounts alone, trade by trade, to take off other jobs from.
pub struct Kept<'a> {
    job: &'a Job,
    geometry: &'a Geometry,
    catalog: &'a Catalog,
    worths: Worths<'a>,
    plan: Plan,
    /// For each who builds, what each trade takes off, and the part's own measures.
    parts: Vec<(By, [Takeoff; Trade::ALL.len()], Takeoff)>,
}

impl<'a> Kept<'a> {
    /// Takes a job off, and keeps each trade by itself.
    pub fn of(
        job: &'a Job,
        geometry: &'a Geometry,
        (catalog, worths): (&'a Catalog, Worths<'a>),
    ) -> Self {
        let plan = Plan::along_the_surface(job, geometry);
        let given = Given {
            job,
            geometry,
            catalog,
            plan: &plan,
            worths,
            detail: Detail::Amounts,
        };
        let parts = BUILDERS.into_iter().filter_map(|by| {
            let part = Part::of(given, by)?;
            let site = Site::of(&part);
            let mut own = Takeoff::default();
            measure_own(&part, &site, &mut own);
            Some((by, Trade::ALL.map(|trade| alone(trade, &site)), own))
        });
        let parts = parts.collect();
        Self {
            job,
            geometry,
            catalog,
            worths,
            plan,
            parts,
        }
    }

    /// Takes off a job like the one kept; amounts alone.
    pub fn take_off(&self, job: &Job, geometry: &Geometry) -> Takeoff {
        let same = job.ramp == self.job.ramp
            && job.elements == self.job.elements
            && job.joints.filler == self.job.joints.filler;
        if !same {
            let known = (self.catalog, self.worths);
            return take_off_with(job, geometry, known, Detail::Amounts);
        }
        // Of the very geometry that was kept the plan is at hand.
        let laid_out = (!std::ptr::eq(geometry, self.geometry))
            .then(|| Plan::along_the_surface(job, geometry));
        let given = Given {
            job,
            geometry,
            catalog: self.catalog,
            plan: laid_out.as_ref().unwrap_or(&self.plan),
            worths: self.worths,
            detail: Detail::Amounts,
        };
        let mut takeoff = Takeoff::default();
        for (by, trades, own) in &self.parts {
            // The ramp is the same, so that each still builds what it built.
            let part = Part::of(given, *by);
            let site = part.as_ref().map(Site::of);
            for (trade, kept) in Trade::ALL.into_iter().zip(trades) {
                let differs = !trade.reads_the_same(self.job, job);
                let anew = site.as_ref().filter(|_| differs);
                match anew.map(|site| alone(trade, site)) {
                    Some(anew) => takeoff.append(&anew),
                    None => takeoff.append(kept),
                }
            }
            takeoff.append(own);
        }
        rails::take_off_rails(given, &mut takeoff);
        surroundings::take_off_site_work(given, &mut takeoff);
        takeoff
    }
}

fn alone(trade: Trade, site: &Site<'_, '_>) -> Takeoff {
    let mut takeoff = Takeoff::default();
    trade.take_off(site, &mut takeoff);
    takeoff
}
