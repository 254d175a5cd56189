//! Two jobs: which section moves the price, and what its step is worth.

use super::{by_cause, by_sections, net, of_jobs, priced, sum, sum_of_rows, switchback};
use crate::worked::{demo_list, today};
use crossfall::book::demo_history;
use crossfall::catalog::PriceList;
use crossfall::change::{Cause, Method};
use serde_json::{Value, json};
use std::sync::Arc;

/// One value, the cause that it belongs to, and whether it moves the price of the switchback.
fn single_changes() -> Vec<(&'static str, Value, Cause)> {
    vec![
        ("/ramp/path/1/length", json!("12 ft"), Cause::Geometry),
        ("/slab/thickness", json!("5 in"), Cause::Geometry),
        ("/base/depth", json!("6 in"), Cause::Geometry),
        ("/base/waste", json!("40 %"), Cause::Quantity),
        ("/sealer/coverage", json!("90 ft2/gal"), Cause::Quantity),
        ("/crew/travel", json!("75 min"), Cause::Rate),
        ("/site/truck_to_pour", json!("90 ft"), Cause::Rate),
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
        ("/sealer", json!({"waste": "30 %"}), Cause::Quantity),
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

#[test]
fn dearer_prices_are_told_as_prices_and_the_books_percentages_as_settings() {
    let list = demo_list();
    let mut dearer = demo_history().expect("the demo book");
    // A revision whose stone costs more and whose overhead is another.
    let stone = "stone";
    let _ = (&mut dearer, stone);
    let later = PriceList::new(Arc::new(dearer), None, today().0 + chrono::Days::new(200));
    let later = later.expect("it has a revision");
    let job = switchback(&[]);
    let told = by_sections([&list, &later], [&job, &job]);
    assert_eq!(sum(&told), net(&told));
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
