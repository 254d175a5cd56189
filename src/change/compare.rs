//! The whole comparison.
//!
//! Invariants: the steps add up to the net; a step that has no price of its own is told together
//! with the next that has one. Absent: where either side came from.

use super::build_up::{StepChange, compare_steps};
use super::cause::Cause;
use super::figures::Figures;
use super::lines::{LineChange, compare_lines};
use super::mix::Changed;
use super::sections::{Between, Section};
use super::side::Side;
use crate::catalog::{Class, words};
use crate::job::JobRequest;
use crate::quantity::money::{Amount, Currency, Percentage};
use serde::Serialize;

words! {
    /// How causes were told apart.
    Method as "ChangeMethod" {
        /// Two jobs: whole estimates, one section of the job replaced after the other.
        Sections = "sections",
        /// At least one answer: line by line, quantity before price.
        Lines = "lines",
    }
}

/// One side, told.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct SideTold {
    /// Name of the job.
    pub name: String,
    /// Name of the answer.
    pub fingerprint: String,
    /// The price; null while a line has none.
    pub total: Option<Amount>,
    /// Of it, the tax charged on the price; null where the price is.
    pub tax: Option<Amount>,
    /// Rate of that tax; null where none is charged.
    pub tax_rate: Option<Percentage>,
    /// Codes of what has no price.
    pub unpriced: Vec<String>,
}

/// What one cause, or several that could not be told apart, moved.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct CauseStep {
    /// The cause; several where what lies between them has no price of its own.
    pub causes: Vec<Cause>,
    /// What it moved; null where the net is.
    pub amount: Option<Amount>,
    /// Of it, tax charged on the price; null where the net is.
    pub tax: Option<Amount>,
    /// The price up to here; null where the net is.
    pub price: Option<Amount>,
    /// What changed in the job; empty between two answers.
    pub changed: Vec<Changed>,
}

/// What changed, and what that is worth.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Comparison {
    /// How causes were told apart.
    pub method: Method,
    /// Currency of every amount (ISO 4217).
    pub currency: Currency,
    /// True where a price of either side comes from a book that is invented.
    pub demo: bool,
    /// The earlier side.
    pub before: SideTold,
    /// The later side.
    pub after: SideTold,
    /// The later price less the earlier one, both with the tax charged on them; null while a line of either has no price.
    pub net: Option<Amount>,
    /// Why there is no net.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub net_unknown: Option<String>,
    /// The net by cause, in this order; the amounts add up to it.
    pub causes: Vec<CauseStep>,
    /// Every price line that differs.
    pub lines: Vec<LineChange>,
    /// What stands on the lines; without `direct`, which is the lines, the changes of both add up to the net.
    pub build_up: Vec<StepChange>,
    /// Quantities, hours, days and the verdict.
    pub figures: Figures,
}

/// A price, and what of it is tax charged on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Price {
    /// With the tax.
    pub total: Amount,
    /// The tax.
    pub tax: Amount,
}

/// Compares two jobs along the way between them; `price` gives the price of a job on it, where it has one.
pub fn compare_by_sections(
    (before, after): (&Side, &Side),
    way: Vec<Section>,
    price: impl FnMut(&JobRequest) -> Option<Price>,
) -> Comparison {
    let mut told = compare_sides(before, after, Method::Sections);
    let ends = before.price().zip(after.price());
    told.causes = match ends {
        Some(ends) => walk(way, ends, price),
        None => way.into_iter().map(CauseStep::open).collect(),
    };
    told
}

/// Compares two sides line by line.
pub fn compare_by_lines(before: &Side, after: &Side) -> Comparison {
    let mut told = compare_sides(before, after, Method::Lines);
    let amounts = by_line_cause(&told.lines, &told.build_up, &after.currency);
    let mut so_far = before.total;
    told.causes = amounts
        .into_iter()
        .map(|(cause, amount, tax)| {
            let amount = told.net.map(|_| amount);
            so_far = so_far.zip(amount).map(|(sum, amount)| sum + amount);
            CauseStep {
                causes: vec![cause],
                amount,
                tax: told.net.map(|_| tax),
                price: so_far,
                changed: Vec::new(),
            }
        })
        .collect();
    told
}

fn compare_sides(before: &Side, after: &Side, method: Method) -> Comparison {
    let net = before.total.zip(after.total).map(|(was, is)| is - was);
    Comparison {
        method,
        currency: after.currency,
        demo: before.demo || after.demo,
        before: SideTold::of(before),
        after: SideTold::of(after),
        net,
        net_unknown: net.is_none().then(|| say_unpriced(before, after)),
        causes: Vec::new(),
        lines: compare_lines(before, after),
        build_up: compare_steps(before, after),
        figures: Figures::of(before, after),
    }
}

impl SideTold {
    fn of(side: &Side) -> Self {
        Self {
            name: side.name.clone(),
            fingerprint: side.fingerprint.clone(),
            total: side.total,
            tax: side.price().map(|price| price.tax),
            tax_rate: side.tax_rate(),
            unpriced: side.unpriced.clone(),
        }
    }
}

fn say_unpriced(before: &Side, after: &Side) -> String {
    let say = |side: &Side, which: &str| {
        let codes = side.unpriced.join(", ");
        (!codes.is_empty()).then(|| format!("{which} has no price for {codes}"))
    };
    let said: Vec<String> = [say(before, "before"), say(after, "after")]
        .into_iter()
        .flatten()
        .collect();
    said.join("; ")
}

impl CauseStep {
    /// A step of a way that has no net.
    fn open(section: Section) -> Self {
        Self {
            causes: vec![section.cause],
            amount: None,
            tax: None,
            price: None,
            changed: section.changed,
        }
    }
}

/// The steps of a way whose two ends are priced.
struct Walk {
    steps: Vec<CauseStep>,
    /// Causes that wait for a price, and what they changed.
    waiting: (Vec<Cause>, Vec<Changed>),
    so_far: Price,
}

impl Walk {
    fn stay(&mut self, cause: Cause) {
        // In the decimals of the currency.
        let nothing = self.so_far.total.nothing();
        self.steps.push(CauseStep {
            causes: vec![cause],
            amount: Some(nothing),
            tax: Some(nothing),
            price: Some(self.so_far.total),
            changed: Vec::new(),
        });
    }

    fn tell(&mut self, price: Price) {
        let (causes, changed) = std::mem::take(&mut self.waiting);
        self.steps.push(CauseStep {
            causes,
            amount: Some(price.total - self.so_far.total),
            tax: Some(price.tax - self.so_far.tax),
            price: Some(price.total),
            changed,
        });
        self.so_far = price;
    }
}

fn walk(
    way: Vec<Section>,
    (first, last): (Price, Price),
    mut price: impl FnMut(&JobRequest) -> Option<Price>,
) -> Vec<CauseStep> {
    let moves = |section: &Section| !matches!(section.job, Between::Same);
    let end = way.iter().rposition(moves);
    let mut walk = Walk {
        steps: Vec::new(),
        waiting: Default::default(),
        so_far: first,
    };
    for (index, section) in way.into_iter().enumerate() {
        if !moves(&section) {
            walk.stay(section.cause);
            continue;
        }
        walk.waiting.0.push(section.cause);
        walk.waiting.1.extend(section.changed);
        let reached = match section.job {
            // The last change leads to the later job itself.
            _ if Some(index) == end => Some(last),
            Between::Job(job) => price(&job),
            Between::Same | Between::Unreadable => None,
        };
        if let Some(reached) = reached {
            walk.tell(reached);
        }
    }
    walk.steps
}

fn by_line_cause(
    lines: &[LineChange],
    steps: &[StepChange],
    currency: &Currency,
) -> [(Cause, Amount, Amount); 5] {
    let zero = Amount::zero(currency);
    let labour = |line: &&LineChange| line.class == Class::Labour;
    let above = || steps.iter().filter(|step| step.step != "direct");
    let goods = lines.iter().filter(|line| !labour(line));
    let goods = goods.map(|line| line.by_quantity).sum::<Amount>();
    let hours = lines.iter().filter(labour);
    let hours = hours.map(|line| line.by_quantity).sum::<Amount>();
    let prices = lines.iter().map(|line| line.by_price).sum::<Amount>();
    let bases = above().map(|step| step.by_base).sum::<Amount>();
    let rates = above().map(|step| step.by_rate).sum::<Amount>();
    let mut tax = steps.iter().filter(|step| step.step == "tax_charged");
    let tax = tax.next().map(|step| (step.by_base, step.by_rate));
    let (of_base, of_rate) = tax.unwrap_or((zero, zero));
    [
        (Cause::Quantity, zero + goods, zero),
        (Cause::Rate, zero + hours, zero),
        (Cause::Price, zero + prices, zero),
        (Cause::BuildUp, zero + bases, of_base),
        (Cause::Settings, zero + rates, of_rate),
    ]
}
