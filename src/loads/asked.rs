//! What is planned from: every question answered, times in whole minutes.
//!
//! Invariants: pours stand by day, first hour, last hour and name, so that the order in which they
//! were sent changes nothing; each pour's mix has its terms; times of a pour are minutes of its day.

use super::short_load::ShortTier;
use crate::job::Day;
use crate::quantity::money::{Currency, UnitPrice};
use crate::quantity::{Span, System, Volume};
use std::collections::BTreeMap;

/// Pours, and what they are planned with.
#[derive(Clone, Debug)]
pub struct Asked {
    /// Name of the plan.
    pub name: String,
    /// Units of the answer.
    pub units: System,
    /// Of every amount.
    pub currency: Currency,
    /// By day, first hour, last hour and name.
    pub pours: Vec<Pour>,
    /// Minutes on the road.
    pub travel: Travel,
    /// What the plant asks for each mix.
    pub terms: BTreeMap<String, Terms>,
    /// The truck's time.
    pub haul: Haul,
}

/// What holds for every load.
#[derive(Clone, Copy, Debug)]
pub struct Haul {
    /// Minutes from batching to the end of discharge, at most.
    pub limit: u32,
    /// Minutes from batching until the truck leaves.
    pub loading: u32,
    /// Pours that one load serves, at most.
    pub most_stops: u32,
}

/// One pour.
#[derive(Clone, Debug, PartialEq)]
pub struct Pour {
    /// Its place in the request.
    pub place: usize,
    /// Its name.
    pub name: String,
    /// To deliver.
    pub volume: Volume,
    /// Its area, an index into the travel table.
    pub area: usize,
    /// Its day.
    pub day: Day,
    /// The first minute in which concrete may arrive.
    pub from: u32,
    /// The last.
    pub to: u32,
    /// Minutes to place all of it.
    pub placing: u32,
    /// Its mix.
    pub mix: String,
}

/// Minutes on the road.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Travel {
    /// From the plant, by area.
    pub out: Vec<u32>,
    /// From a pour of one area to a pour of another or the same.
    pub between: Vec<Vec<u32>>,
}

/// What a plant asks for a mix.
#[derive(Clone, Debug, PartialEq)]
pub struct Terms {
    /// What its trucks carry, by size.
    pub trucks: Vec<Volume>,
    /// Orders are whole multiples of this.
    pub step: Volume,
    /// The least order.
    pub least: Volume,
    /// For one yd3.
    pub price: UnitPrice,
    /// For a load.
    pub per_load: UnitPrice,
    /// For each stop after the first.
    pub extra_stop: UnitPrice,
    /// For a small load, by size.
    pub short_load: Vec<ShortTier>,
    /// Free on site for each yd3.
    pub free_a_yard: Span,
    /// For each minute more.
    pub wait: UnitPrice,
    /// Of the amounts.
    pub currency: Currency,
}

impl Asked {
    /// What the plant asks for the mix of a pour.
    pub(super) fn terms_of(&self, pour: &Pour) -> &Terms {
        self.terms
            .get(&pour.mix)
            .expect("reading gives every mix its terms")
    }

    /// Minutes from batching until a truck stands at a pour.
    pub(super) fn lead(&self, pour: &Pour) -> u32 {
        self.haul.loading + self.travel.out[pour.area]
    }
}
