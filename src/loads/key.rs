//! What makes one plan better than another, as one number.
//!
//! Invariant: less money goes first, then fewer loads, then less waiting of trucks, then less time
//! from batching to the end of discharge, all loads together; keys of parts add up to the key of the
//! whole. Absent: how a tie in all four is broken (`partition`).

use super::charge::Charges;
use crate::quantity::money::{Amount, Currency};

const RIDE: u32 = 14;
const IDLE: u32 = 14;
const LOADS: u32 = 14;
const BELOW_COST: u32 = RIDE + IDLE + LOADS;

/// The place of a plan or a part of one among others; the least is the best.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Key(pub(super) i128);

impl Key {
    /// One load: what it costs, minutes waited and minutes from batching to the end of discharge.
    pub(super) fn of_load(charges: &Charges, idle: u32, ride: u32) -> Self {
        let cost = i128::from(charges.total().minor()) << BELOW_COST;
        let loads = 1_i128 << (RIDE + IDLE);
        Self(cost + loads + (i128::from(idle) << RIDE) + i128::from(ride))
    }

    /// The least amount that any plan with this key or a greater one costs.
    pub(super) fn amount(self, currency: &Currency) -> Amount {
        let minor = i64::try_from(self.0 >> BELOW_COST).unwrap_or(i64::MAX);
        Amount::from_minor(minor, currency)
    }
}

impl std::ops::Add for Key {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl std::iter::Sum for Key {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), |sum, one| sum + one)
    }
}
