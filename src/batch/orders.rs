//! One order list for many jobs, each quantity rounded up once.
//!
//! Invariants: what each job needs of its own (a truck, cut bars, a day of a machine) is summed as
//! ordered; what one job leaves over serves the next, so its exact quantities are summed and rounded
//! up once; stock is shared by as many jobs as it serves. Absent: prices.

use super::together::CutTogether;
use crate::catalog::SaleUnit;
use crate::estimate::Estimate;
use crate::price::{Charged, PriceLine};
use crate::quantity::money::Decimal4;
use crate::takeoff::Exact;
use std::collections::BTreeMap;

/// What is ordered of one thing for all jobs.
#[derive(Clone, Debug, PartialEq)]
pub struct Combined {
    /// What it is.
    pub description: String,
    /// Jobs that need it.
    pub jobs: u64,
    /// What would be ordered job by job.
    pub job_by_job: Decimal4,
    own: Decimal4,
    exact: f64,
    step: Decimal4,
    uses: u32,
}

/// Everything that is ordered, by item code and sale unit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Orders {
    /// By item code, then sale unit.
    pub by_item: BTreeMap<(String, &'static str), Combined>,
}

impl Combined {
    /// What to order for all jobs together, rounded up once.
    pub fn order(&self) -> Decimal4 {
        let uses = f64::from(self.uses.max(1));
        let number = self.own.number() + self.exact;
        let order = Decimal4::up_to_step(number / uses, self.step);
        // Only a sum that no number can hold is left as the jobs ordered it.
        order.unwrap_or(self.job_by_job)
    }

    fn merge(&mut self, later: &Self) {
        self.jobs += later.jobs;
        self.job_by_job = self.job_by_job + later.job_by_job;
        self.own = self.own + later.own;
        self.exact += later.exact;
        self.step = self.step.min(later.step);
        self.uses = self.uses.min(later.uses);
    }
}

impl Orders {
    pub(super) fn add(&mut self, estimate: &Estimate) {
        for line in &estimate.priced.lines {
            let Some(taken_off) = taken_off(estimate, line) else {
                continue;
            };
            let exact = taken_off
                .exact
                .filter(|_| line.unit.word() == taken_off.order_unit);
            let key = (line.code.clone(), line.unit.word());
            self.put(key, one(line, exact));
        }
    }

    pub(super) fn merge(&mut self, later: Self) {
        for (key, combined) in later.by_item {
            self.put(key, combined);
        }
    }

    /// Takes what jobs would have bought one by one off the orders, and adds what they buy together.
    pub(super) fn order_together(&mut self, lists: &[CutTogether]) {
        for together in lists {
            for (code, count) in &together.one_by_one {
                self.change(code, |own| own - whole(*count));
            }
            for used in &together.list.stock {
                self.change(&used.code, |own| own + whole(u64::from(used.count)));
            }
        }
    }

    fn change(&mut self, code: &str, change: impl Fn(Decimal4) -> Decimal4) {
        // Stock that no job took by itself may serve all of them together.
        let key = (code.to_owned(), SaleUnit::Each.word());
        let combined = self.by_item.entry(key).or_insert_with(|| Combined {
            description: code.to_owned(),
            jobs: 0,
            job_by_job: Decimal4::ZERO,
            own: Decimal4::ZERO,
            exact: 0.0,
            step: SMALLEST,
            uses: 1,
        });
        combined.own = change(combined.own);
    }

    fn put(&mut self, key: (String, &'static str), combined: Combined) {
        match self.by_item.get_mut(&key) {
            Some(sum) => sum.merge(&combined),
            None => drop(self.by_item.insert(key, combined)),
        }
    }
}

/// The takeoff's line of a price line; none for hours and what is no thing to order.
fn taken_off<'a>(estimate: &'a Estimate, line: &PriceLine) -> Option<&'a crate::takeoff::Line> {
    let index = line.of.strip_prefix("/takeoff/lines/")?;
    let found = estimate.takeoff.lines.get(index.parse::<usize>().ok()?)?;
    estimate
        .to_order
        .iter()
        .any(|order| order.code == found.code)
        .then_some(found)
}

fn one(line: &PriceLine, exact: Option<Exact>) -> Combined {
    let uses = match line.charged {
        Charged::ByUse { uses } => uses,
        _ => 1,
    };
    Combined {
        description: line.description.clone(),
        jobs: 1,
        job_by_job: line.order,
        own: if exact.is_some() {
            Decimal4::ZERO
        } else {
            line.order
        },
        exact: exact.map_or(0.0, |exact| exact.number),
        step: match (exact, uses) {
            (Some(exact), _) => exact.step,
            (None, 1) => SMALLEST,
            (None, _) => Decimal4::ONE,
        },
        uses,
    }
}

fn whole(count: u64) -> Decimal4 {
    Decimal4::whole(u32::try_from(count).unwrap_or(u32::MAX))
}

/// A sum of whole orders needs no further rounding.
const SMALLEST: Decimal4 = Decimal4::from_ten_thousandths(1);
