//! The price list by its promises: day, revision, reasons, bounds.

use super::*;
use crate::quantity::{
    Faults,
    money::{Currency, Decimal4, Percentage, UnitPrice},
};
use chrono::{DateTime, NaiveDate};
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
        description: "Crushed stone".to_owned(),
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

fn price(supplier: &str, dollars: &str, from: &str) -> Price {
    Price {
        item: "stone".to_owned(),
        supplier: supplier.to_owned(),
        unit_price: Some(dollars.parse().expect("a price")),
        effective_from: day(from),
        from_quantity: Decimal4::ZERO,
        valid_until: None,
        quoted_for: None,
    }
}

fn settings() -> Settings {
    let percent = Percentage::from_millionths(120_000);
    Settings {
        overhead: percent,
        contingency: percent,
        profit: Profit::Margin(percent),
        warranty: Percentage::from_millionths(0),
        sales_tax: SalesTax {
            rate: percent,
            base: TaxBase::Materials,
        },
        travel_minutes: 30,
        price_age_days: 180,
    }
}

fn supplier(code: &str, name: &str) -> Supplier {
    Supplier {
        code: code.to_owned(),
        name: name.to_owned(),
        ..Supplier::default()
    }
}

fn write(book: &History, change: Change) -> History {
    let number = book.latest() + 1;
    let note = change.note.clone();
    book.with(
        Revision {
            number,
            made_at: DateTime::UNIX_EPOCH,
            note,
        },
        &change,
    )
}

/// Revision 1 knows the item; each price makes a further one.
fn book(prices: &[Price]) -> History {
    let head = Head {
        code: "yard".to_owned(),
        name: "Yard".to_owned(),
        currency: Currency::USD,
        demo: false,
        inherits: None,
    };
    let first = Change {
        settings: Some(settings()),
        suppliers: vec![supplier("a", "First yard"), supplier("b", "Second yard")],
        items: vec![item("stone")],
        ..Change::default()
    };
    let start = write(&History::empty(head), first);
    prices.iter().fold(start, |book, price| {
        write(
            &book,
            Change {
                prices: vec![price.clone()],
                ..Change::default()
            },
        )
    })
}

fn list(book: &History, revision: Option<i64>, as_of: &str) -> PriceList {
    PriceList::new(Arc::new(book.clone()), revision, day(as_of)).expect("the revision exists")
}

fn dollars(list: &PriceList) -> Result<String, NoPrice> {
    list.quote("stone")
        .map(|quote| quote.unit_price.to_string())
}

#[test]
fn the_latest_price_that_has_taken_effect_holds() {
    let book = book(&[
        price("a", "34.50", "2026-02-16"),
        price("a", "32.75", "2025-09-15"),
    ]);
    for (as_of, holds) in [
        ("2026-05-04", Ok("34.50")),
        ("2026-02-16", Ok("34.50")),
        ("2026-02-15", Ok("32.75")),
        ("2025-09-15", Ok("32.75")),
        (
            "2025-09-14",
            Err(NoPrice::NotYet {
                first: day("2025-09-15"),
            }),
        ),
    ] {
        assert_eq!(
            dollars(&list(&book, None, as_of)),
            holds.map(str::to_owned),
            "{as_of}"
        );
    }
}

#[test]
fn a_pinned_revision_does_not_see_what_was_learned_later() {
    let book = book(&[
        price("a", "34.50", "2026-02-16"),
        price("a", "36.00", "2026-02-16"),
    ]);
    assert_eq!(
        dollars(&list(&book, Some(1), "2026-05-04")),
        Err(NoPrice::NeverPriced)
    );
    assert_eq!(
        dollars(&list(&book, Some(2), "2026-05-04")),
        Ok("34.50".to_owned())
    );
    assert_eq!(
        dollars(&list(&book, Some(3), "2026-05-04")),
        Ok("36.00".to_owned())
    );
}

#[test]
fn learned_together_the_cheapest_holds_whatever_the_order() {
    let pair = [
        price("a", "34.50", "2026-02-16"),
        price("b", "33.00", "2026-02-16"),
    ];
    for prices in [pair.to_vec(), pair.iter().rev().cloned().collect()] {
        let book = write(
            &book(&[]),
            Change {
                prices,
                ..Change::default()
            },
        );
        let list = list(&book, None, "2026-05-04");
        assert_eq!(dollars(&list), Ok("33.00".to_owned()));
        assert_eq!(
            list.quote("stone").expect("priced").from.supplier,
            "Second yard"
        );
    }
}

#[test]
fn a_quote_says_where_its_price_came_from() {
    let book = book(&[price("a", "34.50", "2026-02-16")]);
    let list = list(&book, None, "2026-05-04");
    let quote = list.quote("stone").expect("priced");
    assert_eq!(
        serde_json::to_string(&quote.from).expect("serialises"),
        r#"{"book":"yard","revision":2,"supplier":"First yard","effective":"2026-02-16","age":{"value":77,"unit":"d"}}"#
    );
}

#[test]
fn settings_and_particulars_are_those_of_the_revision() {
    let first = book(&[]);
    let mut later = settings();
    later.travel_minutes = 45;
    let mut stone = item("stone");
    stone.order_step = decimal("1");
    let change = Change {
        settings: Some(later),
        items: vec![stone],
        ..Change::default()
    };
    let second = write(&first, change);
    let before = list(&second, Some(1), "2026-05-04");
    let after = list(&second, Some(2), "2026-05-04");
    assert_eq!(
        (
            before.settings().travel_minutes,
            after.settings().travel_minutes
        ),
        (30, 45)
    );
    let step = |list: &PriceList| list.item("stone").map(|item| item.order_step);
    assert_eq!(
        (step(&before), step(&after)),
        (Some(decimal("0.5")), Some(decimal("1")))
    );
}

#[test]
fn an_item_changes_with_its_prices() {
    let book = book(&[
        price("a", "34.50", "2026-02-16"),
        price("a", "36.00", "2027-02-16"),
    ]);
    let stone = book.item("stone").expect("known");
    assert_eq!(stone.changed(i64::MAX), Some(3));
    assert_eq!(stone.changed(2), Some(2));
    assert_eq!(stone.changed(0), None);
}

#[test]
fn revisions_that_do_not_exist_are_refused() {
    let book = Arc::new(book(&[]));
    for asked in [-1, 0, 2, i64::MAX] {
        let refused = PriceList::new(book.clone(), Some(asked), day("2026-05-04"));
        assert_eq!(
            refused.map(|list| list.revision()),
            Err(NoSuchRevision { asked, latest: 1 })
        );
    }
}

#[test]
fn an_unknown_item_is_not_an_unpriced_one() {
    let list = list(&book(&[]), None, "2026-05-04");
    assert_eq!(list.quote("gravel").map(|_| ()), Err(NoPrice::UnknownItem));
    assert_eq!(list.quote("stone").map(|_| ()), Err(NoPrice::NeverPriced));
}

#[test]
fn every_fault_of_an_item_is_found() {
    let mut bad = item("stone");
    bad.description = "two\nlines".to_owned();
    bad.order_step = decimal("0");
    bad.minimum = decimal("-1");
    bad.holds = Some(Holds {
        quantity: decimal("0"),
        unit: SaleUnit::Ft,
    });
    bad.charge = Charge::FromStock {
        uses: 0,
        pay_step: decimal("0"),
    };
    let mut faults = Faults::default();
    check_item(&bad, "", &mut faults);
    let places: Vec<&str> = faults
        .0
        .iter()
        .map(|fault| fault.pointer.as_str())
        .collect();
    assert_eq!(
        places,
        [
            "/description",
            "/order_step",
            "/minimum",
            "/holds/quantity",
            "/pay_step",
            "/uses"
        ]
    );
    let mut none = Faults::default();
    check_item(&item("stone"), "", &mut none);
    check_price(&price("a", "34.50", "2026-02-16"), "", &mut none);
    assert!(none.is_empty(), "{none}");
}

#[test]
fn a_price_is_held_to_its_bounds() {
    let mut bad = price("Pit Road", "34.50", "1899-12-31");
    bad.unit_price = Some(UnitPrice::from_ten_thousandths(-1));
    let mut faults = Faults::default();
    check_price(&bad, "/prices/0", &mut faults);
    let places: Vec<&str> = faults
        .0
        .iter()
        .map(|fault| fault.pointer.as_str())
        .collect();
    assert_eq!(
        places,
        [
            "/prices/0/supplier",
            "/prices/0/unit_price",
            "/prices/0/effective_from"
        ]
    );
}

#[test]
fn codes_have_one_shape() {
    for good in ["a", "xps-iv-1-1-2in-4x8", "0.5", "board_2x4"] {
        assert!(is_code(good), "{good}");
    }
    for bad in ["", "-a", "Stone", "a b", "a/b", "ä", &"a".repeat(65)] {
        assert!(!is_code(bad), "{bad}");
    }
}
