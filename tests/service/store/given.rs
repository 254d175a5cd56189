//! Items, prices and writes of which the promises are made.

use chrono::{NaiveDate, Utc};
use crossfall::{
    book::{Append, BookError, BookStore, Books, ItemWrite, Signature},
    catalog::{Change, Charge, Class, History, Holds, Item, NoPrice, Price, SaleUnit},
    quantity::money::Decimal4,
};

pub(super) fn day(text: &str) -> NaiveDate {
    text.parse().expect("a day")
}

pub(super) fn decimal(text: &str) -> Decimal4 {
    text.parse().expect("a decimal")
}

pub(super) fn gravel() -> Item {
    Item {
        code: "pea-gravel".to_owned(),
        description: "Pea gravel, \u{be} in — \"washed\"; O'Hill's".to_owned(),
        class: Class::Material,
        sale_unit: SaleUnit::Ton,
        order_step: decimal("0.25"),
        minimum: decimal("1.5"),
        holds: Some(Holds {
            quantity: decimal("0.7407"),
            unit: SaleUnit::Yd3,
        }),
        charge: Charge::FromStock {
            uses: 3,
            pay_step: decimal("0.05"),
        },
        supplier: Some("quarry-yard".to_owned()),
        index: Some("stone-index".to_owned()),
    }
}

pub(super) fn price(item: &str, supplier: &str, dollars: &str, from: &str) -> Price {
    Price {
        item: item.to_owned(),
        supplier: supplier.to_owned(),
        unit_price: Some(dollars.parse().expect("a price")),
        effective_from: day(from),
        from_quantity: Decimal4::ZERO,
        valid_until: None,
        quoted_for: None,
    }
}

pub(super) fn write(item: Item, prices: Vec<Price>) -> ItemWrite {
    ItemWrite {
        item,
        prices,
        suppliers: Vec::new(),
        note: "a test".to_owned(),
    }
}

/// Gravel under any code, priced at the demo quarry.
pub(super) fn quarried(code: &str, dollars: &str) -> ItemWrite {
    let item = Item {
        code: code.to_owned(),
        ..gravel()
    };
    write(
        item,
        vec![price(code, "quarry-yard", dollars, "2026-03-02")],
    )
}

pub(super) fn stone(books: &Books) -> Item {
    let list = books
        .price_list(None, None, day("2026-05-04"))
        .expect("the demo book");
    list.item("stone-dense-graded")
        .expect("the demo book has stone")
        .clone()
}

pub(super) fn stone_at(dollars: &str, from: &str, item: Item) -> ItemWrite {
    let code = item.code.clone();
    write(item, vec![price(&code, "quarry-yard", dollars, from)])
}

pub(super) fn dollars(
    books: &Books,
    item: &str,
    revision: Option<i64>,
    as_of: &str,
) -> Result<String, NoPrice> {
    let list = books
        .price_list(None, revision, day(as_of))
        .expect("the revision exists");
    list.quote(item).map(|quote| quote.unit_price.to_string())
}

/// Who writes in these tests.
pub(super) fn by() -> Signature {
    Signature {
        caller: "test".to_owned(),
        action: "test.write",
        target: "demo".to_owned(),
        request: None,
    }
}

/// The price of an item for the least order.
pub(super) fn price_of(
    history: &History,
    item: &str,
    (day, revision): (NaiveDate, i64),
) -> Option<Price> {
    let offers = history.item(item)?.offers(day, revision, None).offers;
    Some(offers.first()?.at(None)?.value.clone())
}

pub(super) async fn append(store: &dyn BookStore, change: &Change) -> Result<i64, BookError> {
    let made = store
        .append(Append {
            book: "demo",
            made_at: Utc::now(),
            change,
            guard: None,
            by: &by(),
            keep: None,
        })
        .await?;
    Ok(made.revision)
}
