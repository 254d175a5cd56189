//! Lines of paid hours: by the wage schedule where the book has one, else by an item.
//!
//! Invariants: an hour and an overtime premium are sums of components that are shown; hours above
//! the limit of a day or a week bring a line of their own, which is left open where the book prices
//! an hour as a whole. Absent: hours of its own making.

use super::Parts;
use super::charge::{Charged, PriceLine, Unpriced, why_not};
use crate::catalog::{
    Class, Component, NoPrice, OFFICE_CLASS, OWN_WAGES, PriceList, PricedFrom, SaleUnit,
    sum_components,
};
use crate::quantity::money::{Decimal4, UnitPrice, extend};
use crate::quantity::{Span, ceil_to};

/// Hours are paid in quarters.
const QUARTER: f64 = 0.25;

/// What an hour costs.
pub(super) struct Hour {
    pub(super) class: Class,
    unit: SaleUnit,
    pub(super) unit_price: UnitPrice,
    made_of: Vec<Component>,
    from: PricedFrom,
}

/// Hours to be charged.
struct Hours<'a> {
    code: String,
    description: String,
    of: &'a str,
    hours: Span,
}

pub(super) fn charge_labour(
    parts: Parts<'_>,
    list: &PriceList,
) -> Vec<Result<PriceLine, Unpriced>> {
    let paid = paid_by_class(parts).into_iter().map(|(class, hours)| {
        let asked = Hours {
            code: format!("labour-{}", class.as_str()),
            description: format!("Paid hours, {}", class.as_str()),
            of: "/crew_hours/visits",
            hours,
        };
        charge(asked, hour(class.as_str(), list), list)
    });
    let over = parts.hours.overtime.iter().map(|over| {
        let class = over.class.as_str();
        let limit = if over.daily.is_zero() {
            "the week's limit"
        } else {
            "the limits of day and week"
        };
        let asked = Hours {
            code: format!("labour-{class}-overtime"),
            description: format!("Premium for hours above {limit}, {class}"),
            of: "/crew_hours/overtime",
            hours: over.hours(),
        };
        charge(asked, premium(class, list), list)
    });
    paid.chain(over).chain(charge_office(parts, list)).collect()
}

/// Hours in the office; no line where the book knows no such hour, which a caution tells.
fn charge_office(parts: Parts<'_>, list: &PriceList) -> Option<Result<PriceLine, Unpriced>> {
    let hours = parts.hours.office;
    let hour = (!hours.is_zero()).then(|| office_hour(list)).flatten()?;
    let asked = Hours {
        code: OFFICE.to_owned(),
        description: "Hours in the office, certified payrolls".to_owned(),
        of: "/crew_hours/office_hours",
        hours,
    };
    Some(charge(asked, Ok(hour), list))
}

/// The item of an hour in the office.
const OFFICE: &str = "labour-office";

/// An hour in the office by the schedule, else by an item.
pub(super) fn office_hour(list: &PriceList) -> Option<Hour> {
    let by_wage = list.wage(OFFICE_CLASS);
    let by_wage = by_wage.map(|(wage, from)| by_components(wage.components(), from));
    by_wage.or_else(|| by_item(OFFICE, list).ok())
}

/// Hours as they are charged; none beyond what a line can hold.
pub(super) fn charged_hours(hours: Span) -> Option<Decimal4> {
    Decimal4::nearest(ceil_to(hours.hours(), QUARTER), 2)
}

fn charge(
    asked: Hours<'_>,
    hour: Result<Hour, String>,
    list: &PriceList,
) -> Result<PriceLine, Unpriced> {
    let refuse = |why| Unpriced {
        code: asked.code.clone(),
        description: asked.description.clone(),
        of: asked.of.to_owned(),
        why,
    };
    let hour = hour.map_err(refuse)?;
    let quantity = charged_hours(asked.hours)
        .ok_or_else(|| refuse("its quantity is beyond what a line can hold".to_owned()))?;
    Ok(PriceLine {
        class: hour.class,
        order: quantity,
        quantity,
        unit: hour.unit,
        charged: Charged::ByHours,
        unit_price: hour.unit_price,
        extended: extend(quantity, hour.unit_price, &list.currency()),
        made_of: hour.made_of,
        supplier: None,
        expired: None,
        from: Some(hour.from),
        code: asked.code.clone(),
        description: asked.description.clone(),
        of: asked.of.to_owned(),
    })
}

/// An hour by the schedule; by an item where the crew's own schedule does not hold the class.
pub(super) fn hour(class: &str, list: &PriceList) -> Result<Hour, String> {
    if let Some((wage, from)) = list.wage(class) {
        return Ok(by_components(wage.components(), from));
    }
    if list.schedule() != OWN_WAGES {
        return Err(no_wage(list));
    }
    by_item(&format!("labour-{class}"), list)
}

fn by_item(code: &str, list: &PriceList) -> Result<Hour, String> {
    let quote = list.quote(code).map_err(|why| why_not(&why, list))?;
    Ok(Hour {
        class: quote.item.class,
        unit: quote.item.sale_unit,
        unit_price: quote.unit_price,
        made_of: Vec::new(),
        from: quote.from,
    })
}

pub(super) fn premium(class: &str, list: &PriceList) -> Result<Hour, String> {
    match list.wage(class) {
        Some((wage, from)) => Ok(by_components(wage.premium_components(), from)),
        None if list.schedule() == OWN_WAGES => Err(format!(
            "the book prices this hour as a whole; add a wage with its base to the schedule {OWN_WAGES} of the book {}",
            list.book()
        )),
        None => Err(no_wage(list)),
    }
}

fn no_wage(list: &PriceList) -> String {
    let schedule = list.schedule().to_owned();
    why_not(&NoPrice::NoWage { schedule }, list)
}

fn by_components(made_of: Vec<Component>, from: PricedFrom) -> Hour {
    Hour {
        class: Class::Labour,
        unit: SaleUnit::Hour,
        unit_price: sum_components(&made_of),
        made_of,
        from,
    }
}

/// Paid hours by class, over all visits, in the order of the classes.
pub(super) fn paid_by_class(parts: Parts<'_>) -> Vec<(crate::job::Class, Span)> {
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
