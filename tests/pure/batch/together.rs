//! Bars of many jobs cut together: every piece once, never more than one by one, bounded, in any grouping.

use crate::worked::priced;
use crossfall::batch::{Gathers, Summary, Told};
use crossfall::estimate::Estimate;
use std::sync::LazyLock;

const CUTS: Gathers = Gathers {
    loads: false,
    cuts: true,
};

static JOBS: LazyLock<[Estimate; 2]> = LazyLock::new(|| {
    [
        priced(include_str!("../../../examples/straight.json")),
        priced(include_str!("../../../examples/l-shape.json")),
    ]
});

fn told(row: u64) -> Told<'static> {
    Told {
        row,
        day: None,
        area: None,
    }
}

fn summed(rows: std::ops::Range<u64>) -> Summary {
    let mut summary = Summary::gathering(CUTS);
    for row in rows {
        summary.add(&JOBS[(row % 2) as usize], told(row), None);
    }
    summary
}

fn bars(estimate: &Estimate) -> u64 {
    let lists = estimate.takeoff.cut_lists.iter();
    let bars = lists.filter(|list| list.of == "/reinforcement");
    bars.map(|list| u64::from(list.pieces)).sum()
}

fn lengths(lists: &[crossfall::takeoff::CutList]) -> f64 {
    let patterns = lists.iter().flat_map(|list| &list.patterns);
    let each = patterns.map(|pattern| {
        let pieces: f64 = pattern
            .pieces
            .iter()
            .map(|piece| piece.length.inches())
            .sum();
        pieces * f64::from(pattern.times)
    });
    each.sum()
}

#[test]
fn ten_jobs_cut_together_take_every_piece_once_and_no_more_bars_than_one_by_one() {
    let mut summary = summed(0..10);
    let orders = summary.orders.clone();
    let (lists, left_out) = summary.cut_together().expect("it was asked for");
    assert_eq!((lists.len(), left_out, lists[0].jobs), (1, 0, 10));
    let one_by_one = 5 * (bars(&JOBS[0]) + bars(&JOBS[1]));
    assert_eq!(lists[0].one_by_one.values().sum::<u64>(), one_by_one);
    assert!(u64::from(lists[0].list.pieces) <= one_by_one);
    let own: f64 = JOBS
        .iter()
        .map(|job| {
            let bars = job
                .takeoff
                .cut_lists
                .iter()
                .filter(|list| list.of == "/reinforcement");
            5.0 * lengths(&bars.cloned().collect::<Vec<_>>())
        })
        .sum();
    assert!((lengths(std::slice::from_ref(&lists[0].list)) - own).abs() < 1e-6 * own);
    // What is ordered is what the list takes.
    let key = ("bar-no4-20ft".to_owned(), "each");
    assert_eq!(orders.by_item[&key].order().number(), one_by_one as f64);
    assert_eq!(
        summary.orders.by_item[&key].order().number(),
        f64::from(lists[0].list.pieces)
    );
}

#[test]
fn jobs_in_groups_are_cut_as_in_one() {
    let mut merged = summed(0..4);
    merged.merge(summed(4..10));
    let (whole, parts) = (summed(0..10).cut_together(), merged.cut_together());
    assert_eq!(whole, parts);
}

#[test]
fn what_goes_beyond_the_bound_is_counted_and_keeps_its_own_cuts() {
    let mut summary = summed(0..2_000);
    let orders = summary.orders.clone();
    let (lists, left_out) = summary.cut_together().expect("it was asked for");
    assert!(left_out > 0);
    assert_eq!(lists[0].jobs + left_out, 2_000);
    let key = ("bar-no4-20ft".to_owned(), "each");
    let saved = lists[0].one_by_one.values().sum::<u64>() as f64 - f64::from(lists[0].list.pieces);
    let (before, after) = (
        orders.by_item[&key].order().number(),
        summary.orders.by_item[&key].order().number(),
    );
    assert!(
        (before - after - saved).abs() < 1e-6,
        "{before} {after} {saved}"
    );
}

#[test]
fn nothing_is_gathered_that_was_not_asked_for() {
    let mut summary = Summary::default();
    summary.add(&JOBS[0], told(1), None);
    assert!(summary.cut_together().is_none());
}
