//! A price as a caller reads it: every line can be multiplied, every step added up.

use super::View;
use super::extra::ExtraAnswer;
use crate::catalog::{Class, Component, Expired, PricedFrom, SaleUnit};
use crate::job::Day;
use crate::price::{Charged, Choice, Extra, PriceLine, Priced, Step, StepName, Unpriced};
use crate::quantity::System;
use crate::quantity::money::{Amount, Decimal4, UnitPrice};
use crate::quantity::shown::{RatePct, Shown};
use serde::Serialize;
use utoipa::ToSchema;

/// A priced job.
#[derive(Debug, Serialize, ToSchema)]
pub struct PriceAnswer {
    /// Currency of every amount (ISO 4217).
    pub currency: String,
    /// True when every line has a price.
    pub complete: bool,
    /// `quantity` times `unit_price` is `extended`, rounded once.
    pub lines: Vec<PriceLineAnswer>,
    /// Lines without a price, and why.
    pub unpriced: Vec<UnpricedAnswer>,
    /// Lines by class.
    pub subtotals: Vec<SubtotalAnswer>,
    /// From direct cost to price; the amounts add up to `total`.
    pub build_up: Vec<StepAnswer>,
    /// Before profit and charged tax.
    pub cost: Amount,
    /// The price; null while a line has none.
    pub total: Option<Amount>,
    /// The sum of the lines that have a price.
    pub priced_so_far: Amount,
    /// Price over new surface area.
    pub per_area: Option<PerAreaAnswer>,
    /// From whom to buy, where the job asked for the cheapest.
    pub choices: Vec<ChoiceAnswer>,
    /// Rates for what comes on top of the price, before tax that is charged on it.
    pub extras: Vec<ExtraAnswer>,
}

/// One supplier that was chosen.
#[derive(Debug, Serialize, ToSchema)]
pub struct ChoiceAnswer {
    /// Code of the supplier.
    pub supplier: String,
    /// Its name.
    pub name: String,
    /// Codes of what is bought there.
    pub items: Vec<String>,
    /// What the compared order costs with this choice: goods, deliveries, short loads, waiting,
    /// least orders.
    pub landed: Amount,
    /// The cheapest way without this supplier; null where there is none.
    pub runner_up: Option<RunnerUpAnswer>,
}

/// The cheapest way without a supplier.
#[derive(Debug, Serialize, ToSchema)]
pub struct RunnerUpAnswer {
    /// Names of those who would take its place.
    pub suppliers: Vec<String>,
    /// What the compared order would cost.
    pub landed: Amount,
    /// How much more that is.
    pub difference: Amount,
}

impl ChoiceAnswer {
    fn of(choice: Choice) -> Self {
        Self {
            supplier: choice.supplier,
            name: choice.name,
            items: choice.items,
            landed: choice.landed,
            runner_up: choice.runner_up.map(|next| RunnerUpAnswer {
                suppliers: next.suppliers,
                landed: next.landed,
                difference: next.difference,
            }),
        }
    }
}

/// One price line.
#[derive(Debug, Serialize, ToSchema)]
pub struct PriceLineAnswer {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Where it stands in the build-up.
    pub class: Class,
    /// JSON Pointer into this answer: where the quantity comes from.
    pub of: String,
    /// What must be there on site.
    pub order: Shown,
    /// What is charged.
    pub quantity: Shown,
    /// `by_order`, `by_use`, `by_hours`, `as_required` or `by_supplier`.
    pub charged: &'static str,
    /// Jobs that one piece serves, where charged by use.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uses: Option<u32>,
    /// For one unit.
    pub unit_price: UnitPrice,
    /// Quantity times unit price, rounded half away from zero.
    pub extended: Amount,
    /// What the unit price is made of, where it is a sum: the components of an hour.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(required = false)]
    pub made_of: Vec<ComponentAnswer>,
    /// A price that would have gone before, had its last day not passed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expired: Option<ExpiredAnswer>,
    /// Where the price came from; null for what the job itself states.
    pub price_from: Option<PricedFrom>,
}

/// A part of what an hour costs.
#[derive(Debug, Serialize, ToSchema)]
pub struct ComponentAnswer {
    /// What it is.
    pub name: String,
    /// For one hour.
    pub unit_price: UnitPrice,
}

impl ComponentAnswer {
    fn of(component: Component) -> Self {
        Self {
            name: component.name,
            unit_price: component.unit_price,
        }
    }
}

/// A price whose last day has passed; it was not used.
#[derive(Debug, Serialize, ToSchema)]
pub struct ExpiredAnswer {
    /// Code of the supplier.
    pub supplier: String,
    /// The last day on which it held.
    pub valid_until: Day,
    /// The job that it was quoted for; null where it held for all.
    pub quoted_for: Option<String>,
}

impl ExpiredAnswer {
    fn of(expired: Expired) -> Self {
        Self {
            supplier: expired.supplier,
            valid_until: Day(expired.valid_until),
            quoted_for: expired.quoted_for,
        }
    }
}

/// A line without a price.
#[derive(Debug, Serialize, ToSchema)]
pub struct UnpricedAnswer {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// JSON Pointer into this answer.
    pub of: String,
    /// Why, and what to do.
    pub why: String,
}

/// The lines of one class.
#[derive(Debug, Serialize, ToSchema)]
pub struct SubtotalAnswer {
    /// Class.
    pub class: Class,
    /// Their sum.
    pub amount: Amount,
}

/// One step of the build-up.
#[derive(Debug, Serialize, ToSchema)]
pub struct StepAnswer {
    /// `direct`, `tax_paid`, `contingency`, `overhead`, `profit`, `tax_charged`.
    pub step: &'static str,
    /// What it is reckoned on.
    pub of: &'static str,
    /// Its rate.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rate: Option<RatePct>,
    /// For profit: `margin` (base x m / (1 - m)) or `markup` (base x m).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub basis: Option<&'static str>,
    /// What the rate is applied to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub base: Option<Amount>,
    /// What it adds.
    pub amount: Amount,
}

/// Money over area.
#[derive(Debug, Serialize, ToSchema)]
pub struct PerAreaAnswer {
    /// Money.
    pub amount: Amount,
    /// `ft2` or `m2`.
    pub unit: &'static str,
}

impl PriceAnswer {
    /// A price and the rates for extras, shown.
    pub fn of((priced, extras): (Priced, Vec<Extra>), view: View) -> Self {
        let system = view.system;
        Self {
            extras: extras
                .into_iter()
                .map(|extra| ExtraAnswer::of(extra, view))
                .collect(),
            currency: priced.currency.code().to_owned(),
            complete: priced.complete(),
            subtotals: Class::ALL
                .iter()
                .map(|class| SubtotalAnswer {
                    class: *class,
                    amount: priced.subtotal(*class),
                })
                .collect(),
            build_up: priced
                .build_up
                .steps
                .iter()
                .map(|step| show_step(step, system))
                .collect(),
            cost: priced.build_up.cost(),
            total: priced.total(),
            priced_so_far: priced.priced_so_far(),
            per_area: per_area(&priced, system),
            lines: priced.lines.into_iter().map(show_line).collect(),
            unpriced: priced.unpriced.into_iter().map(show_unpriced).collect(),
            choices: priced.choices.into_iter().map(ChoiceAnswer::of).collect(),
        }
    }
}

pub(super) fn per_area(priced: &Priced, system: System) -> Option<PerAreaAnswer> {
    let (area, unit) = match system {
        System::Us => (priced.area.square_feet(), "ft2"),
        System::Metric => (priced.area.square_metres(), "m2"),
    };
    priced
        .per_area(area)
        .map(|amount| PerAreaAnswer { amount, unit })
}

fn show_line(line: PriceLine) -> PriceLineAnswer {
    let (charged, uses) = match line.charged {
        Charged::ByOrder => ("by_order", None),
        Charged::ByUse { uses } => ("by_use", Some(uses)),
        Charged::ByHours => ("by_hours", None),
        Charged::AsRequired => ("as_required", None),
        Charged::BySupplier => ("by_supplier", None),
    };
    PriceLineAnswer {
        code: line.code,
        description: line.description,
        class: line.class,
        of: line.of,
        order: in_unit(line.order, line.unit),
        quantity: in_unit(line.quantity, line.unit),
        charged,
        uses,
        unit_price: line.unit_price,
        extended: line.extended,
        made_of: line.made_of.into_iter().map(ComponentAnswer::of).collect(),
        expired: line.expired.map(ExpiredAnswer::of),
        price_from: line.from,
    }
}

fn in_unit(quantity: Decimal4, unit: SaleUnit) -> Shown {
    Shown::new(quantity.number(), unit.word(), 4)
}

fn show_unpriced(missing: Unpriced) -> UnpricedAnswer {
    UnpricedAnswer {
        code: missing.code,
        description: missing.description,
        of: missing.of,
        why: missing.why,
    }
}

fn show_step(step: &Step, system: System) -> StepAnswer {
    let basis =
        (step.name == StepName::Profit).then_some(if step.margin { "margin" } else { "markup" });
    StepAnswer {
        step: match step.name {
            StepName::Direct => "direct",
            StepName::TaxPaid => "tax_paid",
            StepName::Contingency => "contingency",
            StepName::Overhead => "overhead",
            StepName::Profit => "profit",
            StepName::TaxCharged => "tax_charged",
        },
        of: step.of,
        rate: step.rate.map(|rate| RatePct::of(rate.percent(), system)),
        basis,
        base: step.base,
        amount: step.amount,
    }
}
