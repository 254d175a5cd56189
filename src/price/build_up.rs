//! From direct cost to price, one rounded step after the other.
//!
//! Invariants: every step states its base; each is rounded once; the price is their sum, so a
//! reader can add the printed steps up. Absent: lines, which are summed here but made elsewhere.

use super::charge::PriceLine;
use super::setting::{Profit, Settings};
use crate::catalog::Class;
use crate::job::TaxBase;
use crate::quantity::money::{Amount, Currency, Percentage};

/// A step of the build-up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepName {
    /// Material, labour, equipment, fees and subs, without tax.
    Direct,
    /// Sales tax that we pay on materials.
    TaxPaid,
    /// Contingency, with the reserve for warranty work.
    Contingency,
    /// Overhead.
    Overhead,
    /// Profit.
    Profit,
    /// Sales tax that is charged on the price.
    TaxCharged,
}

/// One step.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Which.
    pub name: StepName,
    /// Its rate, where it has one.
    pub rate: Option<Percentage>,
    /// True when the rate is a margin: a part of the sum that it leads to.
    pub margin: bool,
    /// What it is reckoned on, in words.
    pub of: &'static str,
    /// That base in money, where it has one.
    pub base: Option<Amount>,
    /// What it adds.
    pub amount: Amount,
}

/// The whole build-up.
#[derive(Clone, Debug, PartialEq)]
pub struct BuildUp {
    /// The steps, in their order.
    pub steps: Vec<Step>,
}

impl BuildUp {
    pub(super) fn of(lines: &[PriceLine], settings: &Settings, currency: &Currency) -> Self {
        let zero = Amount::zero(currency);
        let direct = zero + lines.iter().map(|line| line.extended).sum::<Amount>();
        let materials = super::sum_of(lines, Class::Material, currency);
        Self::of_sums((direct, materials), settings)
    }

    /// From all lines summed, and those of material.
    pub(super) fn of_sums((direct, materials): (Amount, Amount), settings: &Settings) -> Self {
        let mut steps = vec![Step {
            name: StepName::Direct,
            rate: None,
            margin: false,
            of: "material, labour, equipment, fees and subs",
            base: None,
            amount: direct,
        }];
        let paid = settings.tax_base == TaxBase::Materials;
        let tax = if paid {
            settings.tax_rate
        } else {
            Percentage::default()
        };
        steps.push(add(StepName::TaxPaid, "materials", materials, tax));
        let so_far = sum(&steps);
        let reserve = Percentage::from_millionths(
            settings.contingency.millionths() + settings.warranty.millionths(),
        );
        steps.push(add(
            StepName::Contingency,
            "direct and tax paid",
            so_far,
            reserve,
        ));
        let so_far = sum(&steps);
        let of = "direct, tax paid and contingency";
        steps.push(add(StepName::Overhead, of, so_far, settings.overhead));
        steps.push(profit_step(sum(&steps), settings.profit));
        let charged = settings.tax_base == TaxBase::Price;
        let tax = if charged {
            settings.tax_rate
        } else {
            Percentage::default()
        };
        let so_far = sum(&steps);
        steps.push(add(StepName::TaxCharged, "price before tax", so_far, tax));
        Self { steps }
    }

    /// What a step adds.
    pub fn amount(&self, name: StepName) -> Amount {
        self.steps
            .iter()
            .filter(|step| step.name == name)
            .map(|step| step.amount)
            .sum()
    }

    /// Direct cost.
    pub fn direct(&self) -> Amount {
        self.amount(StepName::Direct)
    }

    /// Before profit and charged tax.
    pub fn cost(&self) -> Amount {
        self.total() - self.amount(StepName::Profit) - self.amount(StepName::TaxCharged)
    }

    /// The sum of all steps.
    pub fn total(&self) -> Amount {
        sum(&self.steps)
    }
}

fn sum(steps: &[Step]) -> Amount {
    steps.iter().map(|step| step.amount).sum()
}

fn add(name: StepName, of: &'static str, base: Amount, rate: Percentage) -> Step {
    let amount = base.percent(rate);
    Step {
        name,
        rate: Some(rate),
        margin: false,
        of,
        base: Some(base),
        amount,
    }
}

fn profit_step(base: Amount, profit: Profit) -> Step {
    let of = "direct, tax paid, contingency and overhead";
    match profit {
        Profit::Markup(rate) => add(StepName::Profit, of, base, rate),
        Profit::Margin(rate) => Step {
            name: StepName::Profit,
            rate: Some(rate),
            margin: true,
            of,
            base: Some(base),
            // A margin of 100 % or more is refused where it enters; it never earns by accident.
            amount: base.margin(rate).unwrap_or_default(),
        },
    }
}
