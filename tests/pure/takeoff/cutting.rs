//! Cut lists worked by hand.
//!
//! Their laws stand in `cutting_laws`, what a solver finds for larger ones in `tests/callers/oracles`.

use crossfall::quantity::Length;
use crossfall::takeoff::{CutList, Method, Objective, Piece, Problem, Stock, cut};

pub(super) const NODES: u32 = 4_000;

pub(super) fn feet(feet: f64) -> Length {
    Length::from_feet(feet)
}

pub(super) fn inches(inches: f64) -> Length {
    Length::from_inches(inches)
}

pub(super) fn stock(length: Length, price: Option<u32>) -> Stock {
    Stock {
        code: format!("stock-{}", length.inches()),
        length,
        worth: price.map(|price| i64::from(price) * 100),
    }
}

pub(super) fn pieces(all: &[(f64, u32)]) -> Vec<Piece> {
    let all = all.iter().enumerate();
    all.map(|(index, (length, count))| Piece {
        mark: format!("P{index}"),
        length: inches(*length),
        count: *count,
    })
    .collect()
}

pub(super) fn cut_all(stock: &[Stock], pieces: &[Piece], (kerf, nodes): (f64, u32)) -> CutList {
    cut(&Problem {
        stock,
        pieces,
        kerf: inches(kerf),
        keep: feet(2.0),
        nodes,
    })
}

/// What a list costs, from what each stock costs.
pub(super) fn cost(list: &CutList, stock: &[Stock]) -> i64 {
    let each = list.stock.iter().map(|used| {
        let sold = stock.iter().find(|stock| stock.code == used.code);
        let worth = sold.and_then(|sold| sold.worth).expect("a price");
        worth * i64::from(used.count)
    });
    each.sum()
}

/// The model job: 32 pieces of 62 in go at most three to a bar, and then only one bar has room for a
/// piece of 58.54 in, so that eleven short bars cannot hold all: 22 with the ten whole ones.
#[test]
fn the_cut_list_of_the_model_job_needs_22_bars_and_that_is_proven() {
    let wanted = pieces(&[(298.54, 5), (62.0, 17), (286.0, 5), (62.0, 15)]);
    let bars = [stock(feet(20.0), None)];
    let list = cut_all(&bars, &wanted, (0.0, NODES));
    assert_eq!((list.pieces, list.bound), (22, Some(22)));
    assert!(list.proven_least && list.objective == Objective::Pieces);
    assert_eq!(list.method, Method::Search);
    // The whole bars are parts of the long marks.
    assert_eq!(list.patterns[0].pieces[0].mark, "P0, P2");
    // Without nodes the same bars are found, and nothing is claimed.
    let list = cut_all(&bars, &wanted, (0.0, 0));
    assert_eq!(
        (list.pieces, list.bound, list.proven_least),
        (22, Some(21), false)
    );
    assert!(
        list.patterns
            .iter()
            .any(|pattern| pattern.pieces[0].mark == "P1, P3")
    );
}

/// First fit by falling length takes three bars of 10 here; the search finds the two that do.
#[test]
fn the_search_betters_first_fit() {
    let of_ten = [stock(feet(10.0), None)];
    let wanted = pieces(&[72.0, 60.0, 36.0, 24.0, 24.0, 24.0].map(|one| (one, 1)));
    let list = cut_all(&of_ten, &wanted, (0.0, NODES));
    assert_eq!((list.pieces, list.proven_least), (2, true));
    assert_eq!(list.patterns.len(), 2);
    let unsearched = cut_all(&of_ten, &wanted, (0.0, 0));
    assert_eq!((unsearched.pieces, unsearched.proven_least), (3, false));
}

/// Beside the pieces above one of 8 1/2 ft leaves 1 1/2 ft over, which is all that three bars may
/// leave: first fit takes four.
#[test]
fn the_search_takes_a_bar_that_leaves_all_there_is_to_spare() {
    let of_ten = [stock(feet(10.0), None)];
    let wanted = pieces(&[102.0, 72.0, 60.0, 36.0, 24.0, 24.0, 24.0].map(|one| (one, 1)));
    let list = cut_all(&of_ten, &wanted, (0.0, NODES));
    assert_eq!((list.pieces, list.proven_least), (3, true));
    assert_eq!(cut_all(&of_ten, &wanted, (0.0, 0)).pieces, 4);
}

/// Worked: two pieces of 7 ft and one of 9 ft. 16-ft boards take 7 + 9 and leave a 7: 9.40 + 9.00 with
/// a 10-ft board; 12-ft boards take one each, 27.30.
#[test]
fn boards_are_bought_at_least_cost() {
    let boards = [(10.0, 900), (12.0, 910), (16.0, 940)];
    let boards = boards.map(|(length, price)| stock(feet(length), Some(price)));
    let wanted = pieces(&[(84.0, 2), (108.0, 1)]);
    let list = cut_all(&boards, &wanted, (0.0, NODES));
    assert_eq!(cost(&list, &boards), 184_000);
    assert!(list.proven_least && list.objective == Objective::Cost);
    // What the saw takes leaves no room for both in 16 ft: now each has a board of its own, and as
    // cheap as any is the 10-ft board.
    let sawn = cut_all(&boards, &wanted, (0.125, NODES));
    assert_eq!(cost(&sawn, &boards), 184_000, "7 + 7 in 16 ft, 9 in 10 ft");
    assert!(sawn.patterns.iter().all(|pattern| pattern.pieces.len() < 3));
}

/// Worked: pieces that fill a length exactly need no kerf behind the last: 4 + 4 + 4 ft less two
/// kerfs do not fit 12 ft, 4 ft, 4 ft and 3 ft 11 3/4 in do.
#[test]
fn the_last_cut_may_fall_on_the_end_of_the_stock() {
    let boards = [stock(feet(12.0), None)];
    let three = cut_all(&boards, &pieces(&[(48.0, 3)]), (0.125, NODES));
    assert_eq!(three.pieces, 2);
    let fitted = cut_all(&boards, &pieces(&[(48.0, 2), (47.75, 1)]), (0.125, NODES));
    assert_eq!(
        (fitted.pieces, fitted.patterns[0].offcut),
        (1, Length::ZERO)
    );
}

/// Worked: 48 ft in pieces of 4 ft are three boards of 16 ft or four of 12 ft: one length either way,
/// so the fewer boards; 20 ft in pieces of 5 and 10 ft are two of 10 ft, as no length of 16 helps.
#[test]
fn among_equals_fewer_lengths_and_then_fewer_pieces_are_taken() {
    let boards = [10.0, 12.0, 16.0].map(|length| stock(feet(length), None));
    let list = cut_all(&boards, &pieces(&[(48.0, 12)]), (0.0, NODES));
    assert_eq!((list.pieces, list.stock.len()), (3, 1));
    assert!(list.proven_least && list.objective == Objective::Length);
    let list = cut_all(&boards, &pieces(&[(60.0, 2), (120.0, 1)]), (0.0, NODES));
    assert_eq!(list.stock.len(), 1);
    assert_eq!((list.stock[0].length, list.pieces), (feet(10.0), 2));
    // 28 ft as 12 + 16 ft are two lengths, and nothing of 28 ft is of one.
    let list = cut_all(&boards, &pieces(&[(144.0, 1), (192.0, 1)]), (0.0, NODES));
    assert_eq!(list.stock.len(), 2);
    // Prices by which 2 x 12 ft cost what 10 + 16 ft do, and first fit takes the latter.
    let boards = [(10.0, 900), (12.0, 1_000), (16.0, 1_100)];
    let boards = boards.map(|(length, price)| stock(feet(length), Some(price)));
    let list = cut_all(
        &boards,
        &pieces(&[(126.0, 1), (64.0, 1), (62.0, 1)]),
        (0.0, NODES),
    );
    assert_eq!((list.stock.len(), list.pieces), (1, 2));
    assert_eq!(list.stock[0].length, feet(12.0));
}

/// Worked: 12 ft has no price; at 0.90 a foot, the dearest known, it would be 10.80, dearer than two
/// pieces in 16 ft.
#[test]
fn a_length_without_a_price_is_taken_at_the_dearest_rate() {
    let boards = [
        stock(feet(10.0), Some(900)),
        stock(feet(12.0), None),
        stock(feet(16.0), Some(1_070)),
    ];
    let list = cut_all(&boards, &pieces(&[(132.0, 1)]), (0.0, NODES));
    assert_eq!(list.stock[0].length, feet(16.0));
    let dearer = [
        boards[0].clone(),
        boards[1].clone(),
        stock(feet(16.0), Some(1_090)),
    ];
    let list = cut_all(&dearer, &pieces(&[(132.0, 1)]), (0.0, NODES));
    assert_eq!(list.stock[0].length, feet(12.0));
}

/// Worked: rests of 1 ft 11 in and of 2 ft.
#[test]
fn offcuts_from_two_feet_on_are_worth_keeping() {
    let of_ten = [stock(feet(10.0), None)];
    let list = cut_all(&of_ten, &pieces(&[(97.0, 2), (96.0, 3)]), (0.0, NODES));
    assert_eq!(list.worth_keeping, [(feet(10.0) - inches(96.0), 3)]);
}

#[test]
fn nothing_comes_of_no_stock_and_of_no_pieces() {
    assert_eq!(cut_all(&[], &pieces(&[(60.0, 2)]), (0.0, NODES)).pieces, 0);
    let list = cut_all(&[stock(feet(10.0), None)], &[], (0.0, NODES));
    assert!(list.pieces == 0 && list.proven_least && list.patterns.is_empty());
}

/// Cutting-stock problem of a textbook shape: 97 pieces of 45 in, 610 of 36, 395 of 31, 211 of 14 from
/// rolls of 100, whose least is 453 rolls (V. Chvatal, Linear Programming, chapter 13; from memory).
#[test]
fn a_known_problem_is_solved_and_proven() {
    let rolls = [stock(inches(100.0), None)];
    let wanted = pieces(&[(45.0, 97), (36.0, 610), (31.0, 395), (14.0, 211)]);
    let list = cut_all(&rolls, &wanted, (0.0, NODES));
    assert_eq!(
        (list.pieces, list.bound, list.proven_least),
        (453, Some(453), true)
    );
    assert_eq!(list.method, Method::Columns);
}
