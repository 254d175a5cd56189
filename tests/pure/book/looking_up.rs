//! Which price holds: day, revision, quantity, job, preference, inheritance, index.

use super::*;
use crossfall::catalog::{IndexValue, NoPrice, Wanted, parse_month};

pub(super) fn stone_book(prices: Vec<Price>) -> History {
    let start = write(
        &demo(),
        &Change {
            suppliers: vec![seller("a"), seller("b")],
            items: vec![item("gravel")],
            ..Change::default()
        },
    );
    with_prices(&start, prices)
}

#[test]
fn more_is_cheaper_from_the_quantity_on_that_the_supplier_names() {
    let rung = |from, dollars| Price {
        from_quantity: decimal(from),
        ..price("gravel", "a", dollars, "2026-01-01")
    };
    let list = list_of(
        &stone_book(vec![rung("0", "40"), rung("10", "36"), rung("20", "33")]),
        "2026-05-04",
    );
    for (order, pays, from) in [
        ("0.5", "40.00", None),
        ("9.5", "40.00", None),
        ("10", "36.00", Some("10")),
        ("19.9999", "36.00", Some("10")),
        ("20", "33.00", Some("20")),
        ("500", "33.00", Some("20")),
    ] {
        let quote = list.quote_for("gravel", decimal(order)).expect("priced");
        assert_eq!(quote.unit_price.to_string(), pays, "{order} ton");
        assert_eq!(quote.from.from_quantity, from.map(decimal), "{order} ton");
    }
}

#[test]
fn a_new_day_replaces_the_whole_ladder_and_a_correction_one_rung() {
    let rung = |from, dollars, since| Price {
        from_quantity: decimal(from),
        ..price("gravel", "a", dollars, since)
    };
    let first = stone_book(vec![
        rung("0", "40", "2026-01-01"),
        rung("10", "36", "2026-01-01"),
    ]);
    let corrected = with_prices(&first, vec![rung("10", "35", "2026-01-01")]);
    let raised = with_prices(&corrected, vec![rung("0", "42", "2026-06-01")]);
    let pays = |book: &History, as_of, order| {
        let list = list_of(book, as_of);
        list.quote_for("gravel", decimal(order))
            .expect("priced")
            .unit_price
            .to_string()
    };
    assert_eq!(pays(&corrected, "2026-05-04", "10"), "35.00");
    assert_eq!(pays(&corrected, "2026-05-04", "9"), "40.00");
    assert_eq!(
        pays(&raised, "2026-06-01", "10"),
        "42.00",
        "the new list has no break"
    );
    assert_eq!(pays(&raised, "2026-05-31", "10"), "35.00");
}

#[test]
fn what_is_sold_in_large_quantities_only_has_no_price_for_less() {
    let only = Price {
        from_quantity: decimal("20"),
        ..price("gravel", "a", "33", "2026-01-01")
    };
    let list = list_of(&stone_book(vec![only]), "2026-05-04");
    let why = list
        .quote_for("gravel", decimal("19.5"))
        .map(|_| ())
        .expect_err("too little");
    assert_eq!(
        why,
        NoPrice::TooLittle {
            least: decimal("20")
        }
    );
    assert!(why.to_string().contains("from 20 on"), "{why}");
}

#[test]
fn a_price_that_was_taken_back_never_held() {
    let first = stone_book(vec![
        price("gravel", "a", "40", "2026-01-01"),
        price("gravel", "a", "4", "2026-03-01"),
    ]);
    let back = Price {
        unit_price: None,
        ..price("gravel", "a", "0", "2026-03-01")
    };
    let mended = with_prices(&first, vec![back]);
    assert_eq!(dollars(&list_of(&first, "2026-05-04"), "gravel"), "4.00");
    assert_eq!(dollars(&list_of(&mended, "2026-05-04"), "gravel"), "40.00");
    let pinned = PriceList::new(Arc::new(mended), Some(first.latest()), day("2026-05-04"));
    let pinned = pinned.expect("the revision exists");
    assert_eq!(dollars(&pinned, "gravel"), "4.00", "as it was known then");
}

#[test]
fn a_quote_holds_for_its_job_until_its_last_day_and_is_then_told_of() {
    let quoted = Price {
        quoted_for: Some("Mill lane".to_owned()),
        valid_until: Some(day("2026-06-30")),
        ..price("gravel", "b", "30", "2026-05-01")
    };
    let book = stone_book(vec![price("gravel", "a", "40", "2026-01-01"), quoted]);
    let wanted = |job: &str, as_of| {
        list_of(&book, as_of).wanting(Wanted {
            job: Some(job.to_owned()),
            ..Wanted::default()
        })
    };
    assert_eq!(
        dollars(&wanted("Mill lane", "2026-06-30"), "gravel"),
        "30.00"
    );
    assert_eq!(dollars(&wanted("Other", "2026-06-30"), "gravel"), "40.00");
    assert_eq!(dollars(&list_of(&book, "2026-06-30"), "gravel"), "40.00");
    let late = wanted("Mill lane", "2026-07-01");
    let quote = late.quote("gravel").expect("the list price");
    assert_eq!(quote.unit_price.to_string(), "40.00");
    let expired = quote.expired.expect("the quote is told of");
    assert_eq!(expired.valid_until, day("2026-06-30"));
    assert_eq!(expired.quoted_for.as_deref(), Some("Mill lane"));
}

#[test]
fn an_expired_price_with_nothing_after_it_is_no_price() {
    let special = Price {
        valid_until: Some(day("2026-03-31")),
        ..price("gravel", "a", "30", "2026-03-01")
    };
    let list = list_of(&stone_book(vec![special]), "2026-05-04");
    let why = list.quote("gravel").map(|_| ()).expect_err("expired");
    assert_eq!(
        why,
        NoPrice::Expired {
            valid_until: day("2026-03-31")
        }
    );
}

#[test]
fn an_estimate_flags_an_expired_quote_and_old_prices() {
    let book = write(
        &demo(),
        &Change {
            prices: vec![Price {
                quoted_for: Some("Mill lane".to_owned()),
                valid_until: Some(day("2026-04-30")),
                ..price("stone-dense-graded", "quarry-yard", "20", "2026-04-01")
            }],
            ..Change::default()
        },
    );
    let found = estimate(
        &list_of(&book, "2026-05-04"),
        &straight(r#""name": "Mill lane","#),
    );
    let told = |kind: &str| {
        found
            .cautions
            .iter()
            .find(|caution| caution.kind == kind)
            .map(|c| c.text.clone())
    };
    let expired = told("expired_quote").expect("the quote is told of");
    assert!(
        expired.contains("2026-04-30") && expired.contains("stone-dense-graded"),
        "{expired}"
    );
    assert_eq!(told("price_age"), None, "nothing is older than a year");
    let later = estimate(&list_of(&book, "2028-05-04"), &straight(""));
    let age = later
        .cautions
        .iter()
        .find(|caution| caution.kind == "price_age")
        .expect("old prices");
    assert!(age.text.contains("Older than 365 days"), "{}", age.text);
}

#[test]
fn the_preferred_supplier_goes_before_a_cheaper_one() {
    let both = stone_book(vec![
        price("gravel", "a", "40", "2026-01-01"),
        price("gravel", "b", "38", "2026-01-01"),
    ]);
    assert_eq!(dollars(&list_of(&both, "2026-05-04"), "gravel"), "38.00");
    let preferred = write(
        &both,
        &Change {
            items: vec![Item {
                supplier: Some("a".to_owned()),
                ..item("gravel")
            }],
            ..Change::default()
        },
    );
    assert_eq!(
        dollars(&list_of(&preferred, "2026-05-04"), "gravel"),
        "40.00"
    );
    let gone = with_prices(
        &preferred,
        vec![Price {
            unit_price: None,
            ..price("gravel", "a", "0", "2026-01-01")
        }],
    );
    assert_eq!(
        dollars(&list_of(&gone, "2026-05-04"), "gravel"),
        "38.00",
        "where it has no price"
    );
}

#[test]
fn a_yard_s_book_goes_before_the_region_s_which_fills_its_gaps() {
    let own = Item {
        description: "Stone, as the yard calls it".to_owned(),
        ..demo()
            .item("stone-dense-graded")
            .and_then(|i| i.item(1))
            .expect("known")
            .clone()
    };
    let yard = write(
        &yard(),
        &Change {
            suppliers: vec![seller("near-pit")],
            items: vec![own],
            prices: vec![price("stone-dense-graded", "near-pit", "31", "2026-04-01")],
            ..Change::default()
        },
    );
    let list = over_demo(&yard, "2026-05-04");
    let stone = list.quote("stone-dense-graded").expect("priced");
    assert_eq!(
        (
            stone.unit_price.to_string().as_str(),
            stone.from.book.as_str()
        ),
        ("31.00", "yard")
    );
    let bar = list.quote("bar-no4-20ft").expect("inherited");
    assert_eq!(
        (bar.unit_price.to_string().as_str(), bar.from.book.as_str()),
        ("12.40", "demo")
    );
    assert_eq!(list.settings().travel_minutes, 30, "settings are inherited");
    // Before the yard's own price takes effect the region's holds, under the yard's particulars.
    let before = over_demo(&yard, "2026-03-31");
    let stone = before.quote("stone-dense-graded").expect("priced");
    assert_eq!(
        (
            stone.unit_price.to_string().as_str(),
            stone.item.description.as_str()
        ),
        ("34.50", "Stone, as the yard calls it")
    );
    assert!(list.is_demo(), "some of its prices are invented");
}

#[test]
fn a_price_is_never_taken_for_another_unit() {
    let by_yard = Item {
        sale_unit: SaleUnit::Yd3,
        ..item("stone-dense-graded")
    };
    let yard = write(
        &yard(),
        &Change {
            items: vec![by_yard],
            ..Change::default()
        },
    );
    let list = over_demo(&yard, "2026-05-04");
    let stone = list
        .quote("stone-dense-graded")
        .expect("the region's price");
    assert_eq!(
        stone.item.sale_unit,
        SaleUnit::Ton,
        "the region sells it by the ton"
    );
}

/// FRED, series of the producer price index of ready-mix concrete, West (read there): 177.537 in
/// October 2024, 180.306 in February 2025, a ratio of 1.0156.
#[test]
fn a_price_is_brought_forward_by_its_index() {
    let value = |month, value| IndexValue {
        series: "ready-mix-west".to_owned(),
        month: parse_month(month).expect("a month"),
        value: decimal(value),
    };
    let book = write(
        &demo(),
        &Change {
            items: vec![Item {
                index: Some("ready-mix-west".to_owned()),
                ..item("gravel")
            }],
            suppliers: vec![seller("a")],
            prices: vec![price("gravel", "a", "100", "2024-10-15")],
            indices: vec![value("2024-10", "177.537"), value("2025-02", "180.306")],
            ..Change::default()
        },
    );
    let escalated = |as_of| {
        list_of(&book, as_of).wanting(Wanted {
            escalate: true,
            ..Wanted::default()
        })
    };
    assert_eq!(
        dollars(&escalated("2025-02-01"), "gravel"),
        "101.5597",
        "100 x 180.306 / 177.537"
    );
    assert_eq!(
        dollars(&escalated("2025-01-31"), "gravel"),
        "100.00",
        "the last month known"
    );
    assert_eq!(
        dollars(&list_of(&book, "2025-02-01"), "gravel"),
        "100.00",
        "only where it is asked"
    );
    let list = escalated("2026-05-04");
    let from = list
        .quote("gravel")
        .expect("priced")
        .from
        .escalated
        .expect("told");
    assert_eq!(
        (from.from_month.as_str(), from.to_month.as_str()),
        ("2024-10", "2025-02")
    );
    assert_eq!(from.unit_price.to_string(), "100.00");
}
