//! Figures of money, and of what they rest on.
//!
//! Invariants: a class that an unpriced line may belong to is not known, and neither is any sum over
//! it; what is known is printed as the build-up prints it, so that a row adds up to the cent.

use super::shape::digits;
use super::{Found, NotKnown, Shown};
use crate::catalog::Class;
use crate::estimate::{BookUsed, Estimate};
use crate::price::{Priced, StepName, Unpriced};
use crate::quantity::money::Amount;
use crate::quantity::shown::Pct;
use crate::quantity::{Percent, System};
use crate::takeoff::Line;

/// Most lines that are named.
const NAMED_AT_MOST: usize = 3;

/// Which lines have no price, by their codes; none where all have one.
pub(super) fn no_price_for(estimate: &Estimate) -> Option<String> {
    name_codes(estimate.priced.unpriced.iter())
}

fn name_codes<'a>(lines: impl Iterator<Item = &'a Unpriced>) -> Option<String> {
    let mut codes: Vec<&str> = lines.map(|line| line.code.as_str()).collect();
    codes.dedup();
    let more = match codes.len().saturating_sub(NAMED_AT_MOST) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    codes.truncate(NAMED_AT_MOST);
    (!codes.is_empty()).then(|| format!("no price for {}{more}", codes.join(", ")))
}

fn unpriced_why(lines: String) -> NotKnown {
    NotKnown::Unpriced(format!("{lines}; add it to the price book"))
}

/// An error while any line has no price.
fn whole(estimate: &Estimate) -> Result<(), NotKnown> {
    match no_price_for(estimate) {
        Some(lines) => Err(unpriced_why(lines)),
        None => Ok(()),
    }
}

/// The class that an unpriced line would stand in; none where that is not known.
fn class_of(line: &Unpriced, estimate: &Estimate) -> Option<Class> {
    if line.of.starts_with("/crew_hours") {
        return Some(Class::Labour);
    }
    let index = line.of.strip_prefix("/takeoff/lines/")?.parse().ok()?;
    let taken_off: &[Line] = &estimate.takeoff.lines;
    taken_off.get::<usize>(index).map(|line| line.class)
}

fn class(estimate: &Estimate, class: Class) -> Found {
    // What the site asks as a percentage is a fee on all that has a price.
    let on_all = class == Class::Fee && !estimate.job.requirements.is_empty();
    let open = estimate.priced.unpriced.iter();
    let open = open.filter(|line| on_all || class_of(line, estimate).is_none_or(|of| of == class));
    match name_codes(open) {
        Some(lines) => Err(unpriced_why(lines)),
        None => Ok(money(estimate.priced.subtotal(class))),
    }
}

fn money(amount: Amount) -> Shown {
    Shown::Money(amount.to_string())
}

fn step(estimate: &Estimate, name: StepName) -> Found {
    whole(estimate)?;
    let currency = &estimate.priced.currency;
    let amount = Amount::zero(currency) + estimate.priced.build_up.amount(name);
    Ok(money(amount))
}

/// The amounts that a row adds up, by the names of their figures, of a job that is priced whole: five
/// classes and their sum, then the steps from there to the price.
pub fn money_row(priced: &Priced) -> [(&'static str, Amount); 12] {
    let class = |class| priced.subtotal(class);
    let step = |name| Amount::zero(&priced.currency) + priced.build_up.amount(name);
    [
        ("material", class(Class::Material)),
        ("labour", class(Class::Labour)),
        ("equipment", class(Class::Equipment)),
        ("fees", class(Class::Fee)),
        ("subs", class(Class::Sub)),
        ("direct", step(StepName::Direct)),
        ("tax_paid", step(StepName::TaxPaid)),
        ("contingency", step(StepName::Contingency)),
        ("overhead", step(StepName::Overhead)),
        ("profit", step(StepName::Profit)),
        ("tax_charged", step(StepName::TaxCharged)),
        ("total", priced.build_up.total()),
    ]
}

pub(super) fn material(estimate: &Estimate) -> Found {
    class(estimate, Class::Material)
}

pub(super) fn labour(estimate: &Estimate) -> Found {
    class(estimate, Class::Labour)
}

pub(super) fn equipment(estimate: &Estimate) -> Found {
    class(estimate, Class::Equipment)
}

pub(super) fn fees(estimate: &Estimate) -> Found {
    class(estimate, Class::Fee)
}

pub(super) fn subs(estimate: &Estimate) -> Found {
    class(estimate, Class::Sub)
}

pub(super) fn direct(estimate: &Estimate) -> Found {
    step(estimate, StepName::Direct)
}

pub(super) fn tax_paid(estimate: &Estimate) -> Found {
    step(estimate, StepName::TaxPaid)
}

pub(super) fn contingency(estimate: &Estimate) -> Found {
    step(estimate, StepName::Contingency)
}

pub(super) fn overhead(estimate: &Estimate) -> Found {
    step(estimate, StepName::Overhead)
}

pub(super) fn profit(estimate: &Estimate) -> Found {
    step(estimate, StepName::Profit)
}

pub(super) fn tax_charged(estimate: &Estimate) -> Found {
    step(estimate, StepName::TaxCharged)
}

pub(super) fn cost(estimate: &Estimate) -> Found {
    whole(estimate)?;
    Ok(money(estimate.priced.build_up.cost()))
}

pub(super) fn total(estimate: &Estimate) -> Found {
    whole(estimate)?;
    Ok(money(estimate.priced.build_up.total()))
}

/// A statistic of a whole price, or why it has none.
fn statistic(estimate: &Estimate, (of, why): (Option<Amount>, &str)) -> Found {
    whole(estimate)?;
    of.map(money).ok_or_else(|| NotKnown::undetermined(why))
}

pub(super) fn price_per_area(estimate: &Estimate) -> Found {
    let priced = &estimate.priced;
    let per_area = priced.per_area(match estimate.job.units {
        System::Us => priced.area.square_feet(),
        System::Metric => priced.area.square_metres(),
    });
    statistic(estimate, (per_area, "there is no new surface"))
}

pub(super) fn per_crew_day(estimate: &Estimate) -> Found {
    let per_day = estimate.priced.per_crew_day();
    statistic(estimate, (per_day, "there are no paid hours"))
}

/// Profit as a percentage of something.
fn profit_over(estimate: &Estimate, base: Amount) -> Found {
    whole(estimate)?;
    if base.is_zero() {
        return Err(NotKnown::undetermined(
            "the price is nothing, and so has no percentage",
        ));
    }
    let profit = estimate.priced.build_up.amount(StepName::Profit);
    let percent = Percent::from_percent(profit.number() / base.number() * 100.0);
    Ok(digits(Pct::of(percent, estimate.job.units).shown()))
}

pub(super) fn margin_pct(estimate: &Estimate) -> Found {
    let build_up = &estimate.priced.build_up;
    profit_over(
        estimate,
        build_up.total() - build_up.amount(StepName::TaxCharged),
    )
}

pub(super) fn markup_pct(estimate: &Estimate) -> Found {
    profit_over(estimate, estimate.priced.build_up.cost())
}

pub(super) fn status(estimate: &Estimate) -> Found {
    let whole = estimate.priced.complete();
    Ok(Shown::text(if whole { "ok" } else { "incomplete" }))
}

pub(super) fn unpriced(estimate: &Estimate) -> Found {
    Ok(Shown::count(estimate.priced.unpriced.len()))
}

pub(super) fn complete(estimate: &Estimate) -> Found {
    Ok(Shown::count(u8::from(estimate.priced.complete())))
}

pub(super) fn top_unknown(estimate: &Estimate) -> Found {
    let Some(unknown) = estimate.unknowns.first() else {
        return Ok(Shown::text("none"));
    };
    let swing = Amount::from_minor(unknown.swing(), &estimate.priced.currency);
    Ok(Shown::text(format!("{} (+-{swing})", unknown.ask)))
}

pub(super) fn assumptions(estimate: &Estimate) -> Found {
    Ok(Shown::count(estimate.assumptions.len()))
}

pub(super) fn oldest_price(estimate: &Estimate) -> Found {
    let days = estimate.priced.oldest_price_days().map(Shown::count);
    days.ok_or_else(|| NotKnown::undetermined("no price of a book was used"))
}

pub(super) fn valid_until(estimate: &Estimate) -> Found {
    let used = estimate.priced.lines.iter();
    let ends = used.filter_map(|line| line.from.as_ref()?.valid_until);
    let first = ends.min().map(|day| Shown::text(day.to_string()));
    first.ok_or_else(|| NotKnown::undetermined("no price used has a last day in the book"))
}

/// The book that was asked for, the first of its chain.
fn used(estimate: &Estimate) -> Result<&BookUsed, NotKnown> {
    let first = estimate.computed_with.books.first();
    first.ok_or_else(|| NotKnown::undetermined("no price book was used"))
}

pub(super) fn book(estimate: &Estimate) -> Found {
    Ok(Shown::text(&used(estimate)?.code))
}

pub(super) fn revision(estimate: &Estimate) -> Found {
    Ok(Shown::count(used(estimate)?.revision))
}

pub(super) fn as_of(estimate: &Estimate) -> Found {
    Ok(Shown::text(estimate.computed_with.as_of.to_string()))
}

pub(super) fn currency(estimate: &Estimate) -> Found {
    Ok(Shown::text(estimate.priced.currency.code()))
}

pub(super) fn fingerprint(estimate: &Estimate) -> Found {
    Ok(Shown::text(&estimate.fingerprint))
}
