//! The ten things that come first.
//!
//! Invariant: nothing is computed here that a room above has not given; this only picks and sums.
//! Absent: a price range, which is null until risk is asked for.

use super::{Unknown, Whole};
use crate::catalog::Class;
use crate::price::StepName;
use crate::quantity::money::Amount;
use crate::quantity::{Length, Span, Volume};
use crate::rules::{Check, Measured, SetVerdict, Verdict};

/// The ten things that come first, in their order.
#[derive(Clone, Debug, PartialEq)]
pub struct Headline {
    /// Whether the ramp complies.
    pub verdict: SetVerdict,
    /// The required finding with the least room.
    pub tightest: Option<Tightest>,
    /// The price, where it is complete.
    pub price: Option<Amount>,
    /// True when every line has a price.
    pub complete: bool,
    /// Lines without a price.
    pub unpriced: usize,
    /// The sum of what has a price.
    pub priced_so_far: Amount,
    /// Price over the new surface area in square feet.
    pub per_square_foot: Option<Amount>,
    /// Price over the new surface area in square metres.
    pub per_square_metre: Option<Amount>,
    /// Concrete to order.
    pub concrete_order: Volume,
    /// Concrete in the forms.
    pub concrete_net: Volume,
    /// Extra depth over the whole area that the order absorbs.
    pub depth_error: Length,
    /// Trucks.
    pub loads: usize,
    /// What the short load costs.
    pub short_load_fee: Option<Amount>,
    /// Paid hours.
    pub paid: Span,
    /// People times hours on site.
    pub on_site: Span,
    /// Waiting for the concrete.
    pub standby: Span,
    /// Travel.
    pub travel: Span,
    /// Visits.
    pub visits: usize,
    /// Days from the first visit to the last.
    pub calendar_days: u32,
    /// Days on which the entrance is closed.
    pub days_entrance_closed: u32,
    /// Direct cost by class.
    pub direct: Vec<(Class, Amount)>,
    /// Overhead and profit in money.
    pub overhead_and_profit: Amount,
    /// The same in hundredths of a percent of the price.
    pub of_price_percent: Option<f64>,
    /// The same over the crew-days.
    pub per_crew_day: Option<Amount>,
    /// The inputs not measured that move the price most, five at most.
    pub unknowns: Vec<Unknown>,
    /// Age of the oldest price used, in days.
    pub oldest_price_days: Option<i64>,
}

/// The required finding with the least room.
#[derive(Clone, Debug, PartialEq)]
pub struct Tightest {
    /// The rule.
    pub rule: String,
    /// JSON Pointer into the expanded job.
    pub subject: String,
    /// Its verdict.
    pub verdict: Verdict,
    /// What was measured, and the limit.
    pub measured: Option<Measured>,
    /// The limit.
    pub limit: Option<Measured>,
    /// What to do about it.
    pub remedy: Option<String>,
}

/// Most unknowns that a headline lists.
const UNKNOWNS_AT_MOST: usize = 5;

pub(super) fn head(whole: Whole<'_>, unknowns: &[Unknown]) -> Headline {
    let Whole {
        worked,
        check,
        priced,
        ..
    } = whole;
    let concrete = &worked.takeoff.concrete;
    let hours = &worked.hours;
    let build_up = &priced.build_up;
    let earned = build_up.amount(StepName::Overhead) + build_up.amount(StepName::Profit);
    let total = priced.total();
    Headline {
        verdict: check.verdict,
        tightest: find_tightest(check),
        price: total,
        complete: priced.complete(),
        unpriced: priced.unpriced.len(),
        priced_so_far: priced.priced_so_far(),
        per_square_foot: priced.per_area(priced.area.square_feet()),
        per_square_metre: priced.per_area(priced.area.square_metres()),
        concrete_order: concrete.order,
        concrete_net: concrete.net,
        depth_error: concrete.neighbours[1].depth_error,
        loads: concrete.loads.len(),
        short_load_fee: short_load(whole),
        paid: hours.totals.paid,
        on_site: hours.totals.on_site,
        standby: hours.totals.standby,
        travel: hours.totals.travel,
        visits: hours.visits.len(),
        calendar_days: hours.calendar_days,
        days_entrance_closed: hours.days_entrance_closed,
        direct: Class::ALL
            .iter()
            .map(|class| (*class, priced.subtotal(*class)))
            .collect(),
        overhead_and_profit: earned,
        of_price_percent: total
            .filter(|total| !total.is_zero())
            .map(|total| earned.number() / total.number() * 100.0),
        per_crew_day: priced.per_crew_day(),
        unknowns: unknowns.iter().take(UNKNOWNS_AT_MOST).cloned().collect(),
        oldest_price_days: priced.oldest_price_days(),
    }
}

/// By the yard missing, or by the plant's own steps.
fn short_load(whole: Whole<'_>) -> Option<Amount> {
    let lines = whole.priced.lines.iter();
    let short = lines.filter(|line| line.code.starts_with("short-load"));
    short.map(|line| line.extended).reduce(|sum, fee| sum + fee)
}

fn find_tightest(check: &Check) -> Option<Tightest> {
    let finding = check.tightest()?;
    Some(Tightest {
        rule: finding.rule.clone(),
        subject: finding.subject.clone(),
        verdict: finding.verdict,
        measured: finding.measured,
        limit: finding.limit,
        remedy: finding.remedy.clone(),
    })
}
