//! The table of items and prices: reading a row, and writing what a book holds.
//!
//! Invariants: a row may say something of an item, of a price, or of both; an item or a supplier
//! that the book only inherits becomes its own with the first price that stands here. Absent here:
//! whether anything is changed by it, which comparing the drafted with the known shows.

use super::draft::{Draft, Drafted, Known, Plan, put};
use super::line::Line;
use super::list::NONE;
use super::{Kind, Written, supplier};
use crate::catalog::{
    Charge, Class, Holds, Item, Price, PriceList, SaleUnit, check_code, check_item, check_price,
};
use crate::quantity::Faults;
use crate::quantity::money::Decimal4;
use chrono::NaiveDate;
use std::collections::{BTreeMap, BTreeSet};

/// What a price is known by: item, supplier, job, day, quantity.
pub(super) type Key = (String, String, Option<String>, NaiveDate, Decimal4);

/// Columns that say something of the item itself.
const PARTICULARS: &[&str] = &[
    "description",
    "class",
    "sale_unit",
    "order_step",
    "minimum",
    "holds",
    "holds_unit",
    "charge",
    "uses",
    "pay_step",
    "preferred_supplier",
    "index",
];
/// Columns that say something of a price.
const OF_PRICE: &[&str] = &[
    "supplier",
    "supplier_name",
    "from_quantity",
    "unit_price",
    "effective_from",
    "valid_until",
    "quoted_for",
];
/// The word that takes a price back.
const WITHDRAWN: &str = "withdrawn";
/// The column in which a price's own cells begin.
const FIRST_OF_PRICE: usize = 13;

pub(super) fn read(line: &mut Line<'_>, draft: &mut Draft, known: Known<'_>) {
    let Some(code) = line.required("item", "") else {
        return;
    };
    let mut faults = Faults::default();
    check_code(code, "/item", &mut faults);
    line.take(faults);
    read_item(line, code, (draft, known));
    if OF_PRICE.iter().any(|name| line.text(name).is_some()) {
        read_price(line, code, (draft, known));
    }
}

fn read_item(line: &mut Line<'_>, code: &str, (draft, known): (&mut Draft, Known<'_>)) {
    let drafted = draft.items.get(code);
    let stated = PARTICULARS.iter().any(|name| line.text(name).is_some());
    if drafted.is_some() && !stated {
        return;
    }
    // Each row is read against what the book holds, so that the order of rows makes no difference.
    let base = known.list.item(code);
    if base.is_none() && !stated {
        let why = "; the book does not know this item yet";
        line.required("description", why);
        return;
    }
    let Some(item) = overlay(line, code, base) else {
        return;
    };
    let mut faults = Faults::default();
    check_item(&item, "", &mut faults);
    line.take(faults);
    put(&mut draft.items, (code.to_owned(), item), line, "item");
}

/// The item with what the row says of it.
fn overlay(line: &mut Line<'_>, code: &str, base: Option<&Item>) -> Option<Item> {
    if base.is_none() {
        for name in ["description", "class", "sale_unit"] {
            line.required(name, "");
        }
    }
    let description = line.text("description").map(str::to_owned);
    let class = line.word_in("class", Class::from_word, Class::WORDS);
    let sale_unit = line.word_in("sale_unit", SaleUnit::from_word, SaleUnit::WORDS);
    let order_step = line.number_in("order_step");
    let minimum = line.number_in("minimum");
    let item = Item {
        code: code.to_owned(),
        description: description.or_else(|| base.map(|base| base.description.clone()))?,
        class: class.or_else(|| base.map(|base| base.class))?,
        sale_unit: sale_unit.or_else(|| base.map(|base| base.sale_unit))?,
        order_step: order_step
            .or_else(|| base.map(|base| base.order_step))
            .unwrap_or(Decimal4::ONE),
        minimum: minimum
            .or_else(|| base.map(|base| base.minimum))
            .unwrap_or_default(),
        holds: holds(line, base),
        charge: charge(line, base),
        supplier: code_or_none(
            line,
            "preferred_supplier",
            base.and_then(|base| base.supplier.clone()),
        ),
        index: code_or_none(line, "index", base.and_then(|base| base.index.clone())),
    };
    line.is_sound().then_some(item)
}

fn code_or_none(line: &Line<'_>, name: &str, base: Option<String>) -> Option<String> {
    match line.text(name) {
        None => base,
        Some(text) if text.eq_ignore_ascii_case(NONE) => None,
        Some(text) => Some(text.to_owned()),
    }
}

fn holds(line: &mut Line<'_>, base: Option<&Item>) -> Option<Holds> {
    let base = base.and_then(|base| base.holds);
    let says_none = |text: Option<&str>| text.is_some_and(|text| text.eq_ignore_ascii_case(NONE));
    if says_none(line.text("holds")) {
        return None;
    }
    if line.text("holds").is_none() && line.text("holds_unit").is_none() {
        return base;
    }
    let quantity = line.number_in("holds").or(base.map(|base| base.quantity));
    let unit = line
        .word_in("holds_unit", SaleUnit::from_word, SaleUnit::WORDS)
        .or(base.map(|base| base.unit));
    match (quantity, unit) {
        (Some(quantity), Some(unit)) => Some(Holds { quantity, unit }),
        (quantity, _) if line.is_sound() => {
            let name = if quantity.is_none() {
                "holds"
            } else {
                "holds_unit"
            };
            line.required(name, "; holds and holds_unit go together");
            None
        }
        _ => None,
    }
}

fn charge(line: &mut Line<'_>, base: Option<&Item>) -> Charge {
    const WORDS: &[&str] = &["bought_for_job", "from_stock"];
    let base = base.map_or(Charge::BoughtForJob, |base| base.charge);
    let from_stock = |word: &str| match word {
        "bought_for_job" => Some(false),
        "from_stock" => Some(true),
        _ => None,
    };
    let stock = line
        .word_in("charge", from_stock, WORDS)
        .unwrap_or(matches!(base, Charge::FromStock { .. }));
    let (uses, pay_step) = (line.whole_in("uses"), line.number_in("pay_step"));
    if !stock {
        for (there, name) in [(uses.is_some(), "uses"), (pay_step.is_some(), "pay_step")] {
            if there {
                line.fault(name, "a value", "nothing here, or charge from_stock", None);
            }
        }
        return Charge::BoughtForJob;
    }
    let known = match base {
        Charge::FromStock { uses, pay_step } => (Some(uses), Some(pay_step)),
        Charge::BoughtForJob => (None, None),
    };
    let (uses, pay_step) = (uses.or(known.0), pay_step.or(known.1));
    for (missing, name) in [(uses.is_none(), "uses"), (pay_step.is_none(), "pay_step")] {
        if missing && line.is_sound() {
            line.required(name, "; charge from_stock needs it");
        }
    }
    Charge::FromStock {
        uses: uses.unwrap_or(1),
        pay_step: pay_step.unwrap_or(Decimal4::ONE),
    }
}

fn read_price(line: &mut Line<'_>, code: &str, (draft, known): (&mut Draft, Known<'_>)) {
    let seller = line
        .required("supplier", "; a price needs it")
        .map(str::to_owned);
    line.required("unit_price", "; a price needs it");
    line.required("effective_from", "; a price needs it");
    let taken_back = line
        .text("unit_price")
        .is_some_and(|text| text.eq_ignore_ascii_case(WITHDRAWN));
    let unit_price = if taken_back {
        None
    } else {
        line.number_in("unit_price")
    };
    let from_quantity: Option<Decimal4> = line.number_in("from_quantity");
    let (effective_from, valid_until) = (line.day_in("effective_from"), line.day_in("valid_until"));
    let (Some(seller), Some(effective_from), true) = (seller, effective_from, line.is_sound())
    else {
        return;
    };
    let price = Price {
        item: code.to_owned(),
        supplier: seller,
        from_quantity: from_quantity.unwrap_or_default(),
        unit_price,
        effective_from,
        valid_until,
        quoted_for: line.text("quoted_for").map(str::to_owned),
    };
    let mut faults = Faults::default();
    check_price(&price, "", &mut faults);
    line.take(faults);
    supplier::name(line, &price.supplier, (draft, known));
    put(&mut draft.prices, (key(&price), price), line, "unit_price");
}

fn key(price: &Price) -> Key {
    (
        price.item.clone(),
        price.supplier.clone(),
        price.quoted_for.clone(),
        price.effective_from,
        price.from_quantity,
    )
}

pub(super) fn finish(
    items: BTreeMap<String, Drafted<Item>>,
    prices: BTreeMap<Key, Drafted<Price>>,
    known: Known<'_>,
    plan: &mut Plan,
) {
    let (history, revision) = (known.list.history(), known.list.revision());
    for (code, drafted) in items {
        let own = history.item(&code).and_then(|item| item.item(revision));
        if own != Some(&drafted.value) {
            let after = item_cells(&drafted.value);
            plan.tell(
                (drafted.row, "item", code),
                (Kind::Prices, 0),
                own.map(item_cells),
                &after,
            );
            plan.change.items.push(drafted.value);
        }
    }
    let mut owned: BTreeSet<String> = plan
        .change
        .items
        .iter()
        .map(|item| item.code.clone())
        .collect();
    for drafted in prices.into_values() {
        let price = drafted.value;
        let item = history.item(&price.item);
        let newest = item.and_then(|item| item.newest_price(&price, revision));
        let newest = newest.map(|newest| &newest.value);
        // Taking back what is not there changes nothing.
        let void = newest.is_none() && price.unit_price.is_none();
        if newest != Some(&price) && !void {
            let what = format!(
                "{} at {} from {}",
                price.item, price.supplier, price.effective_from
            );
            plan.tell(
                (drafted.row, "price", what),
                (Kind::Prices, FIRST_OF_PRICE),
                newest.map(|newest| price_cells(newest, known.list)),
                &price_cells(&price, known.list),
            );
            if owned.insert(price.item.clone()) {
                own_item(&price.item, known.list, plan);
            }
            plan.change.prices.push(price);
        }
    }
}

/// A price of an item that the book only inherits makes the item its own.
fn own_item(code: &str, list: &PriceList, plan: &mut Plan) {
    let here = list
        .history()
        .item(code)
        .and_then(|item| item.item(list.revision()));
    if let (None, Some(item)) = (here, list.item(code)) {
        plan.change.items.push(item.clone());
    }
}

fn item_cells(item: &Item) -> Vec<Written> {
    let (charge, uses, pay_step) = match item.charge {
        Charge::BoughtForJob => ("bought_for_job", None, None),
        Charge::FromStock { uses, pay_step } => ("from_stock", Some(uses), Some(pay_step)),
    };
    vec![
        Written::text(&item.code),
        Written::text(&item.description),
        Written::text(item.class.word()),
        Written::text(item.sale_unit.word()),
        Written::number(item.order_step),
        Written::number(item.minimum),
        Written::maybe_number(item.holds.map(|holds| holds.quantity)),
        Written::maybe_text(item.holds.map(|holds| holds.unit.word())),
        Written::text(charge),
        Written::maybe_number(uses),
        Written::maybe_number(pay_step),
        Written::maybe_text(item.supplier.as_deref()),
        Written::maybe_text(item.index.as_deref()),
    ]
}

fn price_cells(price: &Price, list: &PriceList) -> Vec<Written> {
    let name = list
        .supplier(&price.supplier)
        .map(|known| known.name.as_str());
    let from = Some(price.from_quantity).filter(|from| *from != Decimal4::ZERO);
    vec![
        Written::text(&price.supplier),
        Written::maybe_text(name),
        Written::maybe_number(from),
        price
            .unit_price
            .map_or_else(|| Written::text(WITHDRAWN), Written::number),
        Written::text(price.effective_from.to_string()),
        Written::maybe_text(price.valid_until.map(|until| until.to_string())),
        Written::maybe_text(price.quoted_for.as_deref()),
    ]
}

pub(super) fn write(list: &PriceList) -> Vec<Vec<Written>> {
    let (history, revision) = (list.history(), list.revision());
    let mut rows = Vec::new();
    for item in history.items() {
        let Some(particulars) = item.item(revision).map(item_cells) else {
            continue;
        };
        let before = rows.len();
        for price in item.known_prices(revision) {
            let of_price = price_cells(&price.value, list);
            rows.push(particulars.iter().cloned().chain(of_price).collect());
        }
        if rows.len() == before {
            let mut alone = particulars;
            alone.resize(Kind::Prices.columns().len(), Written::Blank);
            rows.push(alone);
        }
    }
    rows
}
