//! From how often patterns would be cut to how often they are: whole parts first, then what is left
//! anew.
//!
//! Invariants: no more is cut than is needed; each round places at least one pattern, and after so
//! many rounds first fit takes the rest. Absent: proof.

use super::columns::{Relaxed, WORK_AT_MOST, relax};
use super::first_fit::pack_these;
use super::kinds::{Cut, Set, Takes, cost_of};

/// Times that the rest is solved anew.
const ROUNDS: u32 = 8;
/// A share of a pattern from which on it is cut once.
const NEARLY: f64 = 0.6;

/// The cheapest of what the rounds came to, each completed by first fit.
pub(super) fn round(set: &Set, relaxed: &Relaxed) -> Vec<Cut> {
    let mut left = set.demand();
    let mut placed = Vec::new();
    place_whole(&relaxed.cuts, &mut left, &mut placed);
    let mut best = complete(set, &placed, &left);
    for round in 0..ROUNDS {
        if left.iter().all(|n| *n == 0) {
            break;
        }
        let anew = (round > 0).then(|| relax(set, &left, WORK_AT_MOST / ROUNDS as usize));
        let cuts = anew.as_ref().map_or(&relaxed.cuts, |anew| &anew.cuts);
        if round > 0 {
            place_whole(cuts, &mut left, &mut placed);
        }
        place_nearly(cuts, &mut left, &mut placed);
        let this = complete(set, &placed, &left);
        if cost_of(&this, set) < cost_of(&best, set) {
            best = this;
        }
    }
    best
}

fn complete(set: &Set, placed: &[Cut], left: &[u32]) -> Vec<Cut> {
    let mut all = placed.to_vec();
    all.extend(pack_these(set, left));
    all
}

fn place_whole(cuts: &[(Cut, f64)], left: &mut Takes, placed: &mut Vec<Cut>) {
    for (cut, times) in cuts {
        // A hair, so that a whole number that came out a little less stays whole.
        let whole = libm::floor(times + 1e-6) as u32;
        for _ in 0..whole {
            place(cut, left, placed);
        }
    }
}

/// What is nearly a whole pattern, the nearest first, and in any case one.
fn place_nearly(cuts: &[(Cut, f64)], left: &mut Takes, placed: &mut Vec<Cut>) {
    let mut parts: Vec<(usize, f64)> = cuts
        .iter()
        .map(|(_, times)| times - libm::floor(times + 1e-6))
        .enumerate()
        .collect();
    parts.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let mut any = false;
    for (index, part) in parts {
        if any && part < NEARLY {
            break;
        }
        any |= place(&cuts[index].0, left, placed);
    }
}

/// Cuts a pattern once where all of it is still needed.
fn place(cut: &Cut, left: &mut Takes, placed: &mut Vec<Cut>) -> bool {
    let needed = cut.takes.iter().zip(left.iter()).all(|(n, left)| n <= left);
    let any = cut.takes.iter().any(|n| *n > 0);
    if needed && any {
        for (left, n) in left.iter_mut().zip(&cut.takes) {
            *left -= n;
        }
        placed.push(cut.clone());
    }
    needed && any
}
