//! What is promised to readers, at once and later; which database keeps it is not known here.

use super::{given::*, place::Place};
use crate::launched::demo_items;
use crossfall::{
    book::{BookError, Books, Expected, ItemWrite, Written},
    catalog::{Change, Charge, Holds, Item, NoPrice, Price, SaleUnit},
    quantity::money::{Decimal4, UnitPrice},
};

pub(crate) async fn an_empty_database_gets_the_demo_book_once(place: &Place) {
    let first = place.books().await;
    let demo = first.book(None).expect("there is a default book");
    assert!(demo.head().demo);
    assert_eq!(
        (demo.latest(), demo.items().count() as i64),
        (1, demo_items())
    );
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

pub(crate) async fn what_is_not_there_is_not_found(place: &Place) {
    let books = place.books().await;
    let is = |error: BookError, kind: &str, name: &str| matches!(&error, BookError::NotFound { what, key } if *what == kind && key == name);
    let error = books
        .price_list(Some("none"), None, day("2026-05-04"))
        .expect_err("no book");
    assert!(is(error, "price book", "none"));
    let error = place
        .store()
        .await
        .load("none", None)
        .await
        .expect_err("no book");
    assert!(is(error, "price book", "none"));
    let put = books
        .put_item("none", write(gravel(), Vec::new()), (Expected::New, &by()))
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
            .put_item("demo", put, (Expected::Revision(expected), &by()))
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
        .put_item("demo", put, (Expected::Revision(1), &by()))
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
        unit_price: Some(unit_price),
        from_quantity: most,
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
    let place_of_price = (day("2026-03-02"), 2);
    assert_eq!(price_of(&stored, "pea-gravel", place_of_price), Some(cost));
}

pub(crate) async fn a_restart_keeps_everything(place: &Place) {
    let books = place.books().await;
    books
        .put_item("demo", quarried("gravel", "30"), (Expected::New, &by()))
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
    let written = Written {
        change: &change,
        guard: None,
        by: &by(),
        keep: None,
    };
    books.append("demo", written).await.expect("accepted");
    let before = books.book(None).expect("the demo book");
    drop(books);
    let after = place.books().await.book(None).expect("the demo book");
    assert_eq!(before, after);
    assert_eq!(
        after.settings(3).map(|settings| settings.travel_minutes),
        Some(55)
    );
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
        let book = reading.load("demo", None).await.expect("a whole state");
        let priced = book
            .items()
            .filter(|item| item.prices(i64::MAX).next().is_some())
            .count();
        assert_eq!(
            (book.items().count() as i64, priced as i64),
            (
                demo_items() - 1 + book.latest(),
                demo_items() - 1 + book.latest()
            )
        );
        if ended {
            break;
        }
    }
    writer.await.expect("the writer ends");
}

pub(crate) async fn another_reader_sees_a_write_when_it_looks_again(place: &Place) {
    let (one, other) = (place.books().await, place.books().await);
    one.put_item("demo", quarried("gravel", "30"), (Expected::New, &by()))
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
    one.put_item("demo", quarried("sand", "20"), (Expected::New, &by()))
        .await
        .expect("accepted");
    other
        .put_item("demo", quarried("silt", "10"), (Expected::New, &by()))
        .await
        .expect("accepted");
    assert_eq!(
        *other.book(None).expect("the demo book"),
        place.demo().await
    );
}
