//! Two jobs: which section moves the price, and what its step is worth.

use super::{by_cause, by_sections, net, of_jobs, priced, sum, sum_of_rows, switchback};
use crate::worked::{demo_list, today};
use crossfall::book::demo_history;
use crossfall::catalog::{Change, Price, PriceList, Revision, Settings};
use crossfall::change::{Cause, End, Method, Side, compare_by_sections, sections};
use crossfall::quantity::money::{Decimal4, Percentage, UnitPrice};
use serde_json::{Value, json};
use std::sync::Arc;

/// One value, the cause that it belongs to, and whether it moves the price of the switchback.
fn single_changes() -> Vec<(&'static str, Value, Cause)> {
    vec![
        ("/ramp/path/1/length", json!("12 ft"), Cause::Geometry),
        ("/slab/thickness", json!("6 in"), Cause::Geometry),
        ("/base/depth", json!("6 in"), Cause::Geometry),
        ("/base/waste", json!("30 %"), Cause::Quantity),
        ("/forms/stock", json!(["16 ft"]), Cause::Quantity),
        ("/crew/travel", json!("75 min"), Cause::Rate),
        ("/site/truck_to_pour", json!("300 ft"), Cause::Rate),
        ("/price/overhead", json!("21 %"), Cause::Settings),
        (
            "/price/profit",
            json!({"basis": "markup", "rate": "7 %"}),
            Cause::Settings,
        ),
    ]
}

#[test]
fn a_single_value_moves_the_price_for_its_own_cause_alone() {
    let before = switchback(&[]);
    for (pointer, value, cause) in single_changes() {
        let told = of_jobs(&before, &switchback(&[(pointer, value)]));
        assert_eq!(told.method, Method::Sections);
        assert_ne!(net(&told), 0, "{pointer}");
        for step in &told.causes {
            let amount = step.amount.expect("an amount").minor();
            if step.causes == [cause] {
                assert_eq!(amount, net(&told), "{pointer}");
                let named = step
                    .changed
                    .iter()
                    .any(|one| one.pointer.starts_with(pointer));
                assert!(named, "{pointer}: {:?}", step.changed);
            } else {
                assert_eq!((amount, step.changed.len()), (0, 0), "{pointer}: {step:?}");
            }
        }
    }
}

/// Each step done by hand: the job is written again with the changes so far, and priced by itself.
#[test]
fn every_step_is_the_difference_of_two_whole_estimates() {
    let list = demo_list();
    let changes = [
        ("/base", json!({"depth": "6 in"}), Cause::Geometry),
        ("/base/waste", json!("30 %"), Cause::Quantity),
        ("/crew/travel", json!("45 min"), Cause::Rate),
        ("/price", json!({"contingency": "9 %"}), Cause::Settings),
    ];
    let so_far = |count: usize| {
        let set: Vec<(&str, Value)> = changes[..count]
            .iter()
            .map(|(pointer, value, _)| (*pointer, value.clone()))
            .collect();
        let total = priced(&list, &switchback(&set)).priced.total();
        (switchback(&set), total.expect("a price").minor())
    };
    let told = of_jobs(&so_far(0).0, &so_far(4).0);
    let steps = by_cause(&told);
    for (index, (pointer, _, cause)) in changes.iter().enumerate() {
        let by_hand = so_far(index + 1).1 - so_far(index).1;
        assert_ne!(by_hand, 0, "{pointer}");
        assert!(
            steps.contains(&(vec![*cause], by_hand)),
            "{pointer}: {steps:?}"
        );
    }
    assert_eq!(sum(&told), net(&told));
    assert_eq!(sum_of_rows(&told), net(&told));
}

/// The demo book with dearer stone, a longer way and other percentages; all of it invented.
fn dearer() -> PriceList {
    let book = demo_history().expect("the demo book");
    let settings = *book.settings(book.latest()).expect("settings");
    let stone = Price {
        item: "stone-dense-graded".to_owned(),
        supplier: "quarry-yard".to_owned(),
        from_quantity: Decimal4::ZERO,
        unit_price: UnitPrice::parse("51.75").ok(),
        effective_from: today().0,
        valid_until: None,
        quoted_for: None,
    };
    let change = Change {
        note: "dearer".to_owned(),
        settings: Some(Settings {
            overhead: Percentage::from_millionths(140_000),
            travel_minutes: settings.travel_minutes + 20,
            ..settings
        }),
        prices: vec![stone],
        ..Change::default()
    };
    let revision = Revision {
        number: book.latest() + 1,
        made_at: chrono::DateTime::UNIX_EPOCH,
        note: "dearer".to_owned(),
    };
    let book = Arc::new(book.with(revision, &change));
    PriceList::new(book, None, today().0).expect("it has a revision")
}

/// Each step by hand, from whole estimates in which everything is stated that a book may say.
#[test]
fn a_books_prices_are_prices_and_its_percentages_and_its_way_are_not() {
    let lists = [demo_list(), dearer()];
    let [first, second] = [1, 2].map(|revision| switchback(&[("/book/revision", json!(revision))]));
    let told = by_sections([&lists[0], &lists[1]], [&first, &second]);
    let stated = |list: usize, travel: usize, overhead: &str| {
        let minutes = lists[travel].settings().travel_minutes;
        let job = switchback(&[
            ("/crew/travel", json!(format!("{minutes} min"))),
            ("/price/overhead", json!(overhead)),
        ]);
        let total = priced(&lists[list], &job).priced.total();
        total.expect("a price").minor()
    };
    let way = [
        stated(0, 0, "12 %"),
        stated(0, 1, "12 %"),
        stated(1, 1, "12 %"),
        stated(1, 1, "14 %"),
    ];
    assert!(way.windows(2).all(|pair| pair[0] < pair[1]), "{way:?}");
    let expected = [
        (vec![Cause::Geometry], 0),
        (vec![Cause::Quantity], 0),
        (vec![Cause::Rate], way[1] - way[0]),
        (vec![Cause::Price], way[2] - way[1]),
        (vec![Cause::Settings], way[3] - way[2]),
    ];
    assert_eq!(by_cause(&told), expected);
    assert_eq!(net(&told), way[3] - way[0]);
}

/// No job on the way can be priced here.
#[test]
fn a_step_without_a_price_is_told_with_the_next_that_has_one() {
    let list = demo_list();
    let before = switchback(&[]);
    let after = switchback(&[
        ("/base/depth", json!("6 in")),
        ("/crew/travel", json!("75 min")),
    ]);
    let [was, is] = [priced(&list, &before), priced(&list, &after)];
    let end = |estimate| End {
        estimate,
        list: &list,
    };
    let way = sections(end(&was), end(&is));
    let told = compare_by_sections((&Side::of(&was), &Side::of(&is)), way, |_| None);
    let steps = by_cause(&told);
    assert!(
        steps.contains(&(vec![Cause::Geometry, Cause::Rate], net(&told))),
        "{steps:?}"
    );
    assert_eq!(sum(&told), net(&told));
}

#[test]
fn a_line_without_a_price_leaves_every_step_open() {
    let told = of_jobs(&switchback(&[]), &switchback(&[("/scope", json!("prime"))]));
    let said = told.net_unknown.as_deref().unwrap_or_default();
    assert!(said.starts_with("after has no price for "), "{said}");
    assert_eq!(told.net, None);
    assert!(
        told.causes
            .iter()
            .all(|step| step.amount.is_none() && step.price.is_none())
    );
    assert!(!told.causes[0].changed.is_empty());
}

/// A landing more: what stands at one place of the path cannot come before the rest of it.
#[test]
fn a_run_more_is_told_where_it_stands() {
    let mut after: Value = serde_json::from_str(&switchback(&[])).expect("JSON");
    let path = after["ramp"]["path"].as_array_mut().expect("a path");
    path.insert(4, json!({"kind": "landing", "length": "5 ft"}));
    path.insert(
        5,
        json!({"kind": "run", "rise": "6 in", "length": "6 ft 9 in"}),
    );
    let told = of_jobs(&switchback(&[]), &after.to_string());
    let step = &told.causes[0];
    assert_eq!(step.causes, [Cause::Geometry]);
    assert!(net(&told) > 0);
    assert_eq!(sum(&told), net(&told));
    let new = step
        .changed
        .iter()
        .find(|one| one.pointer == "/ramp/path/6");
    assert!(new.is_some_and(|new| new.before.is_null() && new.after.is_object()));
}
