//! Rates for extras: what an hour, a trip, a yard on top of the price is charged.
//!
//! Invariants: every rate is a cost of the book raised by the steps of the build-up and rounded to the
//! currency once at its end; one whose item has no price is told, never left out. Tax that is charged on
//! the price comes on top. Absent: the lines of the price, which no rate here changes.

use super::labour::hour;
use super::setting::{Profit, Settings};
use super::{Parts, is_of_plant};
use crate::catalog::{Catalog, Charge, Class, PriceList};
use crate::crew::Rates;
use crate::job::{self, TaxBase};
use crate::quantity::money::{Amount, Decimal4, Percentage, UnitPrice, extend};
use crate::quantity::{Area, Citation, Length, System, Verified, Volume, round_to};
use serde::Deserialize;
use std::sync::LazyLock;

/// A rate for what comes on top of the price.
#[derive(Clone, Debug, PartialEq)]
pub struct Extra {
    /// Its code.
    pub code: String,
    /// What is charged.
    pub what: String,
    /// For how much of it.
    pub unit: &'static str,
    /// What it costs us, or why that is not known.
    pub cost: Result<UnitPrice, String>,
    /// What it is charged, before tax on the price.
    pub charged: Option<Amount>,
    /// How that came about.
    pub working: String,
    /// Where the rule comes from.
    pub source: Citation,
}

#[derive(Debug, Deserialize)]
struct Rows {
    rate: RateRows,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RateRows {
    hour: Row,
    trip: Row,
    truck_wait: Row,
    concrete: Row,
    depth: Row,
    dig: Row,
    protection: Row,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    what: String,
    #[serde(default)]
    item: String,
    #[serde(default)]
    task: String,
    #[serde(default)]
    amount: f64,
    #[serde(default)]
    hours: f64,
    #[serde(default)]
    once: f64,
    #[serde(default)]
    days: f64,
    document: String,
    section: Option<String>,
    verified: Verified,
}

static ROWS: LazyLock<RateRows> = LazyLock::new(|| {
    let rows: Rows =
        toml::from_str(include_str!("extras.toml")).expect("the embedded rows are read by a test");
    rows.rate
});

/// What rates are made of, beside the job.
#[derive(Clone, Copy)]
pub struct ExtrasFrom<'a> {
    /// What the job takes.
    pub parts: Parts<'a>,
    /// Sizes and coverages.
    pub catalog: &'a Catalog,
    /// Crew rates.
    pub rates: &'a Rates,
    /// Prices.
    pub list: &'a PriceList,
}

/// The rates for extras of a job.
pub fn price_extras(from: ExtrasFrom<'_>) -> Vec<Extra> {
    let pricer = Pricer {
        from,
        settings: Settings::of(from.parts.job, from.list),
    };
    let members = &from.parts.job.crew.members;
    let classes = members.iter().map(|member| member.class);
    let mut extras: Vec<Extra> = classes.map(|class| pricer.hour(class)).collect();
    extras.extend([
        pricer.trip(),
        pricer.truck_wait(),
        pricer.depth(),
        pricer.concrete(),
        pricer.dig(),
        pricer.protection(),
    ]);
    extras
}

/// A cost in the making: the whole of it, the material in it, and its parts in words.
#[derive(Clone, Debug, Default)]
struct Cost {
    whole: UnitPrice,
    material: UnitPrice,
    words: Vec<String>,
}

/// Parts of one; ratios are taken in millionths.
const MILLION: f64 = 1e6;

fn times(price: UnitPrice, by: f64) -> UnitPrice {
    let number = libm::round(by.clamp(0.0, 1e6) * MILLION) as i64;
    price
        .times_ratio(number, MILLION as i64)
        .unwrap_or_default()
}

impl Cost {
    /// Adds so many of what costs `price` each.
    fn add(&mut self, what: &str, (amount, price): (f64, UnitPrice), class: Class) {
        let added = times(price, amount);
        self.whole = self.whole + added;
        if class == Class::Material {
            self.material = self.material + added;
        }
        let amount = round_to(amount, 6);
        self.words
            .push(format!("{what}: {amount} × {price} = {added}"));
    }

    /// All of it taken so often.
    fn taken(mut self, by: f64, words: &str) -> Self {
        self.whole = times(self.whole, by);
        self.material = times(self.material, by);
        self.words.push(format!("{words}: {}", self.whole));
        self
    }
}

struct Pricer<'a> {
    from: ExtrasFrom<'a>,
    settings: Settings,
}

impl Pricer<'_> {
    fn metric(&self) -> bool {
        self.from.parts.job.units == System::Metric
    }

    fn made(
        &self,
        code: &str,
        (row, what): (&Row, String),
        unit: &'static str,
        cost: Result<Cost, String>,
    ) -> Extra {
        let charged = cost.as_ref().ok().map(|cost| self.charge(cost));
        let working = match (&cost, &charged) {
            (Ok(cost), Some((_, steps))) => format!("{}; {steps}", cost.words.join("; ")),
            _ => String::new(),
        };
        Extra {
            code: code.to_owned(),
            what,
            unit,
            cost: cost.map(|cost| cost.whole),
            charged: charged.map(|(amount, _)| amount),
            working,
            source: Citation::new(&row.document, row.section.as_deref(), row.verified),
        }
    }

    /// A cost raised as the build-up raises it, and the steps in words.
    fn charge(&self, cost: &Cost) -> (Amount, String) {
        let settings = &self.settings;
        let tax = match settings.tax_base {
            TaxBase::Materials => cost.material.share(settings.tax_rate),
            TaxBase::None | TaxBase::Price => UnitPrice::ZERO,
        };
        let taxed = cost.whole + tax;
        let reserve = settings.contingency.millionths() + settings.warranty.millionths();
        let reserve = taxed.share(Percentage::from_millionths(reserve));
        let overhead = (taxed + reserve).share(settings.overhead);
        let base = taxed + reserve + overhead;
        let profit = match settings.profit {
            Profit::Markup(rate) => base.share(rate),
            Profit::Margin(rate) => {
                let whole = Percentage::WHOLE.millionths();
                let part = rate.millionths();
                base.times_ratio(part, whole - part).unwrap_or_default()
            }
        };
        let currency = self.from.list.currency();
        let charged = extend(Decimal4::ONE, base + profit, &currency);
        let words = format!(
            "tax paid {tax}, contingency {reserve}, overhead {overhead}, profit {profit}: {charged}"
        );
        (charged, words)
    }

    fn wage(&self, class: job::Class) -> Result<(Class, UnitPrice), String> {
        let hour = hour(class.as_str(), self.from.list)?;
        Ok((hour.class, hour.unit_price))
    }

    /// What one of an item costs; of what serves many jobs, one job's share.
    fn item(&self, code: &str) -> Result<(Class, UnitPrice), String> {
        let list = self.from.list;
        let plant = self.from.parts.takeoff.mix().and_then(|mix| {
            let asked = list.ask(&mix.code, Some(mix.order), None).ok()?;
            Some(asked.supplier.to_owned())
        });
        let quote = match plant.filter(|_| is_of_plant(code)) {
            Some(plant) => list.quote_at(code, None, &plant),
            None => list.quote(code),
        };
        let quote =
            quote.map_err(|_| format!("the book {} has no price for {code}", list.book()))?;
        let price = match quote.item.charge {
            Charge::BoughtForJob => quote.unit_price,
            Charge::FromStock { uses, .. } => times(quote.unit_price, 1.0 / f64::from(uses.max(1))),
        };
        Ok((quote.item.class, price))
    }

    fn hour(&self, class: job::Class) -> Extra {
        let cost = self.wage(class).map(|(of, price)| {
            let mut cost = Cost::default();
            cost.add(class.as_str(), (1.0, price), of);
            cost
        });
        let what = format!("{}, {}", ROWS.hour.what, class.as_str());
        self.made(
            &format!("hour-{}", class.as_str()),
            (&ROWS.hour, what),
            "h",
            cost,
        )
    }

    fn trip(&self) -> Extra {
        let crew = &self.from.parts.job.crew;
        let each = crew.least_hours.max(crew.travel * 2.0).hours();
        let each_paid = |member: &job::Member| self.wage(member.class);
        let wages: Result<Vec<_>, String> = crew.members.iter().map(each_paid).collect();
        let cost = wages.map(|wages| {
            let mut cost = Cost::default();
            for (member, (of, price)) in crew.members.iter().zip(wages) {
                let what = format!("{} {} for {each} h", member.count, member.class.as_str());
                cost.add(&what, (each * f64::from(member.count), price), of);
            }
            cost
        });
        self.made("trip", (&ROWS.trip, ROWS.trip.what.clone()), "each", cost)
    }

    fn truck_wait(&self) -> Extra {
        let row = &ROWS.truck_wait;
        let cost = self.item(&row.item).map(|(of, price)| {
            let mut cost = Cost::default();
            cost.add(&row.item, (1.0, price), of);
            cost
        });
        self.made("truck-wait", (row, row.what.clone()), "min", cost)
    }

    /// A unit volume of concrete with its placing.
    fn a_volume(&self, volume: Volume) -> Result<Cost, String> {
        let parts = self.from.parts;
        let mix = parts.takeoff.mix();
        let mix = mix.ok_or("no concrete of ours is ordered by the truck")?;
        let (of, price) = self.item(&mix.code)?;
        let placing = parts.job.crew.placing.as_str();
        let rows = &self.from.catalog.concrete.placing;
        let row = rows.iter().find(|row| row.method == placing);
        let hours = row.map_or(0.0, |row| row.hours_a_yard.hours()) * volume.cubic_yards();
        let (wage_of, wage) = self.wage(job::Class::Labourer)?;
        let mut cost = Cost::default();
        cost.add(&mix.code, (volume.cubic_yards(), price), of);
        cost.add("hours of placing", (hours, wage), wage_of);
        Ok(cost)
    }

    fn volume(&self) -> (Volume, &'static str) {
        match self.metric() {
            true => (Volume::from_cubic_metres(1.0), "m3"),
            false => (Volume::from_cubic_yards(1.0), "yd3"),
        }
    }

    fn concrete(&self) -> Extra {
        let (volume, unit) = self.volume();
        let row = &ROWS.concrete;
        self.made(
            "concrete",
            (row, row.what.clone()),
            unit,
            self.a_volume(volume),
        )
    }

    fn depth(&self) -> Extra {
        let (depth, area, unit) = match self.metric() {
            true => (
                Length::from_millimetres(10.0),
                Area::from_square_metres(1.0),
                "m2 and cm",
            ),
            false => (
                Length::from_inches(1.0),
                Area::from_square_feet(1.0),
                "ft2 and in",
            ),
        };
        let row = &ROWS.depth;
        let (whole, name) = self.volume();
        let share = area * depth / whole;
        let words = format!("1 {unit} is {} {name}", round_to(share, 6));
        let cost = self.a_volume(whole).map(|cost| cost.taken(share, &words));
        self.made("depth", (row, row.what.clone()), unit, cost)
    }

    fn dig(&self) -> Extra {
        let row = &ROWS.dig;
        let (volume, unit) = self.volume();
        let rates = self.from.rates.rows();
        let rate = rates.iter().find(|rate| rate.code == row.task);
        let hours = rate.map_or(0.0, |rate| rate.likely) * volume.cubic_yards();
        let cost = self.wage(job::Class::Labourer).map(|(of, price)| {
            let mut cost = Cost::default();
            cost.add("hours of digging", (hours, price), of);
            cost
        });
        self.made("dig-hand", (row, row.what.clone()), unit, cost)
    }

    fn protection(&self) -> Extra {
        let row = &ROWS.protection;
        let area = self.from.parts.geometry.finished_area().square_feet();
        let cost = self.item(&row.item).and_then(|(of, price)| {
            let (wage_of, wage) = self.wage(job::Class::Labourer)?;
            let mut cost = Cost::default();
            cost.add(&row.item, (row.amount * area, price), of);
            cost.add(
                "hours of covering",
                (row.once + row.hours * area, wage),
                wage_of,
            );
            Ok(cost.taken(1.0 / row.days.max(1.0), &format!("over {} days", row.days)))
        });
        self.made("protection-day", (row, row.what.clone()), "day", cost)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read() {
        assert!(ROWS.protection.days > 0.0 && !ROWS.dig.task.is_empty());
        assert!(!ROWS.truck_wait.item.is_empty());
    }
}
