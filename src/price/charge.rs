//! Price lines: what is charged for what was taken off, worked and required.
//!
//! Invariants: goods bought for the job are charged by what must be ordered, stock by the share of
//! its life that the job uses; both quantities stand on the line; what others supply has no line;
//! a code that the list does not price becomes `Unpriced`, never zero.

use super::Parts;
use crate::catalog::{Charge, Class, Item, NoPrice, PriceList, PricedFrom, SaleUnit};
use crate::job::{By, Job};
use crate::quantity::money::{Amount, Currency, Decimal4, Percentage, UnitPrice, extend};
use crate::quantity::{Span, ceil_to};
use crate::takeoff::{Line, Net};

/// How a line's quantity came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Charged {
    /// By what must be ordered, left-overs included.
    ByOrder,
    /// By the share of its life that the job uses.
    ByUse {
        /// Jobs that one piece serves.
        uses: u32,
    },
    /// By paid hours.
    ByHours,
    /// As the site asks.
    AsRequired,
}

/// One price line; `extended` is `quantity` times `unit_price`, rounded once.
#[derive(Clone, Debug, PartialEq)]
pub struct PriceLine {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Where it stands in the build-up.
    pub class: Class,
    /// JSON Pointer into the answer: where the quantity comes from.
    pub of: String,
    /// What must be there on site, in the sale unit.
    pub order: Decimal4,
    /// What is charged, in the sale unit, rounded to its pay step.
    pub quantity: Decimal4,
    /// The sale unit.
    pub unit: SaleUnit,
    /// How the quantity came about.
    pub charged: Charged,
    /// For one sale unit.
    pub unit_price: UnitPrice,
    /// Quantity times unit price.
    pub extended: Amount,
    /// Where the price came from; none for what the job itself states.
    pub from: Option<PricedFrom>,
}

/// A line that could not be priced.
#[derive(Clone, Debug, PartialEq)]
pub struct Unpriced {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// JSON Pointer into the answer.
    pub of: String,
    /// Why, and what to do.
    pub why: String,
}

pub(super) fn charge_lines(parts: Parts<'_>, list: &PriceList) -> (Vec<PriceLine>, Vec<Unpriced>) {
    let (mut lines, mut unpriced) = (Vec::new(), Vec::new());
    let ours = parts
        .takeoff
        .lines
        .iter()
        .enumerate()
        .filter(|(_, line)| line.by == By::Us);
    for (index, line) in ours.filter(|(_, line)| line.order != Decimal4::default()) {
        match charge_taken_off(line, format!("/takeoff/lines/{index}"), list) {
            Ok(line) => lines.push(line),
            Err(missing) => unpriced.push(missing),
        }
    }
    for (class, paid) in paid_by_class(parts) {
        match charge_hours(class.as_str(), paid, list) {
            Ok(line) => lines.push(line),
            Err(missing) => unpriced.push(missing),
        }
    }
    // Read in the order of the build-up, and within a class in the order of the takeoff.
    lines.sort_by_key(|line| line.class);
    (lines, unpriced)
}

fn charge_taken_off(line: &Line, of: String, list: &PriceList) -> Result<PriceLine, Unpriced> {
    let refuse = |why: String| Unpriced {
        code: line.code.clone(),
        description: line.description.clone(),
        of: of.clone(),
        why,
    };
    let quote = list
        .quote(&line.code)
        .map_err(|why| refuse(why_not(why, list)))?;
    let order = ordered(line, quote.item).ok_or_else(|| {
        refuse(format!(
            "the book sells it by the {}, which cannot be worked out here",
            quote.item.sale_unit
        ))
    })?;
    let (quantity, charged) = charged_quantity(order, quote.item)
        .ok_or_else(|| refuse("its quantity is beyond what a line can hold".to_owned()))?;
    Ok(PriceLine {
        code: line.code.clone(),
        description: line.description.clone(),
        class: quote.item.class,
        of: of.clone(),
        order,
        quantity,
        unit: quote.item.sale_unit,
        charged,
        unit_price: quote.unit_price,
        extended: extend(quantity, quote.unit_price, &list.currency()),
        from: Some(quote.from),
    })
}

fn why_not(why: NoPrice, list: &PriceList) -> String {
    format!("{why}; add a price to the book {}", list.book())
}

/// What must be ordered, in the item's sale unit, in its step and not under its minimum.
fn ordered(line: &Line, item: &Item) -> Option<Decimal4> {
    let number = if line.order_unit == item.sale_unit.word() {
        line.order.number()
    } else {
        net_in(line.quantity, item.sale_unit)? * (1.0 + line.waste.fraction())
    };
    let order = Decimal4::up_to_step(number, item.order_step)?;
    Some(order.max(item.minimum))
}

/// A net quantity in a sale unit; none where the unit measures something else.
fn net_in(net: Net, unit: SaleUnit) -> Option<f64> {
    Some(match (net, unit) {
        (Net::Volume(volume), SaleUnit::Yd3) => volume.cubic_yards(),
        (Net::Volume(volume), SaleUnit::M3) => volume.cubic_metres(),
        (Net::Volume(volume), SaleUnit::Ft3) => volume.cubic_feet(),
        (Net::Liquid(volume), SaleUnit::Gal) => volume.gallons(),
        (Net::Liquid(volume), SaleUnit::Litre) => volume.litres(),
        (Net::Mass(mass), SaleUnit::Ton) => mass.short_tons(),
        (Net::Mass(mass), SaleUnit::Tonne) => mass.tonnes(),
        (Net::Mass(mass), SaleUnit::Lb) => mass.pounds(),
        (Net::Mass(mass), SaleUnit::Kg) => mass.kilograms(),
        (Net::Length(length), SaleUnit::Ft) => length.feet(),
        (Net::Length(length), SaleUnit::M) => length.metres(),
        (Net::Area(area), SaleUnit::Ft2) => area.square_feet(),
        (Net::Area(area), SaleUnit::M2) => area.square_metres(),
        (Net::Count(count), SaleUnit::Each) => count,
        (Net::Time(span), SaleUnit::Hour) => span.hours(),
        (Net::Time(span), SaleUnit::Minute) => span.minutes(),
        _ => return None,
    })
}

fn charged_quantity(order: Decimal4, item: &Item) -> Option<(Decimal4, Charged)> {
    match item.charge {
        Charge::BoughtForJob => Some((order, Charged::ByOrder)),
        Charge::FromStock { uses, pay_step } => {
            let share = order.number() / f64::from(uses.max(1));
            Some((
                Decimal4::up_to_step(share, pay_step)?,
                Charged::ByUse { uses },
            ))
        }
    }
}

/// Paid hours by class, over all visits, in the order of the classes.
fn paid_by_class(parts: Parts<'_>) -> Vec<(crate::job::Class, Span)> {
    let mut paid: Vec<(crate::job::Class, Span)> = Vec::new();
    for (class, hours) in parts
        .hours
        .visits
        .iter()
        .flat_map(|visit| &visit.paid_by_class)
    {
        match paid.iter_mut().find(|(known, _)| known == class) {
            Some((_, sum)) => *sum += *hours,
            None => paid.push((*class, *hours)),
        }
    }
    paid.sort_by_key(|(class, _)| *class);
    paid.retain(|(_, hours)| !hours.is_zero());
    paid
}

/// Hours are paid in quarters.
const QUARTER: f64 = 0.25;

fn charge_hours(class: &str, paid: Span, list: &PriceList) -> Result<PriceLine, Unpriced> {
    let code = format!("labour-{class}");
    let of = "/crew_hours/visits".to_owned();
    let refuse = |why| Unpriced {
        code: code.clone(),
        description: format!("Paid hours, {class}"),
        of: of.clone(),
        why,
    };
    let quote = list
        .quote(&code)
        .map_err(|why| refuse(why_not(why, list)))?;
    let quantity = Decimal4::nearest(ceil_to(paid.hours(), QUARTER), 2)
        .ok_or_else(|| refuse("its quantity is beyond what a line can hold".to_owned()))?;
    Ok(PriceLine {
        description: format!("Paid hours, {class}"),
        class: quote.item.class,
        order: quantity,
        quantity,
        unit: quote.item.sale_unit,
        charged: Charged::ByHours,
        unit_price: quote.unit_price,
        extended: extend(quantity, quote.unit_price, &list.currency()),
        from: Some(quote.from),
        code: code.clone(),
        of: of.clone(),
    })
}

/// Fees and percentages that the site asks; a percentage is of the direct cost without them.
pub(super) fn charge_requirements(
    job: &Job,
    lines: &[PriceLine],
    currency: &Currency,
) -> Vec<PriceLine> {
    let direct: Amount = lines.iter().map(|line| line.extended).sum();
    let mut required = Vec::new();
    for (index, requirement) in job.requirements.iter().enumerate() {
        let amount = match (requirement.fee, requirement.percent) {
            (Some(fee), _) => fee,
            (None, Some(percent)) => price_of(direct.percent(Percentage::of(percent))),
            (None, None) => continue,
        };
        required.push(PriceLine {
            code: "site-requirement".to_owned(),
            description: requirement.name.clone(),
            class: Class::Fee,
            of: format!("/job/requirements/{index}"),
            order: Decimal4::whole(1),
            quantity: Decimal4::whole(1),
            unit: SaleUnit::Each,
            charged: Charged::AsRequired,
            unit_price: amount,
            extended: extend(Decimal4::whole(1), amount, currency),
            from: None,
        });
    }
    required
}

/// An amount as the price of one.
fn price_of(amount: Amount) -> UnitPrice {
    let scale = 10_i64.pow(4 - u32::from(amount.places().min(4)));
    UnitPrice::from_ten_thousandths(amount.minor().saturating_mul(scale))
}
