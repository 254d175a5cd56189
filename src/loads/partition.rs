//! Every piece in exactly one column, at the least cost: branch and bound over sets.
//!
//! Invariants: each piece has a column of its own, so that there is always an answer; the work is a
//! count of columns tried, never time; the bound is never more than the best partition costs, and
//! where the search comes to its end it is the cost itself. Equal partitions: the first that the
//! search meets stays, and it meets them in the order of the pieces. Absent: what a piece is.

use super::bound::raise_prices;
use std::collections::BTreeMap;

/// A set of pieces that may be served together, and what that costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// The pieces, each a bit.
    pub set: u32,
    /// What it costs.
    pub key: i128,
}

impl Column {
    /// Its pieces.
    pub(super) fn pieces(&self) -> impl Iterator<Item = usize> + use<> {
        let set = self.set;
        (0..32).filter(move |piece| set & 1 << piece != 0)
    }

    /// What it costs beyond the prices of its pieces.
    pub(super) fn slack(&self, prices: &[i128]) -> i128 {
        self.key - self.pieces().map(|piece| prices[piece]).sum::<i128>()
    }
}

/// The columns chosen, and how good they are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solved {
    /// Places of the columns, by their first piece.
    pub chosen: Vec<usize>,
    /// What they cost.
    pub key: i128,
    /// No partition costs less.
    pub bound: i128,
    /// True when the bound is reached or the search came to its end.
    pub proven: bool,
    /// Columns tried.
    pub tried: u64,
}

/// The cheapest partition of `pieces` pieces, or the best that so many trials find.
pub fn partition(columns: &[Column], pieces: usize, trials: u64) -> Solved {
    let mut apart = vec![0; pieces];
    for column in columns.iter().filter(|column| column.set.count_ones() == 1) {
        apart[column.set.trailing_zeros() as usize] = column.key;
    }
    // What it saves beside ordering its pieces one by one.
    let greedy = join_greedily(columns, pieces, &|column| -column.slack(&apart));
    let known = cost(columns, &greedy);
    let prices = raise_prices(columns, pieces, known);
    let tight = join_greedily(columns, pieces, &|column| -column.slack(&prices));
    let best = if cost(columns, &tight) < known {
        tight
    } else {
        greedy
    };
    let mut search = Search::new(columns, prices, best);
    search.left = trials;
    let all = (0..pieces).fold(0, |all, piece| all | 1 << piece);
    search.descend(all, 0);
    search.solved(trials)
}

fn cost(columns: &[Column], chosen: &[usize]) -> i128 {
    chosen.iter().map(|number| columns[*number].key).sum()
}

/// Takes the column that is worth most, again and again, of those that fit.
fn join_greedily(columns: &[Column], pieces: usize, worth: &dyn Fn(&Column) -> i128) -> Vec<usize> {
    let mut by_worth: Vec<usize> = (0..columns.len()).collect();
    by_worth.sort_by_key(|number| (std::cmp::Reverse(worth(&columns[*number])), *number));
    let (mut open, mut chosen) = (
        (0..pieces).fold(0, |all, piece| all | 1 << piece),
        Vec::new(),
    );
    for number in by_worth {
        if columns[number].set & !open == 0 {
            open &= !columns[number].set;
            chosen.push(number);
        }
    }
    chosen
}

struct Search<'a> {
    columns: &'a [Column],
    prices: Vec<i128>,
    /// Columns that can still be part of something better, by piece, the tightest first.
    by_piece: Vec<Vec<usize>>,
    best: Vec<usize>,
    best_key: i128,
    path: Vec<usize>,
    /// The least cost at which a set was left over before.
    seen: BTreeMap<u32, i128>,
    left: u64,
}

impl<'a> Search<'a> {
    fn new(columns: &'a [Column], prices: Vec<i128>, best: Vec<usize>) -> Self {
        let best_key = cost(columns, &best);
        let room = best_key - prices.iter().sum::<i128>();
        let mut useful: Vec<(i128, usize)> = columns
            .iter()
            .enumerate()
            .map(|(number, column)| (column.slack(&prices), number))
            .filter(|(slack, _)| *slack < room)
            .collect();
        useful.sort_unstable();
        let with = |piece: usize| {
            let numbers = useful.iter().map(|(_, number)| *number);
            numbers
                .filter(|number| columns[*number].set & 1 << piece != 0)
                .collect()
        };
        Self {
            by_piece: (0..prices.len()).map(with).collect(),
            columns,
            prices,
            best,
            best_key,
            path: Vec::new(),
            seen: BTreeMap::new(),
            left: 0,
        }
    }

    fn descend(&mut self, open: u32, spent: i128) {
        if open == 0 {
            if spent < self.best_key {
                (self.best_key, self.best) = (spent, self.path.clone());
            }
            return;
        }
        if spent + self.price_of(open) >= self.best_key || self.was_cheaper(open, spent) {
            return;
        }
        let piece = open.trailing_zeros() as usize;
        for place in 0..self.by_piece[piece].len() {
            if self.left == 0 {
                return;
            }
            self.left -= 1;
            let number = self.by_piece[piece][place];
            let column = self.columns[number];
            if column.set & !open == 0 {
                self.path.push(number);
                self.descend(open & !column.set, spent + column.key);
                self.path.pop();
            }
        }
    }

    fn price_of(&self, open: u32) -> i128 {
        let prices = self.prices.iter().enumerate();
        let own = prices.filter(|(piece, _)| open & 1 << piece != 0);
        own.map(|(_, price)| price).sum()
    }

    fn was_cheaper(&mut self, open: u32, spent: i128) -> bool {
        let before = self.seen.entry(open).or_insert(i128::MAX);
        let cheaper = *before <= spent;
        *before = spent.min(*before);
        cheaper
    }

    fn solved(mut self, trials: u64) -> Solved {
        let proven = self.left > 0;
        let bound: i128 = self.prices.iter().sum();
        self.best
            .sort_by_key(|number| self.columns[*number].set.trailing_zeros());
        Solved {
            key: self.best_key,
            bound: if proven { self.best_key } else { bound },
            proven: proven || bound == self.best_key,
            tried: trials - self.left,
            chosen: self.best,
        }
    }
}
