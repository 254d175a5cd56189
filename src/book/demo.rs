//! The demo book: an invented crew in a town that does not exist, so that a first start can price.
//!
//! Invariants: it is marked as invented in its name, in its files and in every estimate priced from
//! it; it prices every item that a takeoff can name. Absent here: storing it.

use super::BookError;
use super::table::read_burdens;
use crate::catalog::{
    Change, Charge, Class, Head, History, Holds, Item, Price, Profit, ReadyMixTerms, Revision,
    SaleUnit, SalesTax, Settings, Supplier, TaxBase, Wage,
};
use crate::quantity::money::{Currency, Decimal4, Percentage, UnitPrice};
use chrono::{DateTime, NaiveDate};
use serde::{Deserialize, de::DeserializeOwned};
use std::collections::{BTreeMap, BTreeSet};

const SETTINGS: &str = include_str!("demo/settings.csv");
const SUPPLIERS: &str = include_str!("demo/suppliers.csv");
const ITEMS: &str = include_str!("demo/items.csv");
const PRICES: &str = include_str!("demo/prices.csv");
const WAGES: &str = include_str!("demo/wages.csv");

#[derive(Deserialize)]
struct SettingLine {
    name: String,
    value: String,
}

#[derive(Deserialize)]
struct SupplierLine {
    code: String,
    name: String,
    short_load_below_yd3: Option<Decimal4>,
    truck_most_yd3: Option<Decimal4>,
    free_unloading_min_per_yd3: Option<Decimal4>,
}

#[derive(Deserialize)]
struct ItemLine {
    code: String,
    description: String,
    class: Class,
    sale_unit: SaleUnit,
    order_step: Decimal4,
    minimum: Decimal4,
    holds: Option<Decimal4>,
    holds_unit: Option<SaleUnit>,
    uses: Option<u32>,
    pay_step: Option<Decimal4>,
}

#[derive(Deserialize)]
struct PriceLine {
    item: String,
    supplier: String,
    unit_price: UnitPrice,
    effective_from: NaiveDate,
}

#[derive(Deserialize)]
struct WageLine {
    schedule: String,
    class: String,
    effective_from: NaiveDate,
    base: UnitPrice,
    fringe: UnitPrice,
    overtime_premium: String,
    burdens: String,
}

/// The demo book's head and its one revision.
///
/// # Errors
/// [`BookError::Damaged`] when the embedded files cannot be read; a test shows that they can.
pub fn demo_book() -> Result<(Head, Change), BookError> {
    let lines: Vec<SettingLine> = lines(SETTINGS, "settings")?;
    let named = Named(
        lines
            .into_iter()
            .map(|line| (line.name, line.value))
            .collect(),
    );
    let change = Change {
        note: "Demo book, all names and prices invented".to_owned(),
        settings: Some(read_settings(&named)?),
        suppliers: read_suppliers()?,
        items: read_items()?,
        prices: read_prices()?,
        wages: read_wages()?,
        ..Change::default()
    };
    Ok((read_head(&named)?, change))
}

/// The demo book as a first start shows it, without any store.
///
/// # Errors
/// Those of [`demo_book`].
pub fn demo_history() -> Result<History, BookError> {
    let (head, change) = demo_book()?;
    let revision = Revision {
        number: 1,
        made_at: DateTime::UNIX_EPOCH,
        note: change.note.clone(),
    };
    Ok(History::empty(head).with(revision, &change))
}

/// What the demo book of this program holds and an older one does not: items with their prices, suppliers,
/// wages of classes that it has not. Nothing that it knows is changed, and what was taken out stays out.
///
/// # Errors
/// Those of [`demo_book`].
pub fn demo_since(known: &History) -> Result<Change, BookError> {
    let (_, whole) = demo_book()?;
    let latest = known.latest();
    let of = |wage: &Wage| (wage.schedule.clone(), wage.class.clone());
    let paid: BTreeSet<_> = known.wages(latest).map(of).collect();
    let unknown = |code: &str| known.item(code).is_none();
    let is_new = |supplier: &Supplier| known.supplier(&supplier.code, latest).is_none();
    Ok(Change {
        note: format!("What came with version {}", env!("CARGO_PKG_VERSION")),
        suppliers: kept(whole.suppliers, is_new),
        items: kept(whole.items, |item| unknown(&item.code)),
        prices: kept(whole.prices, |price| unknown(&price.item)),
        wages: kept(whole.wages, |wage| !paid.contains(&of(wage))),
        ..Change::default()
    })
}

fn kept<T>(all: Vec<T>, keep: impl Fn(&T) -> bool) -> Vec<T> {
    all.into_iter().filter(keep).collect()
}

/// Settings by name.
struct Named(BTreeMap<String, String>);

impl Named {
    fn text(&self, name: &str) -> Result<&str, BookError> {
        self.0
            .get(name)
            .map(String::as_str)
            .ok_or_else(|| damaged(name))
    }

    fn read<T: std::str::FromStr>(&self, name: &str) -> Result<T, BookError> {
        self.text(name)?.parse().map_err(|_| damaged(name))
    }
}

fn read_head(named: &Named) -> Result<Head, BookError> {
    let currency = Currency::of_code(named.text("currency")?).ok_or_else(|| damaged("currency"))?;
    Ok(Head {
        code: named.text("code")?.to_owned(),
        name: named.text("name")?.to_owned(),
        currency,
        demo: true,
        inherits: None,
    })
}

fn read_settings(named: &Named) -> Result<Settings, BookError> {
    let percent = |name: &str| named.read::<Percentage>(name);
    let profit = match named.text("profit_basis")? {
        "margin" => Profit::Margin(percent("profit")?),
        "markup" => Profit::Markup(percent("profit")?),
        _ => return Err(damaged("profit_basis")),
    };
    let base = TaxBase::from_word(named.text("sales_tax_base")?);
    Ok(Settings {
        overhead: percent("overhead")?,
        contingency: percent("contingency")?,
        profit,
        warranty: percent("warranty")?,
        sales_tax: SalesTax {
            rate: percent("sales_tax")?,
            base: base.ok_or_else(|| damaged("sales_tax_base"))?,
        },
        travel_minutes: named.read("travel_minutes")?,
        price_age_days: named.read("price_age_days")?,
    })
}

fn read_suppliers() -> Result<Vec<Supplier>, BookError> {
    let lines: Vec<SupplierLine> = lines(SUPPLIERS, "suppliers")?;
    let read = |line: SupplierLine| Supplier {
        code: line.code,
        name: line.name,
        terms: ReadyMixTerms {
            short_load_below_yd3: line.short_load_below_yd3,
            truck_most_yd3: line.truck_most_yd3,
            free_unloading_min_per_yd3: line.free_unloading_min_per_yd3,
        },
        ..Supplier::default()
    };
    Ok(lines.into_iter().map(read).collect())
}

fn read_items() -> Result<Vec<Item>, BookError> {
    let lines: Vec<ItemLine> = lines(ITEMS, "items")?;
    lines.into_iter().map(read_item).collect()
}

fn read_item(line: ItemLine) -> Result<Item, BookError> {
    let holds = match (line.holds, line.holds_unit) {
        (Some(quantity), Some(unit)) => Some(Holds { quantity, unit }),
        (None, None) => None,
        _ => return Err(damaged(&line.code)),
    };
    let charge = match (line.uses, line.pay_step) {
        (Some(uses), Some(pay_step)) => Charge::FromStock { uses, pay_step },
        (None, None) => Charge::BoughtForJob,
        _ => return Err(damaged(&line.code)),
    };
    Ok(Item {
        code: line.code,
        description: line.description,
        class: line.class,
        sale_unit: line.sale_unit,
        order_step: line.order_step,
        minimum: line.minimum,
        holds,
        charge,
        supplier: None,
        index: None,
    })
}

fn read_prices() -> Result<Vec<Price>, BookError> {
    let lines: Vec<PriceLine> = lines(PRICES, "prices")?;
    let read = |line: PriceLine| Price {
        item: line.item,
        supplier: line.supplier,
        unit_price: Some(line.unit_price),
        effective_from: line.effective_from,
        from_quantity: Decimal4::ZERO,
        valid_until: None,
        quoted_for: None,
    };
    Ok(lines.into_iter().map(read).collect())
}

fn read_wages() -> Result<Vec<Wage>, BookError> {
    let lines: Vec<WageLine> = lines(WAGES, "wages")?;
    lines.into_iter().map(read_wage).collect()
}

fn read_wage(line: WageLine) -> Result<Wage, BookError> {
    let burdens = read_burdens(&line.burdens).ok_or_else(|| damaged("burdens"))?;
    Ok(Wage {
        schedule: line.schedule,
        class: line.class,
        effective_from: line.effective_from,
        base: line.base,
        fringe: line.fringe,
        premium: line
            .overtime_premium
            .parse()
            .map_err(|_| damaged("overtime_premium"))?,
        burdens,
    })
}

fn lines<T: DeserializeOwned>(text: &str, file: &str) -> Result<Vec<T>, BookError> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let read: Result<Vec<T>, csv::Error> = reader.deserialize().collect();
    read.map_err(|error| BookError::damaged(format!("demo file {file}: {error}")))
}

fn damaged(what: &str) -> BookError {
    BookError::damaged(format!("demo book: {what}"))
}

#[cfg(test)]
mod tests;
