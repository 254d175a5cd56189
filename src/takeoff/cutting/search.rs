//! Branch and bound: the longest piece left must go somewhere, so each pattern that holds it is tried.
//!
//! Invariants: only patterns with room for nothing more that is needed, each in the cheapest room
//! that holds it; what was found too dear is remembered with the budget it was too dear for; nodes
//! are counted. Absent: the first way to cut, and where weights come from.

use super::kinds::{Cut, Kind, Set, Takes, cost_of};
use super::weights::Weights;
use super::{Found, Method};
use std::collections::BTreeMap;

/// How far a search goes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
    /// Cost that is allowed.
    pub(super) budget: i64,
    /// Patterns that are looked at.
    pub(super) nodes: u32,
}

impl Limits {
    /// For something that costs less than `cost`.
    pub(super) const fn below(cost: i64, nodes: u32) -> Self {
        Self {
            budget: cost - 1,
            nodes,
        }
    }
}

/// What a search came to.
pub(super) struct Searched {
    /// The cheapest way within the budget.
    pub(super) best: Option<Vec<Cut>>,
    /// Whether there is none cheaper.
    pub(super) ended: bool,
}

/// Betters what was found, and raises its bound where the search ends.
pub(super) fn better(set: &Set, weights: &Weights, limits: Limits, found: &mut Found) {
    let searched = search(set, weights, limits);
    if let Some(cuts) = searched.best {
        found.better(cuts, set, Method::Search);
    }
    if searched.ended {
        found.bound = cost_of(&found.cuts, set);
        found.method = Method::Search;
    }
}

pub(super) fn search(set: &Set, weights: &Weights, limits: Limits) -> Searched {
    let mut search = Search {
        set,
        weights,
        nodes: limits.nodes,
        failed: BTreeMap::new(),
        taken: Vec::new(),
    };
    let demand = set.demand();
    let weighed = weights.of(&demand);
    let (mut best, mut budget) = (None, limits.budget);
    loop {
        search.taken.clear();
        let spare = i128::from(weights.scale) * i128::from(budget) - weighed;
        match search.fill(&demand, (budget, spare)) {
            Some(true) => {
                budget = cost_of(&search.taken, set) - 1;
                best = Some(search.taken.clone());
            }
            ended => {
                return Searched {
                    best,
                    ended: ended.is_some(),
                };
            }
        }
    }
}

struct Search<'a> {
    set: &'a Set,
    weights: &'a Weights,
    nodes: u32,
    /// What is left, with the largest budget that was found too small for it.
    failed: BTreeMap<Takes, i64>,
    taken: Vec<Cut>,
}

/// A stock length that is being filled.
struct Open<'a> {
    left: &'a Takes,
    room: usize,
    takes: Takes,
    budget: i64,
    /// What may be lost in all, as weighed.
    spare: i128,
}

/// What a stock length that is being filled still has: length, and its cost less what is weighed.
type Rest = (i64, i128);

impl Search<'_> {
    /// True when what is left can be cut for a budget, of which so much may be lost; `None` when the
    /// nodes ran out.
    fn fill(&mut self, left: &Takes, (budget, spare): (i64, i128)) -> Option<bool> {
        let Some(first) = left.iter().position(|count| *count > 0) else {
            return Some(true);
        };
        if spare < 0 || self.failed.get(left).is_some_and(|most| *most >= budget) {
            return Some(false);
        }
        for room in (0..self.set.rooms.len()).rev() {
            let rest = self.rest(room, first);
            if rest.0 < 0 || self.set.rooms[room].cost > budget {
                continue;
            }
            let mut takes = vec![0; left.len()];
            takes[first] = 1;
            let mut open = Open {
                left,
                room,
                takes,
                budget,
                spare,
            };
            if self.try_patterns(&mut open, first, rest)? {
                return Some(true);
            }
        }
        let most = self.failed.entry(left.clone()).or_insert(0);
        *most = budget.max(*most);
        Some(false)
    }

    /// What a room has with one piece of a kind in it.
    fn rest(&self, room: usize, kind: usize) -> Rest {
        let room = self.set.rooms[room];
        let cost = i128::from(self.weights.scale) * i128::from(room.cost);
        (
            room.size - self.set.kinds[kind].size,
            cost - i128::from(self.weights.each[kind]),
        )
    }

    /// Completes a pattern from kind `index` on, most of the longer pieces first.
    fn try_patterns(&mut self, open: &mut Open<'_>, index: usize, rest: Rest) -> Option<bool> {
        if index == self.set.kinds.len() {
            return self.try_pattern(open, rest);
        }
        let (size, weight) = (self.set.kinds[index].size, self.weights.each[index]);
        let unused = i64::from(open.left[index] - open.takes[index]);
        if size > rest.0 || unused == 0 {
            return self.try_patterns(open, index + 1, rest);
        }
        let most = (rest.0 / size).min(unused) as u32;
        for more in (0..=most).rev() {
            open.takes[index] += more;
            let n = i64::from(more);
            let left = (
                rest.0 - size * n,
                rest.1 - i128::from(weight) * i128::from(n),
            );
            let found = self.try_patterns(open, index + 1, left);
            open.takes[index] -= more;
            if found != Some(false) {
                return found;
            }
        }
        Some(false)
    }

    fn try_pattern(&mut self, open: &mut Open<'_>, (free, lost): Rest) -> Option<bool> {
        self.nodes = self.nodes.checked_sub(1)?;
        let room = self.set.rooms[open.room];
        // A pattern that leaves room for a piece is never better than the one that takes it, nor one
        // that a smaller room would hold.
        let fits_still = |(index, kind): (usize, &Kind)| {
            open.takes[index] < open.left[index] && kind.size <= free
        };
        let too_large = open.room > 0 && self.set.rooms[open.room - 1].size >= room.size - free;
        if lost > open.spare || too_large || self.set.kinds.iter().enumerate().any(fits_still) {
            return Some(false);
        }
        let pairs = open.left.iter().zip(&open.takes);
        let left: Takes = pairs.map(|(left, taken)| left - taken).collect();
        self.taken.push(Cut {
            room: open.room,
            takes: open.takes.clone(),
        });
        let found = self.fill(&left, (open.budget - room.cost, open.spare - lost))?;
        if !found {
            self.taken.pop();
        }
        Some(found)
    }
}
