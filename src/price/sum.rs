//! What a job comes to, without the lines that say why: for pricing one job many times.
//!
//! Invariants: the amount is that of [`super::price_job`] to the minor unit (a law of the tests); what
//! one of an item costs is looked up once. Absent: any text.

use super::charge::{charge_requirements, charged_quantity, ordered};
use super::labour::{charged_hours, hour, office_hour, paid_by_class, premium};
use super::terms::OfSuppliers;
use super::{BuildUp, Parts, Settings, price_job};
use crate::catalog::{Asked, Class, PriceList};
use crate::job::{self, By, Job};
use crate::quantity::Span;
use crate::quantity::money::{Amount, Currency, Decimal4, UnitPrice, extend};
use crate::takeoff::Line;
use std::cell::RefCell;

/// Prices that were looked up for one job, to be used again for jobs that differ from it in what is
/// built and worked, and in nothing that is said of the price.
pub struct Lookups<'a> {
    list: &'a PriceList,
    settings: Settings,
    /// Whether suppliers charge by tables of their own, which takes whole lines.
    by_tables: bool,
    items: Known<Item<'a>, Asked<'a>>,
    hours: Known<(job::Class, Paid), (Class, UnitPrice)>,
}

/// An item, and the one supplier who may sell it.
type Item<'a> = (String, Option<&'a str>);

/// What was looked up so far, and what was found; so few that a search beats an index.
struct Known<K, V>(RefCell<Vec<(K, Option<V>)>>);

impl<K, V: Copy> Known<K, V> {
    fn none() -> Self {
        Self(RefCell::default())
    }

    fn or_find(&self, is: impl Fn(&K) -> bool, find: impl FnOnce() -> (K, Option<V>)) -> Option<V> {
        let mut known = self.0.borrow_mut();
        if let Some((_, value)) = known.iter().find(|(key, _)| is(key)) {
            return *value;
        }
        let (key, value) = find();
        known.push((key, value));
        value
    }
}

/// How an hour is paid.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Paid {
    Plain,
    Premium,
}

/// The sums that a price is built up from.
struct Sums {
    direct: Amount,
    materials: Amount,
}

impl Sums {
    fn add(&mut self, class: Class, amount: Amount) {
        self.direct += amount;
        if class == Class::Material {
            self.materials += amount;
        }
    }
}

impl<'a> Lookups<'a> {
    /// None yet.
    pub fn of(job: &Job, list: &'a PriceList) -> Self {
        Self {
            list,
            settings: Settings::of(job, list),
            by_tables: list.has_supplier_tables(),
            items: Known::none(),
            hours: Known::none(),
        }
    }

    /// What one costs of the least order.
    fn first(&self, code: &str, only: Option<&'a str>) -> Option<Asked<'a>> {
        let same = |(known, of): &Item<'_>| *of == only && known == code;
        let find = || {
            let asked = self.list.ask(code, None, only).ok();
            ((code.to_owned(), only), asked)
        };
        self.items.or_find(same, find)
    }

    fn of_order(&self, code: &str, order: Decimal4, only: Option<&'a str>) -> Option<Asked<'a>> {
        match self.first(code, only)? {
            first if first.whatever_the_order => Some(first),
            _ => self.list.ask(code, Some(order), only).ok(),
        }
    }

    /// Where a line stands in the build-up, and what it costs; none where it has no price.
    fn cost(&self, line: &Line, only: Option<&'a str>) -> Option<(Class, Amount)> {
        let order = ordered(line, self.first(&line.code, only)?.item)?;
        let asked = self.of_order(&line.code, order, only)?;
        let (quantity, _) = charged_quantity(order, asked.item)?;
        let amount = extend(quantity, asked.unit_price, &self.list.currency());
        Some((asked.item.class, amount))
    }

    fn cost_of_hours(&self, of: (job::Class, Paid), hours: Span) -> Option<(Class, Amount)> {
        let (class, unit_price) = self.hour(of)?;
        let quantity = charged_hours(hours)?;
        Some((class, extend(quantity, unit_price, &self.list.currency())))
    }

    fn cost_of_office(&self, hours: Span) -> Option<(Class, Amount)> {
        let hour = (!hours.is_zero())
            .then(|| office_hour(self.list))
            .flatten()?;
        let quantity = charged_hours(hours)?;
        let amount = extend(quantity, hour.unit_price, &self.list.currency());
        Some((hour.class, amount))
    }

    fn hour(&self, of: (job::Class, Paid)) -> Option<(Class, UnitPrice)> {
        let (class, paid) = of;
        let find = || {
            let hour = match paid {
                Paid::Plain => hour(class.as_str(), self.list),
                Paid::Premium => premium(class.as_str(), self.list),
            };
            let found = hour.ok().map(|hour| (hour.class, hour.unit_price));
            (of, found)
        };
        self.hours.or_find(|known| *known == of, find)
    }

    fn seller(&self, line: Option<&Line>) -> Option<&'a str> {
        let line = line?;
        let asked = self.of_order(&line.code, line.order, None)?;
        Some(asked.supplier)
    }
}

/// The sum of all steps of a job's price; lines without a price add nothing.
pub fn sum_up(parts: Parts<'_>, lookups: &Lookups<'_>) -> Amount {
    let list = lookups.list;
    if lookups.by_tables {
        return price_job(parts, list).build_up.total();
    }
    let currency = list.currency();
    let mut sums = direct(parts, lookups, &currency);
    for line in charge_requirements(parts.job, sums.direct, &currency) {
        sums.add(line.class, line.extended);
    }
    BuildUp::of_sums((sums.direct, sums.materials), &lookups.settings).total()
}

/// Goods and hours.
fn direct(parts: Parts<'_>, lookups: &Lookups<'_>, currency: &Currency) -> Sums {
    let mut sums = Sums {
        direct: Amount::zero(currency),
        materials: Amount::zero(currency),
    };
    let lines = &parts.takeoff.lines;
    let sellers = OfSuppliers {
        plant: lookups.seller(parts.takeoff.mix()),
        quarry: lookups.seller(parts.takeoff.stone()),
    };
    let ours = lines
        .iter()
        .filter(|line| line.by == By::Us && line.order != Decimal4::default());
    let goods = ours.filter_map(|line| lookups.cost(line, sellers.only(&line.code)));
    let paid = paid_by_class(parts)
        .into_iter()
        .filter_map(|(class, hours)| lookups.cost_of_hours((class, Paid::Plain), hours));
    let over = parts.hours.overtime.iter();
    let over =
        over.filter_map(|over| lookups.cost_of_hours((over.class, Paid::Premium), over.hours()));
    let office = lookups.cost_of_office(parts.hours.office);
    for (class, amount) in goods.chain(paid).chain(over).chain(office) {
        sums.add(class, amount);
    }
    sums
}
