//! Branch and bound: the longest piece left must go somewhere, so each pattern that holds it is tried.
//!
//! Invariants: only patterns with room for nothing more that is needed, each in the cheapest room
//! that holds it; what was found too dear is remembered with the budget it was too dear for; nodes
//! are counted. Absent: the first way to cut, and where weights come from.

use super::kinds::{Cut, Set, Takes, cost_of};
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
    let (mut best, mut budget) = (None, limits.budget);
    loop {
        search.taken.clear();
        match search.fill(&demand, budget) {
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

impl Search<'_> {
    /// True when what is left can be cut for `budget`; `None` when the nodes ran out.
    fn fill(&mut self, left: &Takes, budget: i64) -> Option<bool> {
        let Some(first) = left.iter().position(|count| *count > 0) else {
            return Some(true);
        };
        let spare = i128::from(self.weights.scale) * i128::from(budget) - self.weights.of(left);
        if spare < 0 || self.failed.get(left).is_some_and(|most| *most >= budget) {
            return Some(false);
        }
        let size = self.set.kinds[first].size;
        for room in (0..self.set.rooms.len()).rev() {
            let free = self.set.rooms[room].size - size;
            if free < 0 || self.set.rooms[room].cost > budget {
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
            if self.try_patterns(&mut open, first, free)? {
                return Some(true);
            }
        }
        let most = self.failed.entry(left.clone()).or_insert(0);
        *most = budget.max(*most);
        Some(false)
    }

    /// Completes a pattern from kind `index` on, most of the longer pieces first.
    fn try_patterns(&mut self, open: &mut Open<'_>, index: usize, free: i64) -> Option<bool> {
        if index == self.set.kinds.len() {
            return self.try_pattern(open, free);
        }
        let size = self.set.kinds[index].size;
        let unused = i64::from(open.left[index] - open.takes[index]);
        let most = (free / size).min(unused).max(0) as u32;
        for more in (0..=most).rev() {
            open.takes[index] += more;
            let found = self.try_patterns(open, index + 1, free - size * i64::from(more));
            open.takes[index] -= more;
            if found != Some(false) {
                return found;
            }
        }
        Some(false)
    }

    fn try_pattern(&mut self, open: &mut Open<'_>, free: i64) -> Option<bool> {
        self.nodes = self.nodes.checked_sub(1)?;
        let room = self.set.rooms[open.room];
        // A pattern that leaves room for a piece is never better than the one that takes it, nor one
        // that a smaller room would hold.
        let fits_still = |(index, kind): (usize, &super::kinds::Kind)| {
            open.takes[index] < open.left[index] && kind.size <= free
        };
        let too_large = open.room > 0 && self.set.rooms[open.room - 1].size >= room.size - free;
        let lost =
            i128::from(self.weights.scale) * i128::from(room.cost) - self.weights.of(&open.takes);
        if too_large || lost > open.spare || self.set.kinds.iter().enumerate().any(fits_still) {
            return Some(false);
        }
        let pairs = open.left.iter().zip(&open.takes);
        let left: Takes = pairs.map(|(left, taken)| left - taken).collect();
        self.taken.push(Cut {
            room: open.room,
            takes: open.takes.clone(),
        });
        let found = self.fill(&left, open.budget - room.cost)?;
        if !found {
            self.taken.pop();
        }
        Some(found)
    }
}
