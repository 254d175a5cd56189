//! The price book: which price holds, what an hour costs, from whom to buy, and books as tables.
//!
//! Everything here is a value in memory; what the databases promise stands in `tests/service`.

mod buying;
mod looking_up;
mod revisions;
mod staying;
mod tables;
mod wages;

use crate::worked::{read, today};
use chrono::{DateTime, NaiveDate};
use crossfall::book::demo_history;
use crossfall::catalog::{
    Change, Charge, Class, Head, History, Item, Pinned, Price, PriceList, Revision, SaleUnit,
    Supplier,
};
use crossfall::estimate::{Estimate, asked_book};
use crossfall::quantity::money::Decimal4;
use std::sync::Arc;

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a day")
}

fn decimal(text: &str) -> Decimal4 {
    text.parse().expect("a decimal")
}

fn item(code: &str) -> Item {
    Item {
        code: code.to_owned(),
        description: "Crushed stone (invented)".to_owned(),
        class: Class::Material,
        sale_unit: SaleUnit::Ton,
        order_step: decimal("0.5"),
        minimum: decimal("1"),
        holds: None,
        charge: Charge::BoughtForJob,
        supplier: None,
        index: None,
    }
}

fn price(item: &str, supplier: &str, dollars: &str, from: &str) -> Price {
    Price {
        item: item.to_owned(),
        supplier: supplier.to_owned(),
        from_quantity: Decimal4::ZERO,
        unit_price: Some(dollars.parse().expect("a price")),
        effective_from: day(from),
        valid_until: None,
        quoted_for: None,
    }
}

fn seller(code: &str) -> Supplier {
    Supplier {
        code: code.to_owned(),
        name: format!("{code} (invented)"),
        ..Supplier::default()
    }
}

fn demo() -> History {
    demo_history().expect("the demo book can be read")
}

/// A book over the demo book, in which nothing was written yet.
fn yard() -> History {
    let head = Head {
        code: "yard".to_owned(),
        name: "Yard (invented)".to_owned(),
        demo: false,
        inherits: Some("demo".to_owned()),
        ..demo().head().clone()
    };
    History::empty(head)
}

fn write(book: &History, change: &Change) -> History {
    let revision = Revision {
        number: book.latest() + 1,
        made_at: DateTime::UNIX_EPOCH,
        note: change.note.clone(),
    };
    book.with(revision, change)
}

fn with_prices(book: &History, prices: Vec<Price>) -> History {
    let change = Change {
        prices,
        ..Change::default()
    };
    write(book, &change)
}

fn list_of(book: &History, as_of: &str) -> PriceList {
    PriceList::new(Arc::new(book.clone()), None, day(as_of)).expect("it has a revision")
}

/// The yard's book over the demo book.
fn over_demo(yard: &History, as_of: &str) -> PriceList {
    let pinned = |book: History| Pinned::new(Arc::new(book), None).expect("it has a revision");
    let chain = vec![pinned(demo())];
    PriceList::of_chain(pinned(yard.clone()), chain, day(as_of)).expect("the demo has settings")
}

fn dollars(list: &PriceList, item: &str) -> String {
    let quote = list
        .quote(item)
        .unwrap_or_else(|why| panic!("{item}: {why}"));
    quote.unit_price.to_string()
}

/// A job priced from a list, as it wants it.
fn estimate(list: &PriceList, job: &str) -> Estimate {
    let wanted = asked_book(&read(job), today()).wanted;
    crate::worked::priced_from(&list.clone().wanting(wanted), job)
        .unwrap_or_else(|faults| panic!("{faults}: {job}"))
}

/// A straight ramp as JSON, with more of a job before it.
fn straight(more: &str) -> String {
    format!(
        r#"{{{more} "ramp": {{"path": [{{"kind": "landing"}},
        {{"kind": "run", "rise": "24 in", "length": "27 ft"}}, {{"kind": "landing"}}]}}}}"#
    )
}
