//! The linear programme of how often each pattern is cut: a revised simplex with a counted number of
//! steps.
//!
//! Invariants: as many patterns are in use as there are kinds, and together they give exactly what
//! is needed; ties go to the first; the order of every sum is fixed. What comes out is a proposal in
//! floating point: bounds are proven elsewhere in whole numbers. Absent: which pattern comes in.
//!
//! A library was looked at and left: it reads a clock, has no limit by count, panics inside, and its
//! duals are not told.

use super::kinds::{Cut, Set};

/// What counts as nothing.
const NOTHING: f64 = 1e-9;

/// Patterns in use.
pub(super) struct Master {
    pub(super) cuts: Vec<Cut>,
    /// How often each is cut.
    pub(super) times: Vec<f64>,
    costs: Vec<f64>,
    /// Inverse of the patterns in use, by rows.
    inverse: Vec<Vec<f64>>,
}

impl Master {
    /// Each kind alone, in the room that is cheapest for it.
    pub(super) fn start(set: &Set, demand: &[u32]) -> Self {
        let count = set.kinds.len();
        let mut master = Self {
            cuts: Vec::with_capacity(count),
            times: Vec::with_capacity(count),
            costs: Vec::with_capacity(count),
            inverse: vec![vec![0.0; count]; count],
        };
        for (index, kind) in set.kinds.iter().enumerate() {
            let (room, fit) = alone(set, kind.size, demand[index]);
            let mut takes = vec![0; count];
            takes[index] = fit;
            master.inverse[index][index] = 1.0 / f64::from(fit);
            master.times.push(f64::from(demand[index]) / f64::from(fit));
            master.costs.push(set.rooms[room].cost as f64);
            master.cuts.push(Cut { room, takes });
        }
        master
    }

    /// What one more piece of each kind would cost.
    pub(super) fn duals(&self) -> Vec<f64> {
        let mut duals = vec![0.0; self.costs.len()];
        for (cost, row) in self.costs.iter().zip(&self.inverse) {
            for (dual, part) in duals.iter_mut().zip(row) {
                *dual += cost * part;
            }
        }
        duals
    }

    /// Brings a pattern in; false where that would change nothing.
    pub(super) fn enter(&mut self, cut: Cut, cost: i64) -> bool {
        let takes: Vec<f64> = cut.takes.iter().map(|n| f64::from(*n)).collect();
        let along: Vec<f64> = self
            .inverse
            .iter()
            .map(|row| row.iter().zip(&takes).map(|(a, b)| a * b).sum())
            .collect();
        let mut out: Option<(usize, f64)> = None;
        for (index, step) in along.iter().enumerate() {
            let ratio = self.times[index] / step;
            let less = |(_, least): (usize, f64)| ratio < least - NOTHING;
            if *step > NOTHING && out.is_none_or(less) {
                out = Some((index, ratio));
            }
        }
        let Some((out, ratio)) = out else {
            return false;
        };
        self.pivot(out, &along);
        for (index, step) in along.iter().enumerate() {
            self.times[index] = (self.times[index] - ratio * step).max(0.0);
        }
        self.times[out] = ratio;
        self.costs[out] = cost as f64;
        self.cuts[out] = cut;
        true
    }

    fn pivot(&mut self, out: usize, along: &[f64]) {
        let scale = 1.0 / along[out];
        let pivot: Vec<f64> = self.inverse[out].iter().map(|part| part * scale).collect();
        for (index, row) in self.inverse.iter_mut().enumerate() {
            let step = along[index];
            if index == out || step == 0.0 {
                continue;
            }
            for (part, by) in row.iter_mut().zip(&pivot) {
                *part -= step * by;
            }
        }
        self.inverse[out] = pivot;
    }
}

/// The room that is cheapest for one piece of a kind when it is filled with it, and how many it holds.
fn alone(set: &Set, size: i64, demand: u32) -> (usize, u32) {
    let mut best = (set.rooms.len().saturating_sub(1), 1);
    let mut least = f64::INFINITY;
    for (index, room) in set.rooms.iter().enumerate() {
        let fit = (room.size / size).min(i64::from(demand)) as u32;
        let cost = room.cost as f64 / f64::from(fit.max(1));
        if fit > 0 && cost < least {
            (best, least) = ((index, fit), cost);
        }
    }
    best
}
