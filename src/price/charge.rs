//! Price lines: what is charged for what was taken off, worked and required.
//!
//! Invariants: goods bought for the job are charged by what must be ordered, stock by the share of
//! its life that the job uses; both quantities stand on the line; what others supply has no line;
//! a code that the list does not price becomes `Unpriced`, never zero.

use super::Parts;
use super::terms::Terms;
use crate::catalog::{
    Charge, Class, Component, Expired, Item, NoPrice, PriceList, PricedFrom, SaleUnit,
};
use crate::job::{By, Job};
use crate::quantity::money::{Amount, Currency, Decimal4, Percentage, UnitPrice, extend};
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
    /// By a supplier's own table of charges.
    BySupplier,
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
    /// What the unit price is made of, where it is a sum.
    pub made_of: Vec<Component>,
    /// Code of who sells it; none for the crew's own hours and what the job itself states.
    pub supplier: Option<String>,
    /// A price that would have gone before, had its last day not passed.
    pub expired: Option<Expired>,
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
    let terms = Terms::of(parts, list);
    let taken_off = parts.takeoff.lines.iter().enumerate();
    let ours = taken_off.filter(|(_, line)| {
        line.by == By::Us && line.order != Decimal4::default() && !terms.replaces(&line.code)
    });
    let mut charged: Vec<_> = ours
        .map(|(index, line)| {
            let of = format!("/takeoff/lines/{index}");
            charge_taken_off(line, of, (list, terms.only(&line.code)))
        })
        .collect();
    let goods: Vec<PriceLine> = charged.iter().flatten().cloned().collect();
    charged.extend(terms.charge(parts, &goods));
    charged.extend(super::labour::charge_labour(parts, list));
    let (mut lines, mut unpriced) = (Vec::new(), Vec::new());
    for line in charged {
        match line {
            Ok(line) => lines.push(line),
            Err(missing) => unpriced.push(missing),
        }
    }
    // Read in the order of the build-up, and within a class in the order of the takeoff.
    lines.sort_by_key(|line| line.class);
    (lines, unpriced)
}

fn charge_taken_off(
    line: &Line,
    of: String,
    (list, only): (&PriceList, Option<&str>),
) -> Result<PriceLine, Unpriced> {
    let refuse = |why: String| Unpriced {
        code: line.code.clone(),
        description: line.description.clone(),
        of: of.clone(),
        why,
    };
    let no_price = |why: NoPrice| refuse(why_not(&why, list));
    let order_of = |item: &Item| {
        ordered(line, item).ok_or_else(|| {
            let unit = item.sale_unit;
            refuse(format!(
                "the book sells it by the {unit}, which cannot be worked out here"
            ))
        })
    };
    // The order depends on the item, and the price on the order.
    let item = list.ask(&line.code, None, only).map_err(no_price)?.item;
    let order = order_of(item)?;
    let quote = match only {
        Some(supplier) => list.quote_at(&line.code, Some(order), supplier),
        None => list.quote_for(&line.code, order),
    };
    let quote = quote.map_err(no_price)?;
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
        made_of: Vec::new(),
        supplier: Some(quote.supplier.to_owned()),
        expired: quote.expired,
        from: Some(quote.from),
    })
}

/// Why there is no price, and what to do.
pub(super) fn why_not(why: &NoPrice, list: &PriceList) -> String {
    format!("{why}; add a price to the book {}", list.book())
}

/// What must be ordered, in the item's sale unit, in its step and not under its minimum.
pub(super) fn ordered(line: &Line, item: &Item) -> Option<Decimal4> {
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

pub(super) fn charged_quantity(order: Decimal4, item: &Item) -> Option<(Decimal4, Charged)> {
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

/// Fees and percentages that the site asks; a percentage is of the direct cost without them.
pub(super) fn charge_requirements(
    job: &Job,
    direct: Amount,
    currency: &Currency,
) -> Vec<PriceLine> {
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
            made_of: Vec::new(),
            supplier: None,
            expired: None,
            from: None,
        });
    }
    required
}

/// An amount as the price of one.
pub(super) fn price_of(amount: Amount) -> UnitPrice {
    let scale = 10_i64.pow(4 - u32::from(amount.places().min(4)));
    UnitPrice::from_ten_thousandths(amount.minor().saturating_mul(scale))
}
