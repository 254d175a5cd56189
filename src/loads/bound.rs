//! A price for each piece, so that no column costs less than its pieces: a bound on every partition.
//!
//! Invariants: the prices that leave here keep that law exactly, in whole numbers, whatever the
//! approximation before them did; so their sum is never more than any partition costs. The work is a
//! count of rounds. Absent: the search.
//!
//! From any prices u others are made that keep the law: each piece's price plus the least share
//! (cost − prices of its pieces) / pieces over its columns. Subgradient steps raise their sum: a piece
//! that the chosen columns cover too little gets dearer, one that they cover too much cheaper.

use super::partition::Column;

/// Rounds of the approximation.
const ROUNDS: usize = 400;
/// The step is halved after so many rounds without gain.
const PATIENCE: usize = 12;

/// Prices by piece whose sum is as high as the rounds bring it; `known` is what some partition costs.
pub(super) fn raise_prices(columns: &[Column], pieces: usize, known: i128) -> Vec<i128> {
    let mut prices = vec![0.0; pieces];
    let (mut best, mut best_sum) = (prices.clone(), f64::NEG_INFINITY);
    let (mut pace, mut idle) = (1.5, 0);
    for _ in 0..ROUNDS {
        let (lawful, chosen) = share_out(columns, &prices);
        let sum: f64 = lawful.iter().sum();
        if sum > best_sum {
            (best, best_sum, idle) = (lawful, sum, 0);
        } else {
            idle += 1;
        }
        if idle == PATIENCE {
            (pace, idle) = (pace / 2.0, 0);
        }
        let slopes = slopes(columns, &chosen);
        let steepness: f64 = slopes.iter().map(|slope| slope * slope).sum();
        if steepness < 1e-12 {
            break;
        }
        let step = pace * (known as f64 - sum).max(1.0) / steepness;
        for (price, slope) in prices.iter_mut().zip(slopes) {
            *price += step * slope;
        }
    }
    settle(columns, &best)
}

fn cost(column: &Column) -> f64 {
    column.key as f64
}

/// Prices that keep the law but for rounding, and the column that set each.
fn share_out(columns: &[Column], prices: &[f64]) -> (Vec<f64>, Vec<usize>) {
    let mut least = vec![f64::INFINITY; prices.len()];
    let mut chosen = vec![0; prices.len()];
    for (number, column) in columns.iter().enumerate() {
        let priced: f64 = column.pieces().map(|piece| prices[piece]).sum();
        let share = (cost(column) - priced) / f64::from(column.set.count_ones());
        for piece in column.pieces() {
            if share < least[piece] {
                (least[piece], chosen[piece]) = (share, number);
            }
        }
    }
    let lawful = prices.iter().zip(least).map(|(price, least)| price + least);
    (lawful.collect(), chosen)
}

/// How much less than once the chosen columns cover each piece.
fn slopes(columns: &[Column], chosen: &[usize]) -> Vec<f64> {
    let mut slopes = vec![1.0; chosen.len()];
    for column in chosen.iter().map(|number| &columns[*number]) {
        let share = 1.0 / f64::from(column.set.count_ones());
        for piece in column.pieces() {
            slopes[piece] -= share;
        }
    }
    slopes
}

/// The same in whole numbers, so that the law holds exactly, and no price can be raised alone.
fn settle(columns: &[Column], prices: &[f64]) -> Vec<i128> {
    let mut whole: Vec<i128> = prices.iter().map(|price| *price as i128).collect();
    let mut least = vec![i128::MAX; whole.len()];
    for column in columns {
        let share = column
            .slack(&whole)
            .div_euclid(i128::from(column.set.count_ones()));
        for piece in column.pieces() {
            least[piece] = least[piece].min(share);
        }
    }
    for (price, least) in whole.iter_mut().zip(least) {
        *price += least;
    }
    for piece in 0..whole.len() {
        let own = columns.iter().filter(|column| column.set & 1 << piece != 0);
        let room = own.map(|column| column.slack(&whole)).min();
        whole[piece] += room.unwrap_or(0);
    }
    whole
}
