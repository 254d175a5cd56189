//! What is to be least: pieces of one stock length, length, or money; as whole numbers.
//!
//! Invariants: one stock length costs one; without any price a length costs itself; where some
//! lengths have a price, one without is taken at the dearest price for its length that is known, so
//! that a gap in a price list never makes a length attractive. Absent: what a piece of stock costs in
//! words.

use super::Stock;
use super::kinds::to_steps;

/// What a cut list makes least.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Objective {
    /// Pieces of the one stock length.
    Pieces,
    /// Length that is bought, where no price is known.
    Length,
    /// What the stock costs.
    Cost,
}

impl Objective {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pieces => "fewest pieces",
            Self::Length => "least length bought",
            Self::Cost => "least cost",
        }
    }
}

/// What is made least, and what each stock costs by it, in the order given.
pub(super) fn weigh(stock: &[Stock]) -> (Objective, Vec<i64>) {
    if stock.len() < 2 {
        return (Objective::Pieces, vec![1; stock.len()]);
    }
    let priced = stock.iter().filter_map(|one| Some((one, worth(one)?)));
    let dearest = priced.max_by(|a, b| {
        let rate = |(one, price): &(&Stock, i64)| (*price as i128, i128::from(steps(one)));
        let ((a_price, a_length), (b_price, b_length)) = (rate(a), rate(b));
        (a_price * b_length).cmp(&(b_price * a_length))
    });
    let Some((dear, price)) = dearest else {
        return (Objective::Length, stock.iter().map(steps).collect());
    };
    let by_rate = |one: &Stock| {
        let whole = i128::from(price) * i128::from(steps(one));
        let rounded = (whole + i128::from(steps(dear)) - 1) / i128::from(steps(dear));
        i64::try_from(rounded).unwrap_or(MOST)
    };
    let costs = stock
        .iter()
        .map(|one| worth(one).unwrap_or_else(|| by_rate(one)).clamp(1, MOST));
    (Objective::Cost, costs.collect())
}

/// More than any price; keeps sums far from the end of the whole numbers.
const MOST: i64 = 1 << 48;

fn steps(one: &Stock) -> i64 {
    to_steps(one.length).max(1)
}

fn worth(one: &Stock) -> Option<i64> {
    one.worth.filter(|worth| *worth > 0)
}
