//! Many jobs together: counts, totals, weeks, and one list of what to order.
//!
//! Invariants: entries are added in the order of their rows, in groups of a fixed size, so that sums
//! of fractions come out the same however many threads work; money is summed in exact amounts, by
//! currency; whatever rows can name freely is bounded. Absent: reading rows, formats, the wire.

mod orders;
mod shared;
mod together;
mod weeks;

pub use orders::{Combined, Orders};
pub use shared::{DayAsked, ToPour, ToShare};
pub use together::{CutTogether, ToCut};
pub use weeks::{Week, WeekKey, Weeks};

use crate::estimate::Estimate;
use crate::figures::money_row;
use crate::job::Day;
use crate::quantity::money::{Amount, UnitPrice};
use crate::quantity::{Span, Volume};
use std::collections::BTreeMap;

/// Most rows that a summary names one by one.
const NAMED_AT_MOST: usize = 1_000;

/// What a row says beside its job.
#[derive(Clone, Copy, Debug, Default)]
pub struct Told<'a> {
    /// Its number as a spreadsheet shows it.
    pub row: u64,
    /// Day of the pour.
    pub day: Option<Day>,
    /// Area of the pour.
    pub area: Option<&'a str>,
}

/// How a row came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Status {
    /// Priced whole.
    Ok,
    /// Some line has no price.
    Incomplete,
    /// Not a job that can be computed.
    Error,
}

impl Status {
    /// As a row says it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ok => "ok",
            Self::Incomplete => "incomplete",
            Self::Error => "error",
        }
    }

    /// That of a priced job.
    pub fn of(estimate: &Estimate) -> Self {
        if estimate.priced.complete() {
            Self::Ok
        } else {
            Self::Incomplete
        }
    }
}

/// Sums of the money columns of one currency.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MoneySums {
    /// Jobs that were summed.
    pub jobs: u64,
    /// One amount for each figure of [`money_row`], in its order.
    pub amounts: Vec<(&'static str, Amount)>,
}

/// The sum over many rows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Summary {
    /// Rows that were answered.
    pub rows: u64,
    /// Rows priced whole.
    pub ok: u64,
    /// Rows with a line that has no price.
    pub incomplete: u64,
    /// Rows that are no job.
    pub errors: u64,
    /// Money of the rows priced whole, by currency.
    pub money: BTreeMap<String, MoneySums>,
    /// Paid hours of all jobs.
    pub paid: Span,
    /// Crew-days of all jobs.
    pub crew_days: f64,
    /// Visits of all jobs.
    pub visits: u64,
    /// Concrete ordered for all jobs.
    pub concrete: Volume,
    /// The same by week and area, of the jobs that have a date.
    pub weeks: Weeks,
    /// What to order for all jobs.
    pub orders: Orders,
    /// Rows whose price is under the least price of their visits: how many, and the first of them.
    pub under_least: (u64, Vec<u64>),
    /// Pours that may share loads, where that was asked for.
    pub to_share: Option<ToShare>,
    /// Bars to be cut together, where that was asked for.
    pub to_cut: Option<ToCut>,
}

/// What is gathered beside the sums.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Gathers {
    /// Pours, to share loads.
    pub loads: bool,
    /// Bars, to cut them together.
    pub cuts: bool,
}

impl Summary {
    /// An empty one, which gathers what is to be answered for all jobs together.
    pub fn gathering(gathers: Gathers) -> Self {
        Self {
            to_share: gathers.loads.then(ToShare::default),
            to_cut: gathers.cuts.then(ToCut::default),
            ..Self::default()
        }
    }

    /// Cuts what was gathered, and orders that much of each bar.
    pub fn cut_together(&mut self) -> Option<(Vec<CutTogether>, u64)> {
        let gathered = self.to_cut.take()?;
        let lists = gathered.cut();
        self.orders.order_together(&lists);
        Some((lists, gathered.left_out))
    }

    /// Counts a row that is no job.
    pub fn add_error(&mut self) {
        self.rows += 1;
        self.errors += 1;
    }

    /// Adds a job. `least` is the least price of one visit, where the caller names one.
    pub fn add(&mut self, estimate: &Estimate, told: Told<'_>, least: Option<UnitPrice>) {
        self.rows += 1;
        match Status::of(estimate) {
            Status::Ok => {
                self.ok += 1;
                self.add_money(estimate);
            }
            Status::Incomplete | Status::Error => self.incomplete += 1,
        }
        let concrete = estimate.takeoff.concrete_ordered();
        self.paid += estimate.hours.totals.paid;
        self.crew_days += estimate.hours.crew_days;
        self.visits += estimate.hours.visits.len() as u64;
        self.concrete += concrete;
        self.weeks.add(estimate, told);
        self.orders.add(estimate);
        if let Some(gathered) = &mut self.to_share {
            gathered.add(estimate, told);
        }
        if let Some(gathered) = &mut self.to_cut {
            gathered.add(estimate);
        }
        if is_under_least(estimate, least) {
            self.name_under_least(told.row);
        }
    }

    /// Adds the rows of a later group.
    pub fn merge(&mut self, later: Self) {
        self.rows += later.rows;
        self.ok += later.ok;
        self.incomplete += later.incomplete;
        self.errors += later.errors;
        for (currency, sums) in later.money {
            self.money.entry(currency).or_default().merge(&sums);
        }
        self.paid += later.paid;
        self.crew_days += later.crew_days;
        self.visits += later.visits;
        self.concrete += later.concrete;
        self.weeks.merge(later.weeks);
        self.orders.merge(later.orders);
        if let (Some(gathered), Some(later)) = (&mut self.to_share, later.to_share) {
            gathered.merge(later);
        }
        if let (Some(gathered), Some(later)) = (&mut self.to_cut, later.to_cut) {
            gathered.merge(later);
        }
        self.under_least.0 += later.under_least.0;
        let room = NAMED_AT_MOST - self.under_least.1.len();
        let named = later.under_least.1.into_iter().take(room);
        self.under_least.1.extend(named);
    }

    fn add_money(&mut self, estimate: &Estimate) {
        let priced = &estimate.priced;
        let currency = priced.currency.code().to_owned();
        let one = MoneySums {
            jobs: 1,
            amounts: money_row(priced).to_vec(),
        };
        self.money.entry(currency).or_default().merge(&one);
    }

    fn name_under_least(&mut self, row: u64) {
        self.under_least.0 += 1;
        if self.under_least.1.len() < NAMED_AT_MOST {
            self.under_least.1.push(row);
        }
    }
}

/// Whether a job's price is under the least price of its visits.
pub fn is_under_least(estimate: &Estimate, least: Option<UnitPrice>) -> bool {
    let (Some(least), Some(total)) = (least, estimate.priced.total()) else {
        return false;
    };
    let visits = i64::try_from(estimate.hours.visits.len()).unwrap_or(i64::MAX);
    // Both in ten-thousandths, so that nothing is rounded.
    let scale = 10_i128.pow(4 - u32::from(total.places().min(4)));
    i128::from(total.minor()) * scale < i128::from(least.ten_thousandths()) * i128::from(visits)
}

impl MoneySums {
    fn merge(&mut self, later: &Self) {
        self.jobs += later.jobs;
        if self.amounts.is_empty() {
            later.amounts.clone_into(&mut self.amounts);
            return;
        }
        for ((_, sum), (_, amount)) in self.amounts.iter_mut().zip(&later.amounts) {
            *sum += *amount;
        }
    }
}
