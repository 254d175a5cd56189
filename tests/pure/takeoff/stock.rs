//! Stock lengths that a job allows: what is bought of them, where bars lap and boards are spliced.

use super::jobs::{expanded, straight, taken};
use crate::worked::{demo_list, priced_from, today};
use crossfall::catalog::{Catalog, Worths};
use crossfall::geometry::solve;
use crossfall::job::{BarStock, BoardStock, JobRequest, expand};
use crossfall::quantity::{Faults, Length};
use crossfall::takeoff::{Detail, Objective, take_off_with};
use serde_json::{Value, json};

fn with_stock(bars: &Value, boards: &Value) -> Value {
    straight(|job| {
        job["reinforcement"] = json!({"stock": bars});
        job["forms"] = json!({"stock": boards});
    })
}

fn faults(job: &Value) -> Faults {
    let sent: JobRequest = serde_json::from_value(job.clone()).expect("readable");
    expand(sent, today()).expect_err("a fault")
}

#[test]
fn every_choice_of_stock_has_its_row() {
    let rows = Catalog::built_in();
    for stock in BarStock::ALL {
        assert!(
            rows.steel
                .stock
                .iter()
                .any(|row| row.stock == stock.as_str())
        );
    }
    for stock in BoardStock::ALL {
        assert!(
            rows.forms
                .stock
                .iter()
                .any(|row| row.stock == stock.as_str())
        );
    }
    for row in rows.steel.stock.iter().chain(&rows.forms.stock) {
        assert_eq!(row.length, Length::parse(&row.stock).expect("a length"));
    }
}

/// A lap of at most 100 diameters is the most that a job may ask for.
#[test]
fn no_lap_is_as_long_as_a_stock_bar() {
    let rows = &Catalog::built_in().steel;
    for stock in &rows.stock {
        for bar in &rows.bar {
            assert!(bar.diameter * 100.0 < stock.length, "{}", bar.bar);
        }
    }
}

#[test]
fn a_list_of_stock_lengths_names_each_once_and_at_least_one() {
    for (bars, found) in [
        (json!([]), "0 lengths, 0 different"),
        (json!(["20 ft", "20 ft"]), "2 lengths, 1 different"),
    ] {
        let faults = faults(&with_stock(&bars, &json!([])));
        let told = |pointer: &str| faults.0.iter().find(|fault| fault.pointer == pointer);
        let fault = told("/reinforcement/stock").expect("told");
        assert_eq!(fault.found, found);
        assert_eq!(fault.example.as_deref(), Some("[\"20 ft\"]"));
        assert!(told("/forms/stock").is_some());
    }
    // In whatever order they are sent.
    let job = expanded(&with_stock(&json!(["40 ft", "20 ft"]), &json!(["12 ft"])));
    let steel = job.reinforcement.as_option().expect("steel");
    assert_eq!(steel.stock, [BarStock::Ft20, BarStock::Ft40]);
    assert_eq!(job.forms.stock, [BoardStock::Ft12]);
}

/// The bars along this ramp are about 38 ft long: lapped from 20 ft, whole from 40 ft.
#[test]
fn a_longer_stock_bar_needs_no_lap() {
    let lapped = taken(&straight(|_| {}));
    assert!(lapped.takeoff.bar_marks.iter().any(|mark| mark.laps == 1));
    let both = taken(&with_stock(&json!(["20 ft", "40 ft"]), &json!(["16 ft"])));
    assert!(both.takeoff.bar_marks.iter().all(|mark| mark.laps == 0));
    assert!(both.has("bar-no4-40ft"));
    let list = &both.takeoff.cut_lists[0];
    assert_eq!((list.of, list.what.as_str()), ("/reinforcement", "no. 4"));
    assert_eq!(list.objective, Objective::Length);
    // Only the long one.
    let long = taken(&with_stock(&json!(["40 ft"]), &json!(["16 ft"])));
    assert!(!long.has("bar-no4-20ft"));
}

/// Bars are cut to the inch below; the marks keep their length.
#[test]
fn bars_are_cut_to_the_inch_below() {
    let taken = taken(&straight(|job| {
        job["ramp"]["width"] = json!("5 ft 3 3/4 in")
    }));
    let list = &taken.takeoff.cut_lists[0];
    let all = list.patterns.iter().flat_map(|pattern| &pattern.pieces);
    let mut across = all.filter(|piece| piece.length < Length::from_feet(6.0));
    // Worked: 63 3/4 in less a cover of 2 in at either end is 59 3/4 in.
    let piece = across.next().expect("a bar across");
    assert!(
        (piece.length.inches() - 59.0).abs() < 1e-9,
        "{:?}",
        piece.length
    );
    let mark = taken
        .takeoff
        .bar_marks
        .iter()
        .find(|mark| mark.mark == piece.mark);
    assert!((mark.expect("its mark").length.inches() - 59.75).abs() < 1e-9);
}

/// Worked: faces of 28.097 ft in 12-ft boards are two boards and a rest of 4.097 ft; stakes every 2 ft
/// behind a 2x10: 7 + 7 + 4, where one board of that length would need 16.
#[test]
fn a_splice_has_a_stake_at_each_boards_end() {
    let stakes = |boards: Value| {
        let job = straight(|job| {
            job["forms"] = json!({"stock": boards});
            job["ramp"]["path"] = json!([
                {"kind": "landing", "work": "existing", "length": "5 ft"},
                {"kind": "run", "rise": "28 in", "length": "28 ft"},
                {"kind": "landing", "work": "existing", "length": "5 ft"}
            ]);
            job["ramp"]["curb"] = json!("none");
        });
        taken(&job).order("stake-24in")
    };
    // A slab of 5 in alone stands behind a 2x6, staked every 2 1/2 ft: 12 ft has 6, 4.097 ft has 3.
    assert_eq!(stakes(json!(["12 ft"])), "30");
    // 16 ft has 8, 12.097 ft has 6.
    assert_eq!(stakes(json!(["10 ft", "16 ft"])), "28");
}

#[test]
fn boards_are_cut_by_what_the_list_says_they_are_worth() {
    let (job, list) = (straight(|_| {}), demo_list());
    let estimate = priced_from(&list, &job.to_string()).expect("no fault");
    let boards = || {
        let lists = estimate.takeoff.cut_lists.iter();
        lists.filter(|list| list.of == "/forms")
    };
    assert!(boards().count() > 1);
    assert!(boards().all(|list| list.objective == Objective::Cost && list.proven_least));
    // What a takeoff alone says under the same list is the same.
    let job = estimate.job.clone();
    let known = (Catalog::built_in(), Worths::by(&list));
    let named = boards().flat_map(|list| &list.patterns);
    let named: Vec<&str> = named
        .flat_map(|pattern| &pattern.pieces)
        .map(|piece| piece.mark.as_str())
        .collect();
    assert!(named.contains(&"run 1 left, run 1 right"), "{named:?}");
    let alone = take_off_with(&job, &solve(&job), known, Detail::Worked);
    assert_eq!(alone.cut_lists, estimate.takeoff.cut_lists);
}
