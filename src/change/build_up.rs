//! What stands on the lines: tax, contingency, overhead, profit.
//!
//! Invariants: what a step adds because its base moved is reckoned at its old rate, rounded once; the
//! rest is that of its rate; where no rate moved there is no rest. Absent: the lines.

use super::side::{Side, SideStep};
use crate::price::StepName;
use crate::quantity::money::{Amount, Percentage};
use serde::Serialize;

/// A step of the build-up before and now.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct StepChange {
    /// `direct`, `tax_paid`, `contingency`, `overhead`, `profit`, `tax_charged`.
    pub step: &'static str,
    /// What it added before.
    pub before: Amount,
    /// What it adds now.
    pub after: Amount,
    /// Of the difference, what follows from the sum that it is reckoned on.
    pub by_base: Amount,
    /// Of the difference, what follows from its rate.
    pub by_rate: Amount,
    /// Both together.
    pub change: Amount,
}

/// The steps in their order.
const STEPS: [StepName; 6] = [
    StepName::Direct,
    StepName::TaxPaid,
    StepName::Contingency,
    StepName::Overhead,
    StepName::Profit,
    StepName::TaxCharged,
];

/// How a step is called in an answer.
pub(super) const fn word(step: StepName) -> &'static str {
    match step {
        StepName::Direct => "direct",
        StepName::TaxPaid => "tax_paid",
        StepName::Contingency => "contingency",
        StepName::Overhead => "overhead",
        StepName::Profit => "profit",
        StepName::TaxCharged => "tax_charged",
    }
}

/// Every step of both sides.
pub(super) fn compare_steps(before: &Side, after: &Side) -> Vec<StepChange> {
    let zero = Amount::zero(&after.currency);
    let of = |side: &Side, name| side.steps.iter().find(|step| step.name == name).cloned();
    STEPS
        .into_iter()
        .map(|name| {
            let (was, is) = (of(before, name), of(after, name));
            let amount = |step: &Option<SideStep>| step.as_ref().map_or(zero, |step| step.amount);
            let change = amount(&is) - amount(&was);
            let by_base = by_base((was.as_ref(), is.as_ref()), change).unwrap_or(zero);
            StepChange {
                step: word(name),
                before: amount(&was),
                after: amount(&is),
                by_base,
                by_rate: change - by_base,
                change,
            }
        })
        .collect()
}

/// None where there was no rate before, or nothing to reckon on now.
fn by_base((was, is): (Option<&SideStep>, Option<&SideStep>), change: Amount) -> Option<Amount> {
    let rate = |step: Option<&SideStep>| step.map(|step| (step.rate, step.margin));
    if rate(was) == rate(is) {
        return Some(change);
    }
    let old = was.and_then(|step| Some((step, step.rate?)));
    let base = is.and_then(|step| step.base);
    let ((step, rate), base) = (old?, base?);
    Some(share(base, rate, step.margin) - step.amount)
}

fn share(base: Amount, rate: Percentage, margin: bool) -> Amount {
    match margin {
        // A margin of the whole is refused where it enters.
        true => base.margin(rate).unwrap_or_default(),
        false => base.percent(rate),
    }
}
