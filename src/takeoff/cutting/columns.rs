//! Column generation: patterns are made as they are needed, until none would lower the cost.
//!
//! Invariants: the weights that come out hold in whole numbers (each proposal is divided by what the
//! dearest pattern shows it to overreach, Farley's bound); the number of patterns made is counted.
//! Absent: whole numbers of patterns.

use super::kinds::{Cut, Set, Takes};
use super::knapsack::{Best, fill_rooms, measure_work};
use super::master::Master;
use super::weights::Weights;

/// More kinds than this are left to first fit.
pub(super) const KINDS_AT_MOST: usize = 160;
/// Patterns made for each kind before it ends, and for any.
const PATTERNS_A_KIND: usize = 12;
const PATTERNS: usize = 40;
/// Steps of looking for patterns before it ends.
pub(super) const WORK_AT_MOST: usize = 64_000_000;

/// The linear programme, solved as far as the patterns went.
pub(super) struct Relaxed {
    /// Patterns in use and how often.
    pub(super) cuts: Vec<(Cut, f64)>,
    pub(super) weights: Weights,
}

/// Solves the linear programme for so many of each kind, as far as so much work goes; kinds that are
/// not needed play no part.
pub(super) fn relax(set: &Set, demand: &[u32], work: usize) -> Relaxed {
    let needed: Vec<usize> = (0..demand.len()).filter(|kind| demand[*kind] > 0).collect();
    let part = Set {
        kinds: needed.iter().map(|kind| set.kinds[*kind].clone()).collect(),
        rooms: set.rooms.clone(),
        whole: 0,
        whole_marks: Vec::new(),
        objective: set.objective,
    };
    let wanted: Takes = needed.iter().map(|kind| demand[*kind]).collect();
    let mut solved = generate(&part, &wanted, work);
    let spread = |takes: &Takes| {
        let mut all = vec![0; demand.len()];
        for (kind, n) in needed.iter().zip(takes) {
            all[*kind] = *n;
        }
        all
    };
    for (cut, _) in &mut solved.cuts {
        cut.takes = spread(&cut.takes);
    }
    let mut each = vec![0; demand.len()];
    for (kind, weight) in needed.iter().zip(&solved.weights.each) {
        each[*kind] = *weight;
    }
    solved.weights.each = each;
    solved
}

fn generate(set: &Set, demand: &[u32], work: usize) -> Relaxed {
    let mut master = Master::start(set, demand);
    let mut best = Weights::by_length(set);
    let scale = whole_scale(set);
    let most = work / measure_work(set, demand);
    for _ in 0..most.min(PATTERNS + PATTERNS_A_KIND * set.kinds.len()) {
        let values = propose(set, &master.duals(), scale);
        let rooms = fill_rooms(set, demand, &values);
        let proposed = hold(set, values, &rooms);
        if is_better(&proposed, &best, demand) {
            best = proposed;
        }
        let Some((room, pattern)) = dearest(set, rooms, scale) else {
            break;
        };
        let cut = Cut {
            room,
            takes: pattern.takes,
        };
        if !master.enter(cut, set.rooms[room].cost) {
            break;
        }
    }
    Relaxed {
        cuts: master.cuts.into_iter().zip(master.times).collect(),
        weights: best,
    }
}

/// So fine that a sum of values stays within the whole numbers.
fn whole_scale(set: &Set) -> f64 {
    let dearest = set.rooms.last().map_or(1, |room| room.cost.max(1));
    let bits = 55_u32.saturating_sub(64 - dearest.leading_zeros());
    (1_i64 << bits) as f64
}

/// Duals as whole numbers, none below nothing and none above what a room of its own costs.
fn propose(set: &Set, duals: &[f64], scale: f64) -> Vec<i64> {
    let most = set.rooms.last().map_or(0.0, |room| room.cost as f64);
    // The cast saturates, and makes nothing of what is no number.
    let whole = |dual: &f64| libm::floor(dual.clamp(0.0, most) * scale) as i64;
    duals.iter().map(whole).collect()
}

/// Weights that hold: scaled by the pattern that overreaches most.
fn hold(set: &Set, values: Vec<i64>, rooms: &[Best]) -> Weights {
    let most = set.rooms.iter().zip(rooms);
    let most = most.map(|(room, best)| {
        best.most / room.cost.max(1) + i64::from(best.most % room.cost.max(1) != 0)
    });
    Weights {
        scale: most.max().unwrap_or(1).max(1),
        each: values,
    }
}

fn is_better(a: &Weights, b: &Weights, demand: &[u32]) -> bool {
    let rate = |w: &Weights| w.of(demand) as f64 / w.scale as f64;
    rate(a) > rate(b)
}

/// The pattern that is worth most over its cost, where one is worth more than it costs.
fn dearest(set: &Set, rooms: Vec<Best>, scale: f64) -> Option<(usize, Best)> {
    let mut found: Option<(usize, Best, f64)> = None;
    for (index, best) in rooms.into_iter().enumerate() {
        let over = best.value as f64 / scale / set.rooms[index].cost as f64;
        let most = found.as_ref().map_or(1.0 + 1e-9, |(.., most)| *most);
        if over > most {
            found = Some((index, best, over));
        }
    }
    found.map(|(index, best, _)| (index, best))
}
