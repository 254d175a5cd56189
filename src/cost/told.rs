//! The whole job cost: lines, causes, classes, sums.
//!
//! Invariants: the causes add up to the variance, and so do the classes with what has no class; the
//! variance is what happened less the part of the estimate that is not open.

use super::earned::{Earned, check_progress, tell_earned};
use super::line::{CostLine, OpenLine};
use super::read::{Happened, NotEstimated, read_actual};
use super::sent::JobCostRequest;
use super::visit::{VisitCost, part_worked, tell_visits};
use crate::answered::Checked;
use crate::catalog::{Class, words};
use crate::quantity::Faults;
use crate::quantity::money::{Amount, Currency};
use serde::Serialize;

words! {
    /// Why a job cost other than estimated.
    CostCause {
        /// More or less was used, at the estimated price.
        Quantity = "quantity",
        /// What was used cost more or less.
        Price = "price",
        /// More or fewer hours, at the estimated hour.
        Hours = "hours",
        /// An hour cost more or less.
        Wage = "wage",
        /// What no line of the estimate takes.
        NotEstimated = "not_estimated",
    }
}

/// One cause.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct CauseOfCost {
    /// Which.
    pub cause: CostCause,
    /// What it is worth; above zero it cost more.
    pub amount: Amount,
}

/// One class of cost.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct ClassCost {
    /// Class; null for bills of which it is not known.
    pub class: Option<Class>,
    /// Its sums.
    #[serde(flatten)]
    pub sums: TotalCost,
}

/// Sums.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct TotalCost {
    /// All lines of the estimate.
    pub estimated: Amount,
    /// Of these, lines of which nothing is known yet.
    pub open: Amount,
    /// What happened, what was not estimated included.
    pub actual: Amount,
    /// Of this, what was not estimated.
    pub not_estimated: Amount,
    /// Actual less estimated, open lines left out.
    pub variance: Amount,
}

/// What a job cost beside its estimate.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct JobCost {
    /// Name of the job.
    pub name: String,
    /// Name of the answer.
    pub fingerprint: String,
    /// Currency of every amount (ISO 4217).
    pub currency: Currency,
    /// Sums of direct cost.
    pub total: TotalCost,
    /// The variance by cause; the amounts add up to it.
    pub causes: Vec<CauseOfCost>,
    /// By class of cost.
    pub classes: Vec<ClassCost>,
    /// Lines of which something is known.
    pub lines: Vec<CostLine>,
    /// Lines of which nothing is known yet.
    pub open: Vec<OpenLine>,
    /// Costs that no line takes.
    pub not_estimated: Vec<NotEstimated>,
    /// Paid hours by visit.
    pub visits: Vec<VisitCost>,
    /// What is earned; null where `percent_complete` was not sent or a line of the estimate has no price.
    pub earned: Option<Earned>,
    /// Codes of the estimate that have no price.
    pub unpriced: Vec<String>,
}

/// What a job cost beside its estimate.
///
/// # Errors
/// Every sum of the estimate that does not add up, else every fault of what was sent with it.
pub fn tell_cost(sent: &JobCostRequest) -> Result<JobCost, Faults> {
    let answer = sent.estimate.check("/estimate")?;
    let mut faults = Faults::default();
    let mut happened = read_actual(&sent.actual, &answer, &mut faults);
    let part = part_worked(&sent.estimate, &sent.actual);
    for account in &mut happened.accounts {
        account.part = part;
    }
    let visits = tell_visits(&sent.estimate, &sent.actual, &mut faults);
    check_progress(sent, &answer, &mut faults);
    let (lines, open) = tell_lines(&happened, &answer);
    let sums = Sums {
        lines: &lines,
        open: &open,
        not_estimated: &happened.not_estimated,
        currency: answer.currency,
    };
    let total = sums.total(|_| true);
    let told = JobCost {
        earned: tell_earned(sent, &answer, total.actual),
        causes: sums.causes(),
        classes: sums.classes(),
        name: answer.name,
        fingerprint: answer.fingerprint,
        currency: answer.currency,
        unpriced: answer.unpriced.into_iter().map(|(code, ..)| code).collect(),
        total,
        lines,
        open,
        not_estimated: happened.not_estimated,
        visits,
    };
    faults.or(told)
}

fn tell_lines(happened: &Happened, answer: &Checked) -> (Vec<CostLine>, Vec<OpenLine>) {
    let (mut lines, mut open) = (Vec::new(), Vec::new());
    for account in &happened.accounts {
        let (line, rest) = account.tell(&answer.currency);
        lines.extend(line);
        open.extend(rest);
    }
    (lines, open)
}

/// What is summed.
struct Sums<'a> {
    lines: &'a [CostLine],
    open: &'a [OpenLine],
    not_estimated: &'a [NotEstimated],
    currency: Currency,
}

impl Sums<'_> {
    fn sum(&self, amounts: impl Iterator<Item = Amount>) -> Amount {
        Amount::zero(&self.currency) + amounts.sum::<Amount>()
    }

    /// The sums of those classes that are wanted.
    fn total(&self, wanted: impl Fn(Option<Class>) -> bool) -> TotalCost {
        let lines = || self.lines.iter().filter(|line| wanted(Some(line.class)));
        let open = self.open.iter().filter(|line| wanted(Some(line.class)));
        let others = self.not_estimated.iter().filter(|one| wanted(one.class));
        let known = self.sum(lines().map(|line| line.estimated));
        let open = self.sum(open.map(|line| line.estimated));
        let not_estimated = self.sum(others.map(|one| one.amount));
        let actual = self.sum(lines().map(|line| line.actual)) + not_estimated;
        TotalCost {
            estimated: known + open,
            open,
            actual,
            not_estimated,
            variance: actual - known,
        }
    }

    fn classes(&self) -> Vec<ClassCost> {
        let classes = Class::ALL.iter().map(|class| Some(*class)).chain([None]);
        classes
            .map(|class| ClassCost {
                class,
                sums: self.total(|of| of == class),
            })
            .filter(|of| of.class.is_some() || !of.sums.actual.is_zero())
            .collect()
    }

    fn causes(&self) -> Vec<CauseOfCost> {
        let of = |labour: bool| {
            let lines = self.lines.iter();
            lines.filter(move |line| (line.class == Class::Labour) == labour)
        };
        let amounts = [
            (
                CostCause::Quantity,
                self.sum(of(false).map(|line| line.by_quantity)),
            ),
            (
                CostCause::Price,
                self.sum(of(false).map(|line| line.by_price)),
            ),
            (
                CostCause::Hours,
                self.sum(of(true).map(|line| line.by_quantity)),
            ),
            (
                CostCause::Wage,
                self.sum(of(true).map(|line| line.by_price)),
            ),
            (
                CostCause::NotEstimated,
                self.sum(self.not_estimated.iter().map(|one| one.amount)),
            ),
        ];
        let causes = amounts.into_iter();
        causes
            .map(|(cause, amount)| CauseOfCost { cause, amount })
            .collect()
    }
}
