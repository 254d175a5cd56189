//! Cut lists against trying everything, and against their laws.

use super::cutting::{NODES, cost, cut_all, feet, inches, pieces, stock};
use crate::config;
use crossfall::quantity::Length;
use crossfall::takeoff::{CutList, Piece, Stock};
use proptest::prelude::*;

/// Least cost by putting each piece everywhere; a group is bought in the cheapest stock that holds it.
fn least_by_trying(sizes: &[u32], stock: &[(u32, u32)], open: &mut Vec<u32>) -> u32 {
    let Some((first, rest)) = sizes.split_first() else {
        let price = |used: &u32| {
            let holds = stock.iter().filter(|(length, _)| length >= used);
            holds.map(|(_, price)| *price).min().expect("it fits")
        };
        return open.iter().map(price).sum();
    };
    let longest = stock.iter().map(|(length, _)| *length).max().unwrap_or(0);
    let mut best = u32::MAX;
    for index in 0..open.len() {
        if open[index] + first <= longest {
            open[index] += first;
            best = best.min(least_by_trying(rest, stock, open));
            open[index] -= first;
        }
    }
    open.push(*first);
    best = best.min(least_by_trying(rest, stock, open));
    open.pop();
    best
}

/// Length bought, different lengths and pieces of stock, each the least among what is least before it,
/// by putting each piece everywhere and each group into every stock; all in feet.
fn best_by_trying(sizes: &[u32], stock: &[u32], open: &mut Vec<u32>) -> (u32, usize, usize) {
    let Some((first, rest)) = sizes.split_first() else {
        return buy_each(open, stock, &mut Vec::new());
    };
    let longest = stock.iter().max().copied().unwrap_or(0);
    open.push(*first);
    let mut best = best_by_trying(rest, stock, open);
    open.pop();
    for index in 0..open.len() {
        if open[index] + first <= longest {
            open[index] += first;
            best = best.min(best_by_trying(rest, stock, open));
            open[index] -= first;
        }
    }
    best
}

fn buy_each(groups: &[u32], stock: &[u32], bought: &mut Vec<u32>) -> (u32, usize, usize) {
    let Some((first, rest)) = groups.split_first() else {
        let different: std::collections::BTreeSet<&u32> = bought.iter().collect();
        return (bought.iter().sum(), different.len(), bought.len());
    };
    let mut best = (u32::MAX, 0, 0);
    for length in stock.iter().filter(|length| *length >= first) {
        bought.push(*length);
        best = best.min(buy_each(rest, stock, bought));
        bought.pop();
    }
    best
}

/// Stock by length in inches and price in cents, and pieces by length in inches and count.
type Drawn = (Vec<(u32, u32)>, Vec<(u32, u32)>);

fn drawn(counts: std::ops::Range<u32>, kinds: usize) -> impl Strategy<Value = Drawn> {
    let stock = prop::collection::btree_map(100..240_u32, 500..3_000_u32, 1..4);
    let stock = stock.prop_map(|map| map.into_iter().collect());
    (
        stock,
        prop::collection::vec((10..300_u32, counts), 1..kinds),
    )
}

fn made(drawn: &Drawn) -> (Vec<Stock>, Vec<Piece>) {
    let length = |length: u32| inches(f64::from(length));
    let sold = drawn.0.iter();
    let sold = sold.map(|(long, price)| stock(length(*long), Some(*price)));
    let wanted: Vec<(f64, u32)> = drawn.1.iter().map(|(l, n)| (f64::from(*l), *n)).collect();
    (sold.collect(), pieces(&wanted))
}

fn check_cuts(list: &CutList, wanted: &[Piece], kerf: f64) {
    let kerf = inches(kerf);
    let mut given = Length::ZERO;
    for pattern in &list.patterns {
        let used: Length = pattern.pieces.iter().map(|piece| piece.length).sum();
        let cuts = kerf * (pattern.pieces.len() as f64 - 1.0);
        assert!((used + cuts).at_most(pattern.stock), "overfilled");
        assert!((used + pattern.offcut).at_most(pattern.stock));
        given += used * f64::from(pattern.times);
    }
    let each = |piece: &Piece| piece.length * f64::from(piece.count);
    let asked: Length = wanted.iter().map(each).sum();
    assert!(
        (given - asked).abs() < Length::from_metres(1e-6),
        "not every piece, or too many"
    );
    let used: u32 = list.stock.iter().map(|used| used.count).sum();
    assert_eq!(used, list.pieces);
}

/// Lengths as they are cut, whole stock lengths left out, with how often each comes.
fn count_lengths(list: &CutList) -> Vec<(i64, u32)> {
    let mut counts = std::collections::BTreeMap::new();
    for pattern in &list.patterns {
        for piece in &pattern.pieces {
            // To a hundredth of an inch.
            let length = (piece.length.inches() * 100.0).round() as i64;
            *counts.entry(length).or_insert(0) += pattern.times;
        }
    }
    counts.into_iter().collect()
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn every_piece_is_cut_once_and_nothing_is_overfilled(
        drawn in drawn(1..9, 8),
        kerf in prop::sample::select(vec![0.0, 0.125, 0.25]),
        nodes in prop::sample::select(vec![0, 50, NODES]),
    ) {
        let (sold, wanted) = made(&drawn);
        let list = cut_all(&sold, &wanted, (kerf, nodes));
        check_cuts(&list, &wanted, kerf);
        // Pieces no longer than any stock come out one for one.
        let longest = drawn.0.iter().map(|(length, _)| *length).max().unwrap_or(0);
        if drawn.1.iter().all(|(length, _)| *length < longest) {
            let mut asked = std::collections::BTreeMap::new();
            for (length, count) in &drawn.1 {
                *asked.entry(i64::from(*length) * 100).or_insert(0) += count;
            }
            prop_assert_eq!(count_lengths(&list), asked.into_iter().collect::<Vec<_>>());
        }
        let unsearched = cut_all(&sold, &wanted, (kerf, 0));
        prop_assert!(cost(&list, &sold) <= cost(&unsearched, &sold));
    }

    #[test]
    fn a_proven_cut_list_is_what_trying_everything_finds(
        drawn in drawn(1..2, 8),
    ) {
        let (sold, _) = made(&drawn);
        let longest = drawn.0.iter().map(|(length, _)| *length).max().unwrap_or(0);
        let sizes: Vec<u32> = drawn.1.iter().map(|(length, _)| *length.min(&longest)).collect();
        let wanted: Vec<(f64, u32)> = sizes.iter().map(|size| (f64::from(*size), 1)).collect();
        let list = cut_all(&sold, &pieces(&wanted), (0.0, NODES));
        prop_assert!(list.proven_least);
        let least = least_by_trying(&sizes, &drawn.0, &mut Vec::new());
        prop_assert_eq!(cost(&list, &sold), i64::from(least) * 100);
    }

    #[test]
    fn among_equals_it_is_what_trying_everything_finds(
        sizes in prop::collection::vec(2..13_u32, 1..7),
        lengths in prop::sample::select(vec![vec![10, 12, 16], vec![8, 12, 16], vec![12, 16]]),
    ) {
        let sold: Vec<Stock> = lengths.iter().map(|l| stock(feet(f64::from(*l)), None)).collect();
        let longest = lengths.iter().max().copied().unwrap_or(0);
        prop_assert!(sizes.iter().all(|size| *size < longest));
        let wanted: Vec<(f64, u32)> = sizes.iter().map(|feet| (f64::from(feet * 12), 1)).collect();
        let list = cut_all(&sold, &pieces(&wanted), (0.0, NODES));
        let (bought, different, count) = best_by_trying(&sizes, &lengths, &mut Vec::new());
        prop_assert!(list.proven_least);
        let feet = list.bought().feet().round() as u32;
        prop_assert_eq!(
            (feet, list.stock.len(), list.pieces as usize),
            (bought, different, count)
        );
    }

    #[test]
    fn more_pieces_never_cost_less_and_a_wider_cut_neither(
        drawn in drawn(1..4, 5),
        more in 10..99_u32,
    ) {
        let (sold, wanted) = made(&drawn);
        let list = cut_all(&sold, &wanted, (0.0, NODES));
        let mut with = wanted.clone();
        with.extend(pieces(&[(f64::from(more), 1)]));
        let with = cut_all(&sold, &with, (0.0, NODES));
        let sawn = cut_all(&sold, &wanted, (0.25, NODES));
        if list.proven_least {
            prop_assert!(cost(&list, &sold) <= cost(&with, &sold));
            prop_assert!(cost(&list, &sold) <= cost(&sawn, &sold));
        }
    }

    #[test]
    fn the_order_in_which_pieces_and_stock_are_given_does_not_matter(
        drawn in drawn(1..9, 6),
        turn in 0..6_usize,
    ) {
        let (mut sold, mut wanted) = made(&drawn);
        let list = cut_all(&sold, &wanted, (0.125, NODES));
        sold.reverse();
        let by = turn % wanted.len();
        wanted.rotate_left(by);
        prop_assert_eq!(list, cut_all(&sold, &wanted, (0.125, NODES)));
    }

    #[test]
    fn pieces_that_came_from_so_many_bars_go_back_into_as_many(
        bars in prop::collection::vec(prop::collection::vec(20..140_u32, 1..6), 2..7),
    ) {
        let of_twenty = [stock(feet(20.0), None)];
        let mut wanted = Vec::new();
        for bar in &bars {
            let mut room = 240;
            for length in bar {
                if *length <= room {
                    room -= length;
                    wanted.push((f64::from(*length), 1));
                }
            }
        }
        let list = cut_all(&of_twenty, &pieces(&wanted), (0.0, NODES));
        if list.proven_least {
            prop_assert!(list.pieces as usize <= bars.len());
        }
        prop_assert!(list.bound.is_some_and(|bound| bound <= list.pieces && bound as usize <= bars.len()));
    }
}
