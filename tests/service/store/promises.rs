//! The promises, each as one behaviour; which database keeps them is not known here.

use super::place::Place;
use chrono::{NaiveDate, Utc};
use crossfall::{
    book::{Append, BookError, BookStore, Books, Expected, Guard, ItemWrite},
    catalog::{
        Change, Charge, Class, Holds, Item, NoPrice, Price, ReadyMixTerms, SaleUnit, Supplier,
    },
    quantity::money::{Decimal4, UnitPrice},
};
use std::sync::Arc;

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a day")
}

fn decimal(text: &str) -> Decimal4 {
    text.parse().expect("a decimal")
}

fn gravel() -> Item {
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
    }
}

fn price(item: &str, supplier: &str, dollars: &str, from: &str) -> Price {
    Price {
        item: item.to_owned(),
        supplier: supplier.to_owned(),
        unit_price: dollars.parse().expect("a price"),
        effective_from: day(from),
    }
}

fn write(item: Item, prices: Vec<Price>) -> ItemWrite {
    ItemWrite {
        item,
        prices,
        suppliers: Vec::new(),
        note: "a test".to_owned(),
    }
}

/// Gravel under any code, priced at the demo quarry.
fn quarried(code: &str, dollars: &str) -> ItemWrite {
    let item = Item {
        code: code.to_owned(),
        ..gravel()
    };
    write(
        item,
        vec![price(code, "quarry-yard", dollars, "2026-03-02")],
    )
}

fn stone(books: &Books) -> Item {
    let list = books
        .price_list(None, None, day("2026-05-04"))
        .expect("the demo book");
    list.item("stone-dense-graded")
        .expect("the demo book has stone")
        .clone()
}

fn stone_at(dollars: &str, from: &str, item: Item) -> ItemWrite {
    let code = item.code.clone();
    write(item, vec![price(&code, "quarry-yard", dollars, from)])
}

fn dollars(
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

async fn append(store: &dyn BookStore, change: &Change) -> Result<i64, BookError> {
    store
        .append(Append {
            book: "demo",
            made_at: Utc::now(),
            change,
            guard: None,
        })
        .await
}

pub(crate) async fn an_empty_database_gets_the_demo_book_once(place: &Place) {
    let first = place.books().await;
    let demo = first.book(None).expect("there is a default book");
    assert!(demo.head().demo);
    assert_eq!((demo.latest(), demo.items().count()), (1, 59));
    let second = place.books().await;
    assert_eq!(second.list().len(), 1);
    assert_eq!(second.book(Some("demo")).expect("still there"), demo);
}

pub(crate) async fn two_first_starts_at_once_make_one_demo_book(place: &Place) {
    let (one, other) = tokio::join!(Books::open(&place.address), Books::open(&place.address));
    for books in [one.expect("one opens"), other.expect("the other opens")] {
        assert_eq!(books.book(None).expect("the demo book").latest(), 1);
    }
    assert_eq!(
        place.store().await.heads().await.expect("read"),
        [("demo".to_owned(), 1)]
    );
}

pub(crate) async fn what_is_put_is_what_is_read(place: &Place) {
    let books = place.books().await;
    let seller = Supplier {
        code: "river-pit".to_owned(),
        name: "River pit (invented)".to_owned(),
        terms: ReadyMixTerms {
            truck_most_yd3: Some(decimal("9.5")),
            ..ReadyMixTerms::default()
        },
    };
    let cost = price("pea-gravel", "river-pit", "41.2345", "2026-03-02");
    let put = ItemWrite {
        suppliers: vec![seller.clone()],
        ..write(gravel(), vec![cost.clone()])
    };
    let revision = books
        .put_item("demo", put, Expected::New)
        .await
        .expect("accepted");
    let stored = place.demo().await;
    assert_eq!(
        stored,
        *books.book(None).expect("the demo book"),
        "memory is what is stored"
    );
    let known = stored.item("pea-gravel").expect("known");
    assert_eq!(known.item(revision), Some(&gravel()));
    assert_eq!(known.item(revision - 1), None);
    assert_eq!(
        known
            .price(day("2026-03-02"), revision)
            .map(|price| &price.value),
        Some(&cost)
    );
    assert_eq!(stored.supplier("river-pit", revision), Some(&seller));
}

pub(crate) async fn what_is_not_there_is_not_found(place: &Place) {
    let books = place.books().await;
    let is = |error: BookError, kind: &str, name: &str| matches!(&error, BookError::NotFound { what, key } if *what == kind && key == name);
    let error = books
        .price_list(Some("none"), None, day("2026-05-04"))
        .expect_err("no book");
    assert!(is(error, "price book", "none"));
    let error = place.store().await.load("none").await.expect_err("no book");
    assert!(is(error, "price book", "none"));
    let put = books
        .put_item("none", write(gravel(), Vec::new()), Expected::New)
        .await;
    assert!(is(put.expect_err("no book"), "price book", "none"));
    let list = books
        .price_list(None, None, day("2026-05-04"))
        .expect("the demo book");
    assert_eq!(list.quote("none").map(|_| ()), Err(NoPrice::UnknownItem));
    let error = books
        .price_list(None, Some(2), day("2026-05-04"))
        .expect_err("too high");
    assert!(matches!(error, BookError::NoSuchRevision { revision, .. } if revision.latest == 1));
}

pub(crate) async fn a_price_of_an_unknown_supplier_is_refused_by_name(place: &Place) {
    let books = place.books().await;
    let put = write(
        gravel(),
        vec![price("pea-gravel", "nobody", "1", "2026-03-02")],
    );
    let error = books
        .put_item("demo", put, Expected::New)
        .await
        .expect_err("refused");
    assert!(matches!(error, BookError::NotFound { what: "supplier", key } if key == "nobody"));
    let prices = vec![price("nothing", "quarry-yard", "1", "2026-03-02")];
    let change = Change {
        prices,
        ..Change::default()
    };
    let error = append(&*place.store().await, &change)
        .await
        .expect_err("refused");
    assert!(matches!(error, BookError::NotFound { what: "item", key } if key == "nothing"));
    assert_eq!(place.demo().await.latest(), 1);
}

pub(crate) async fn every_write_makes_one_revision(place: &Place) {
    let books = place.books().await;
    for number in 2..=4 {
        let put = quarried(&format!("gravel-{number}"), "30");
        let revision = books
            .put_item("demo", put, Expected::New)
            .await
            .expect("accepted");
        assert_eq!(revision, number);
    }
    let refused = books
        .put_item("demo", quarried("gravel-2", "31"), Expected::New)
        .await;
    assert!(matches!(
        refused,
        Err(BookError::Conflict { found: Some(2), .. })
    ));
    let revision = books
        .put_item("demo", quarried("gravel-2", "31"), Expected::Revision(2))
        .await;
    assert_eq!(
        revision.expect("accepted"),
        5,
        "a refused write takes no number"
    );
}

pub(crate) async fn of_two_writers_on_one_item_one_is_told_so(place: &Place) {
    let (one, other) = (Arc::new(place.books().await), Arc::new(place.books().await));
    let item = stone(&one);
    let writers = (0..8).map(|number| {
        let books = if number % 2 == 0 {
            one.clone()
        } else {
            other.clone()
        };
        let put = stone_at(&format!("4{number}.00"), "2026-06-01", item.clone());
        tokio::spawn(async move { books.put_item("demo", put, Expected::Revision(1)).await })
    });
    let mut accepted = 0;
    for writer in writers.collect::<Vec<_>>() {
        match writer.await.expect("the writer ends") {
            Ok(revision) => {
                assert_eq!(revision, 2);
                accepted += 1;
            }
            Err(BookError::Conflict { item, found }) => {
                assert_eq!((item.as_str(), found), ("stone-dense-graded", Some(2)));
            }
            Err(other) => panic!("a writer failed: {other:?}"),
        }
    }
    assert_eq!(accepted, 1);
}

pub(crate) async fn writers_on_different_items_all_land_without_a_gap(place: &Place) {
    let (one, other) = (Arc::new(place.books().await), Arc::new(place.books().await));
    let writers = (0..8).map(|number| {
        let books = if number % 2 == 0 {
            one.clone()
        } else {
            other.clone()
        };
        let put = quarried(&format!("gravel-{number}"), "30");
        tokio::spawn(async move { books.put_item("demo", put, Expected::New).await })
    });
    let mut revisions = Vec::new();
    for writer in writers.collect::<Vec<_>>() {
        revisions.push(writer.await.expect("the writer ends").expect("accepted"));
    }
    revisions.sort_unstable();
    assert_eq!(revisions, (2..=9).collect::<Vec<_>>());
    for books in [one, other] {
        books.refresh().await.expect("read");
        assert_eq!(
            *books.book(None).expect("the demo book"),
            place.demo().await
        );
    }
}

pub(crate) async fn an_item_is_made_once(place: &Place) {
    let books = place.books().await;
    let changed = books
        .put_item("demo", quarried("gravel", "30"), Expected::Revision(1))
        .await;
    assert!(matches!(
        changed,
        Err(BookError::Conflict { found: None, .. })
    ));
    books
        .put_item("demo", quarried("gravel", "30"), Expected::New)
        .await
        .expect("accepted");
    let again = books
        .put_item("demo", quarried("gravel", "30"), Expected::New)
        .await;
    assert!(matches!(
        again,
        Err(BookError::Conflict { found: Some(2), .. })
    ));
}

pub(crate) async fn a_quote_a_year_later_is_the_same(place: &Place) {
    let books = place.books().await;
    let item = stone(&books);
    let quoted = dollars(&books, &item.code, Some(1), "2026-05-04");
    assert_eq!(quoted, Ok("34.50".to_owned()));
    for (expected, price, from) in [
        (1, "36.00", "2026-02-16"),
        (2, "39.00", "2027-01-04"),
        (3, "29.00", "2025-01-06"),
    ] {
        let put = stone_at(price, from, item.clone());
        books
            .put_item("demo", put, Expected::Revision(expected))
            .await
            .expect("accepted");
    }
    let later = place.books().await;
    for books in [&books, &later] {
        assert_eq!(
            dollars(books, &item.code, Some(1), "2026-05-04"),
            quoted,
            "as quoted"
        );
        let now = |revision, as_of| dollars(books, &item.code, revision, as_of).expect("priced");
        assert_eq!(now(None, "2026-05-04"), "36.00", "as corrected since");
        assert_eq!(
            now(Some(2), "2027-05-04"),
            "36.00",
            "before the rise was learned"
        );
        assert_eq!(now(None, "2027-05-04"), "39.00", "after it");
        assert_eq!(
            now(None, "2025-05-05"),
            "29.00",
            "the past, as learned last"
        );
    }
}

pub(crate) async fn a_pinned_revision_never_sees_a_later_write(place: &Place) {
    let books = place.books().await;
    let held = books
        .price_list(None, None, day("2026-05-04"))
        .expect("the demo book");
    let mut item = stone(&books);
    item.order_step = decimal("2");
    let put = stone_at("99.00", "2026-02-16", item.clone());
    books
        .put_item("demo", put, Expected::Revision(1))
        .await
        .expect("accepted");
    let pinned = books
        .price_list(None, Some(1), day("2026-05-04"))
        .expect("still there");
    for list in [held, pinned] {
        let quote = list.quote(&item.code).expect("priced");
        assert_eq!(quote.unit_price.to_string(), "34.50");
        assert_eq!(quote.item.order_step, decimal("0.5"));
        assert_eq!(quote.from.revision, 1);
    }
}

pub(crate) async fn the_largest_values_survive(place: &Place) {
    let store = place.store().await;
    place.books().await;
    let most = Decimal4::from_ten_thousandths(i64::MAX);
    let item = Item {
        order_step: most,
        minimum: most,
        holds: Some(Holds {
            quantity: most,
            unit: SaleUnit::Yd3,
        }),
        charge: Charge::FromStock {
            uses: u32::MAX,
            pay_step: most,
        },
        ..gravel()
    };
    let unit_price = UnitPrice::from_ten_thousandths(i64::MAX - 1);
    let cost = Price {
        unit_price,
        ..price("pea-gravel", "quarry-yard", "1", "2026-03-02")
    };
    let change = Change {
        items: vec![item.clone()],
        prices: vec![cost.clone()],
        ..Change::default()
    };
    append(&*store, &change).await.expect("accepted");
    let stored = place.demo().await;
    let known = stored.item("pea-gravel").expect("known");
    assert_eq!(known.item(2), Some(&item));
    assert_eq!(
        known.price(day("2026-03-02"), 2).map(|price| &price.value),
        Some(&cost)
    );
}

pub(crate) async fn a_restart_keeps_everything(place: &Place) {
    let books = place.books().await;
    books
        .put_item("demo", quarried("gravel", "30"), Expected::New)
        .await
        .expect("accepted");
    let mut settings = *books
        .book(None)
        .expect("the demo book")
        .settings(1)
        .expect("settings");
    settings.travel_minutes = 55;
    let change = Change {
        settings: Some(settings),
        ..Change::default()
    };
    books.append("demo", &change, None).await.expect("accepted");
    let before = books.book(None).expect("the demo book");
    drop(books);
    let after = place.books().await.book(None).expect("the demo book");
    assert_eq!(before, after);
    assert_eq!(
        after.settings(3).map(|settings| settings.travel_minutes),
        Some(55)
    );
}

pub(crate) async fn a_change_lands_whole_or_not_at_all(place: &Place) {
    let before = place.books().await.book(None).expect("the demo book");
    let no_step = Item {
        order_step: Decimal4::ZERO,
        code: "no-step".to_owned(),
        ..gravel()
    };
    let change = Change {
        items: vec![gravel(), no_step],
        ..Change::default()
    };
    let error = append(&*place.store().await, &change)
        .await
        .expect_err("refused");
    assert!(matches!(error, BookError::Refused(_)), "{error:?}");
    let prices = vec![
        price("stone-dense-graded", "quarry-yard", "40", "2026-06-01"),
        Price {
            unit_price: UnitPrice::from_ten_thousandths(-1),
            ..price("stone-clean-3-4in", "quarry-yard", "40", "2026-06-01")
        },
    ];
    let change = Change {
        prices,
        ..Change::default()
    };
    let error = append(&*place.store().await, &change)
        .await
        .expect_err("refused");
    assert!(matches!(error, BookError::Refused(_)), "{error:?}");
    assert_eq!(place.demo().await, *before);
}

pub(crate) async fn the_database_refuses_to_forget(place: &Place) {
    let before = place.books().await.book(None).expect("the demo book");
    let tables = [
        ("revision", "note = 'other'"),
        ("setting", "travel_minutes = 1"),
        ("supplier", "code = 'other'"),
        ("supplier_version", "name = 'other'"),
        ("item", "code = 'other'"),
        ("item_version", "description = 'other'"),
        ("price", "unit_price_e4 = 1"),
        ("book", "latest = 0"),
        ("book", "latest = latest + 2"),
        ("book", "code = 'other'"),
    ];
    for (table, change) in tables {
        for statement in [
            format!("UPDATE {table} SET {change}"),
            format!("DELETE FROM {table}"),
        ] {
            let refused = place
                .run(statement.clone())
                .await
                .expect_err(&statement)
                .to_string();
            let said = refused.contains("append-only") || refused.contains("one by one");
            assert!(said, "{statement}: {refused}");
        }
    }
    assert_eq!(place.demo().await, *before);
}

pub(crate) async fn a_reader_sees_whole_revisions_only(place: &Place) {
    place.books().await;
    let writing = place.store().await;
    let writer = tokio::spawn(async move {
        for number in 2..=30 {
            let code = format!("gravel-{number}");
            let ItemWrite { item, prices, .. } = quarried(&code, "30");
            let change = Change {
                items: vec![item],
                prices,
                ..Change::default()
            };
            append(&*writing, &change).await.expect("accepted");
        }
    });
    let reading = place.store().await;
    loop {
        let ended = writer.is_finished();
        let book = reading.load("demo").await.expect("a whole state");
        let priced = book
            .items()
            .filter(|item| item.prices(i64::MAX).next().is_some())
            .count();
        assert_eq!(
            (book.items().count() as i64, priced as i64),
            (58 + book.latest(), 58 + book.latest())
        );
        if ended {
            break;
        }
    }
    writer.await.expect("the writer ends");
}

pub(crate) async fn another_reader_sees_a_write_when_it_looks_again(place: &Place) {
    let (one, other) = (place.books().await, place.books().await);
    one.put_item("demo", quarried("gravel", "30"), Expected::New)
        .await
        .expect("accepted");
    let price = |books: &Books| dollars(books, "gravel", None, "2026-05-04");
    assert_eq!(
        price(&one),
        Ok("30.00".to_owned()),
        "at once where it was written"
    );
    assert_eq!(price(&other), Err(NoPrice::UnknownItem));
    other.refresh().await.expect("read");
    assert_eq!(price(&other), Ok("30.00".to_owned()));
    // Its own next write then follows on, though it was behind when it began.
    one.put_item("demo", quarried("sand", "20"), Expected::New)
        .await
        .expect("accepted");
    other
        .put_item("demo", quarried("silt", "10"), Expected::New)
        .await
        .expect("accepted");
    assert_eq!(
        *other.book(None).expect("the demo book"),
        place.demo().await
    );
}

pub(crate) async fn a_price_that_holds_already_is_not_written_twice(place: &Place) {
    let books = place.books().await;
    let item = stone(&books);
    let put = |dollars| stone_at(dollars, "2026-02-16", item.clone());
    let count = |books: &Books| {
        let book = books.book(None).expect("the demo book");
        book.item("stone-dense-graded")
            .expect("known")
            .prices(i64::MAX)
            .count()
    };
    let before = count(&books);
    books
        .put_item("demo", put("34.50"), Expected::Revision(1))
        .await
        .expect("accepted");
    assert_eq!(count(&books), before);
    books
        .put_item("demo", put("35.00"), Expected::Revision(2))
        .await
        .expect("accepted");
    books
        .put_item("demo", put("34.50"), Expected::Revision(3))
        .await
        .expect("accepted");
    assert_eq!(
        count(&books),
        before + 2,
        "a price that was left and comes back is written"
    );
    let guard = Guard {
        item: "stone-dense-graded".to_owned(),
        expected: Expected::Revision(1),
    };
    let change = Change::default();
    let late = books.append("demo", &change, Some(&guard)).await;
    assert!(matches!(
        late,
        Err(BookError::Conflict { found: Some(4), .. })
    ));
}
