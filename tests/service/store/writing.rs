//! What is promised to writers; which database keeps it is not known here.

use super::{given::*, place::Place};
use crossfall::{
    book::{BookError, Books, Expected, Guard, ItemWrite, Written},
    catalog::{Change, Item, Price, ReadyMixTerms, ShortLoadStep, Supplier, Zone},
    quantity::money::{Decimal4, UnitPrice},
};
use std::sync::Arc;

pub(crate) async fn what_is_put_is_what_is_read(place: &Place) {
    let books = place.books().await;
    let seller = Supplier {
        code: "river-pit".to_owned(),
        name: "River pit (invented)".to_owned(),
        terms: ReadyMixTerms {
            truck_most_yd3: Some(decimal("9.5")),
            ..ReadyMixTerms::default()
        },
        minimum_order: Some("150".parse().expect("a price")),
        short_load_steps: vec![ShortLoadStep {
            below_yd3: decimal("2.5"),
            fee: "140".parse().expect("a price"),
        }],
        zones: vec![Zone {
            name: "A".to_owned(),
            fee: "40".parse().expect("a price"),
        }],
    };
    let cost = price("pea-gravel", "river-pit", "41.2345", "2026-03-02");
    let put = ItemWrite {
        suppliers: vec![seller.clone()],
        ..write(gravel(), vec![cost.clone()])
    };
    let revision = books
        .put_item("demo", put, (Expected::New, &by()))
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
    let place_of_price = (day("2026-03-02"), revision);
    assert_eq!(price_of(&stored, "pea-gravel", place_of_price), Some(cost));
    assert_eq!(stored.supplier("river-pit", revision), Some(&seller));
}

pub(crate) async fn a_price_of_an_unknown_supplier_is_refused_by_name(place: &Place) {
    let books = place.books().await;
    let put = write(
        gravel(),
        vec![price("pea-gravel", "nobody", "1", "2026-03-02")],
    );
    let error = books
        .put_item("demo", put, (Expected::New, &by()))
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
            .put_item("demo", put, (Expected::New, &by()))
            .await
            .expect("accepted");
        assert_eq!(revision, number);
    }
    let refused = books
        .put_item("demo", quarried("gravel-2", "31"), (Expected::New, &by()))
        .await;
    assert!(matches!(
        refused,
        Err(BookError::Conflict { found: Some(2), .. })
    ));
    let revision = books
        .put_item(
            "demo",
            quarried("gravel-2", "31"),
            (Expected::Revision(2), &by()),
        )
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
        tokio::spawn(async move {
            books
                .put_item("demo", put, (Expected::Revision(1), &by()))
                .await
        })
    });
    let mut accepted = 0;
    for writer in writers.collect::<Vec<_>>() {
        match writer.await.expect("the writer ends") {
            Ok(revision) => {
                assert_eq!(revision, 2);
                accepted += 1;
            }
            Err(BookError::Conflict { key, found, .. }) => {
                assert_eq!((key.as_str(), found), ("stone-dense-graded", Some(2)));
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
        tokio::spawn(async move { books.put_item("demo", put, (Expected::New, &by())).await })
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
        .put_item(
            "demo",
            quarried("gravel", "30"),
            (Expected::Revision(1), &by()),
        )
        .await;
    assert!(matches!(
        changed,
        Err(BookError::Conflict { found: None, .. })
    ));
    books
        .put_item("demo", quarried("gravel", "30"), (Expected::New, &by()))
        .await
        .expect("accepted");
    let again = books
        .put_item("demo", quarried("gravel", "30"), (Expected::New, &by()))
        .await;
    assert!(matches!(
        again,
        Err(BookError::Conflict { found: Some(2), .. })
    ));
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
            unit_price: Some(UnitPrice::from_ten_thousandths(-1)),
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
        .put_item("demo", put("34.50"), (Expected::Revision(1), &by()))
        .await
        .expect("accepted");
    assert_eq!(count(&books), before);
    books
        .put_item("demo", put("35.00"), (Expected::Revision(2), &by()))
        .await
        .expect("accepted");
    books
        .put_item("demo", put("34.50"), (Expected::Revision(3), &by()))
        .await
        .expect("accepted");
    assert_eq!(
        count(&books),
        before + 2,
        "a price that was left and comes back is written"
    );
    let guard = Guard::Item {
        item: "stone-dense-graded".to_owned(),
        expected: Expected::Revision(1),
    };
    let change = Change::default();
    let written = Written {
        change: &change,
        guard: Some(&guard),
        by: &by(),
        keep: None,
    };
    let late = books.append("demo", written).await;
    assert!(matches!(
        late,
        Err(BookError::Conflict { found: Some(4), .. })
    ));
}
