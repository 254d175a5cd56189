//! One side of a comparison: lines, build-up, total, and what is told beside money.
//!
//! Invariants: a side that came as an answer and one that was priced here say the same of the same
//! job; quantities are taken as they are printed. Absent: the
//! other side.

use super::compare::Price;
use crate::answered::{
    Answered, AnsweredQuantity, AnsweredStep, AnsweredStepName, Line, shown_name,
};
use crate::catalog::Class;
use crate::estimate::Estimate;
use crate::price::{PriceLine, Step, StepName};
use crate::quantity::money::{Amount, Currency, Decimal4, Percentage, UnitPrice};
use crate::quantity::shown::{H, LbKg, Yd3M3};
use crate::quantity::{Faults, Mass, Percent, Span, System, Volume};

/// One side.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// Name of the job.
    pub name: String,
    /// Name of the answer.
    pub fingerprint: String,
    /// Units it is told in.
    pub units: System,
    /// Currency of every amount.
    pub currency: Currency,
    /// What is charged.
    pub lines: Vec<SideLine>,
    /// True where a book in the chain holds invented prices.
    pub demo: bool,
    /// Codes of what has no price.
    pub unpriced: Vec<String>,
    /// From direct cost to price.
    pub steps: Vec<SideStep>,
    /// The price; none while a line has none.
    pub total: Option<Amount>,
    /// What is told beside money.
    pub facts: Facts,
    /// Rates for extras that have a price.
    pub extras: Vec<SideExtra>,
}

/// What one of something costs on top of the price.
#[derive(Clone, Debug, PartialEq)]
pub struct SideExtra {
    /// Its code.
    pub code: String,
    /// For how much of it.
    pub unit: String,
    /// What it is charged.
    pub charged: Amount,
}

/// One price line.
#[derive(Clone, Debug, PartialEq)]
pub struct SideLine {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Where it stands in the build-up.
    pub class: Class,
    /// What is charged.
    pub quantity: Decimal4,
    /// In this unit.
    pub unit: String,
    /// For one unit.
    pub unit_price: UnitPrice,
    /// Quantity times unit price.
    pub extended: Amount,
}

/// One step of the build-up.
#[derive(Clone, Debug, PartialEq)]
pub struct SideStep {
    /// Which.
    pub name: StepName,
    /// Its rate as printed; none for direct cost.
    pub rate: Option<Percentage>,
    /// True when the rate is a part of the sum that it leads to.
    pub margin: bool,
    /// What the rate is applied to.
    pub base: Option<Amount>,
    /// What it adds.
    pub amount: Amount,
}

/// What is told of a side beside money; what an answer sent along does not hold is none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Facts {
    /// Verdict of the rules.
    pub verdict: Option<String>,
    /// Concrete in the forms.
    pub concrete_net: Option<Volume>,
    /// Concrete to order.
    pub concrete_order: Option<Volume>,
    /// Bars.
    pub steel: Option<Mass>,
    /// Paid hours.
    pub paid: Option<Span>,
    /// Hours of work.
    pub task_hours: Option<Span>,
    /// Visits.
    pub visits: Option<u32>,
    /// Days from the first visit to the last.
    pub calendar_days: Option<u32>,
    /// Tasks with their hours, as they come.
    pub tasks: Vec<TaskFact>,
}

/// Hours of one task in one visit.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskFact {
    /// Code of its rate.
    pub code: String,
    /// Hours of work.
    pub hours: Span,
}

impl Side {
    /// The side of a job that was priced here.
    pub fn of(estimate: &Estimate) -> Self {
        let priced = &estimate.priced;
        Self {
            name: shown_name(&estimate.job.name).to_owned(),
            fingerprint: estimate.fingerprint.clone(),
            units: estimate.job.units,
            currency: priced.currency,
            demo: estimate.computed_with.books.iter().any(|book| book.demo),
            lines: priced.lines.iter().map(SideLine::of).collect(),
            unpriced: priced.unpriced.iter().map(|one| one.code.clone()).collect(),
            steps: priced.build_up.steps.iter().map(SideStep::of).collect(),
            total: priced.total(),
            facts: Facts::of(estimate),
            extras: estimate
                .extras
                .iter()
                .filter_map(|extra| {
                    Some(SideExtra {
                        code: extra.code.clone(),
                        unit: extra.unit.to_owned(),
                        charged: extra.charged?,
                    })
                })
                .collect(),
        }
    }

    /// The side of an answer that was sent back; `at` is where it stands in the request.
    ///
    /// # Errors
    /// Every line, step and sum of it that does not add up.
    pub fn of_answer(answer: &Answered, at: &str) -> Result<Self, Faults> {
        let checked = answer.check(at)?;
        Ok(Self {
            name: checked.name.clone(),
            fingerprint: checked.fingerprint.clone(),
            units: answer.computed_with.units,
            currency: checked.currency,
            demo: checked.demo,
            total: checked.complete().then(|| checked.total()),
            unpriced: checked
                .unpriced
                .into_iter()
                .map(|(code, ..)| code)
                .collect(),
            lines: checked.lines.into_iter().map(SideLine::of_answer).collect(),
            steps: answer
                .price
                .build_up
                .iter()
                .map(SideStep::of_answer)
                .collect(),
            facts: Facts::of_answer(answer),
            extras: SideExtra::of_answer(answer),
        })
    }

    /// The price and the tax in it; none while a line has no price.
    pub fn price(&self) -> Option<Price> {
        let tax = self.tax_charged().map(|step| step.amount);
        self.total.map(|total| Price {
            total,
            tax: tax.unwrap_or(total.nothing()),
        })
    }

    /// Rate of the tax charged on the price; none where none is charged.
    pub fn tax_rate(&self) -> Option<Percentage> {
        let rate = self.tax_charged()?.rate;
        rate.filter(|rate| *rate != Percentage::ZERO)
    }

    fn tax_charged(&self) -> Option<&SideStep> {
        let mut steps = self.steps.iter();
        steps.find(|step| step.name == StepName::TaxCharged)
    }

    /// Hours that are paid, line by line: the item and its hours.
    pub fn hours_by_item(&self) -> impl Iterator<Item = (&str, Decimal4)> {
        let labour = self.lines.iter().filter(|line| line.class == Class::Labour);
        labour.map(|line| (line.code.as_str(), line.quantity))
    }
}

impl SideExtra {
    fn of_answer(answer: &Answered) -> Vec<Self> {
        let extras = answer.price.extras.iter().flatten();
        extras
            .filter_map(|extra| {
                Some(Self {
                    code: extra.code.clone(),
                    unit: extra.unit.clone(),
                    charged: extra.charged?,
                })
            })
            .collect()
    }
}

impl SideLine {
    fn of_answer(line: Line) -> Self {
        Self {
            code: line.code,
            description: line.description,
            class: line.class,
            quantity: line.quantity,
            unit: line.unit,
            unit_price: line.unit_price,
            extended: line.extended,
        }
    }

    fn of(line: &PriceLine) -> Self {
        Self {
            code: line.code.clone(),
            description: line.description.clone(),
            class: line.class,
            quantity: line.quantity,
            unit: line.unit.word().to_owned(),
            unit_price: line.unit_price,
            extended: line.extended,
        }
    }
}

impl SideStep {
    fn of_answer(step: &AnsweredStep) -> Self {
        let percent = |rate: &AnsweredQuantity| Percentage::of(Percent::from_percent(rate.value));
        Self {
            name: step_name(step.step),
            rate: step.rate.as_ref().map(percent),
            margin: step.basis.as_deref() == Some("margin"),
            base: step.base,
            amount: step.amount,
        }
    }

    fn of(step: &Step) -> Self {
        Self {
            name: step.name,
            rate: step.rate,
            margin: step.margin,
            base: step.base,
            amount: step.amount,
        }
    }
}

const fn step_name(answered: AnsweredStepName) -> StepName {
    match answered {
        AnsweredStepName::Direct => StepName::Direct,
        AnsweredStepName::TaxPaid => StepName::TaxPaid,
        AnsweredStepName::Contingency => StepName::Contingency,
        AnsweredStepName::Overhead => StepName::Overhead,
        AnsweredStepName::Profit => StepName::Profit,
        AnsweredStepName::TaxCharged => StepName::TaxCharged,
    }
}

impl Facts {
    fn of_answer(answer: &Answered) -> Self {
        let takeoff = answer.takeoff.as_ref();
        let hours = answer.crew_hours.as_ref();
        let pours = takeoff.map(|takeoff| {
            let before = takeoff.concrete_before.iter().flatten();
            before.chain([&takeoff.concrete])
        });
        let bars = takeoff.map(|takeoff| takeoff.bars.iter().flatten());
        let visits = hours.and_then(|hours| hours.visits.as_ref());
        let tasks = hours.and_then(|hours| hours.tasks.as_ref());
        let tasks = tasks.into_iter().flatten().map(|task| TaskFact {
            code: task.code.clone(),
            hours: task.hours.unwrap_or(Span::ZERO),
        });
        let totals = hours.and_then(|hours| hours.totals.as_ref());
        Self {
            verdict: answer
                .check
                .as_ref()
                .and_then(|check| check.verdict.clone()),
            concrete_net: pours.clone().map(|pours| pours.map(|pour| pour.net).sum()),
            concrete_order: pours.map(|pours| pours.map(|pour| pour.order).sum()),
            steel: bars.map(|bars| bars.map(|bar| bar.weight).sum()),
            paid: totals.map(|totals| totals.paid_hours),
            task_hours: totals.map(|totals| totals.task_hours),
            visits: visits.and_then(|visits| u32::try_from(visits.len()).ok()),
            calendar_days: hours.and_then(|hours| hours.calendar_days),
            tasks: tasks.collect(),
        }
    }

    fn of(estimate: &Estimate) -> Self {
        let head = &estimate.headline;
        let hours = &estimate.hours;
        let system = estimate.job.units;
        let takeoff = &estimate.takeoff;
        let pours = || takeoff.before.iter().chain([&takeoff.concrete]);
        let bars = takeoff.bar_marks.iter();
        let tasks = hours.tasks.iter().map(|task| TaskFact {
            code: task.code.clone(),
            hours: printed_hours(task.hours),
        });
        Self {
            verdict: Some(head.verdict.as_str().to_owned()),
            concrete_net: Some(pours().map(|pour| printed_volume(pour.net, system)).sum()),
            concrete_order: Some(pours().map(|pour| printed_volume(pour.order, system)).sum()),
            steel: Some(bars.map(|mark| printed_mass(mark.weight, system)).sum()),
            paid: Some(printed_hours(hours.totals.paid)),
            task_hours: Some(printed_hours(hours.totals.task)),
            visits: u32::try_from(hours.visits.len()).ok(),
            calendar_days: Some(hours.calendar_days),
            tasks: tasks.collect(),
        }
    }
}

// An answer that comes back holds printed figures; sums of these are the same whichever way a side came.

fn printed_hours(hours: Span) -> Span {
    Span::from_hours(H::of(hours, System::Us).shown().value)
}

fn printed_volume(volume: Volume, system: System) -> Volume {
    let number = Yd3M3::of(volume, system).shown().value;
    match system {
        System::Us => Volume::from_cubic_yards(number),
        System::Metric => Volume::from_cubic_metres(number),
    }
}

fn printed_mass(mass: Mass, system: System) -> Mass {
    let number = LbKg::of(mass, system).shown().value;
    match system {
        System::Us => Mass::from_pounds(number),
        System::Metric => Mass::from_kilograms(number),
    }
}
