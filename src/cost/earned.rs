//! What is earned so far, and what of it is not billed yet.
//!
//! Invariants: said only where the share of the work that is done was sent and every line of the
//! estimate has a price; tax is no income, neither that charged on the price nor what is paid for it on material;
//! before overhead, which no bill of a supplier holds. Absent:
//! guesses of how far the work is.

use super::read::amount_fault;
use super::sent::JobCostRequest;
use crate::answered::{AnsweredStepName, Checked};
use crate::quantity::money::{Amount, Percentage};
use crate::quantity::{Bounds, Faults, Percent};
use serde::Serialize;

const COMPLETE: Bounds<Percent> = Bounds::new(
    "percent_complete",
    Percent::from_percent(0.0),
    Percent::from_percent(100.0),
);

/// What is earned so far.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Earned {
    /// How much of the work is done.
    pub percent_complete: Percentage,
    /// That share of the price without the tax charged on it.
    pub earned: Amount,
    /// What it cost so far.
    pub cost: Amount,
    /// Of the sales tax that the estimate pays on material, the same share; bills are told without it.
    pub tax_paid: Amount,
    /// Earned less cost and that tax: what is left for overhead, contingency and profit.
    pub margin: Amount,
    /// What would be left of the same share had everything gone as estimated.
    pub margin_estimated: Amount,
    /// Billed to the customer so far, without tax; null where it was not sent.
    pub billed: Option<Amount>,
    /// Earned and not billed; below zero where more was billed than is earned.
    pub not_billed: Option<Amount>,
}

/// Adds the faults of what is said of progress.
pub(super) fn check_progress(sent: &JobCostRequest, answer: &Checked, faults: &mut Faults) {
    if let Some(complete) = sent.percent_complete {
        faults
            .0
            .extend(COMPLETE.check(complete, "/percent_complete").err());
    }
    if let Some(billed) = sent.billed {
        faults
            .0
            .extend(amount_fault(billed, &answer.currency, "/billed"));
    }
}

/// What is earned; none where that cannot be said.
pub(super) fn tell_earned(sent: &JobCostRequest, answer: &Checked, cost: Amount) -> Option<Earned> {
    let share = Percentage::of(sent.percent_complete?);
    if !answer.complete() {
        return None;
    }
    let direct = answer
        .lines
        .iter()
        .map(|line| line.extended)
        .sum::<Amount>();
    let earned = answer.before_tax().percent(share);
    let tax_paid = answer.step(AnsweredStepName::TaxPaid).percent(share);
    let billed = sent
        .billed
        .map(|billed| billed.in_currency(&answer.currency));
    Some(Earned {
        percent_complete: share,
        earned,
        cost,
        tax_paid,
        margin: earned - cost - tax_paid,
        margin_estimated: earned - direct.percent(share) - tax_paid,
        billed,
        not_billed: billed.map(|billed| earned - billed),
    })
}
