//! Bars of many jobs cut together: gathered row by row, cut once.
//!
//! Invariants: pieces are those of each job's own cut list, laps and whole inches included, so that the
//! bars fit as they were drawn; their number is bounded, and jobs beyond it are counted and keep their own
//! cuts; only jobs that may buy the same stock at the same worth are cut together. Absent: boards, which
//! serve job after job; the cutting itself.

use crate::estimate::Estimate;
use crate::job::By;
use crate::quantity::Length;
use crate::takeoff::{CutList, Piece, Problem, Stock, cut};
use std::collections::BTreeMap;

/// Most pieces that are cut together.
const PIECES_AT_MOST: u64 = 20_000;
/// Patterns looked at before the search gives up.
const NODES: u32 = 4_000;
/// Steps in a metre: far less than a tape shows.
const STEPS: f64 = 1e6;

/// What jobs must have alike: the stock on offer and what it counts.
type Offered = Vec<(String, Option<i64>)>;

/// Bars to cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToCut {
    groups: BTreeMap<Offered, Group>,
    pieces: u64,
    /// Jobs beyond those that are cut together.
    pub left_out: u64,
}

#[derive(Clone, Debug, PartialEq)]
struct Group {
    stock: Vec<Stock>,
    kerf: Length,
    keep: Length,
    /// By length in steps.
    pieces: BTreeMap<i64, (Length, u32)>,
    jobs: u64,
    /// Pieces of stock that the jobs would buy one by one, by code.
    one_by_one: BTreeMap<String, u64>,
}

/// Bars of one size cut for all jobs.
#[derive(Clone, Debug, PartialEq)]
pub struct CutTogether {
    /// Jobs.
    pub jobs: u64,
    /// Pieces of stock that they would buy one by one, by code.
    pub one_by_one: BTreeMap<String, u64>,
    /// The list.
    pub list: CutList,
}

impl ToCut {
    pub(super) fn add(&mut self, estimate: &Estimate) {
        let ours = |list: &&CutList| list.by == By::Us && list.of == "/reinforcement";
        for list in estimate.takeoff.cut_lists.iter().filter(ours) {
            let mut one = Self::default();
            one.groups.insert(offered(list), Group::of(list));
            one.pieces = list.patterns.iter().map(count).sum();
            self.merge(one);
        }
    }

    pub(super) fn merge(&mut self, later: Self) {
        self.left_out += later.left_out;
        if self.pieces + later.pieces > PIECES_AT_MOST {
            self.left_out += later.groups.values().map(|group| group.jobs).sum::<u64>();
            return;
        }
        self.pieces += later.pieces;
        for (offered, group) in later.groups {
            match self.groups.get_mut(&offered) {
                Some(known) => known.merge(group),
                None => drop(self.groups.insert(offered, group)),
            }
        }
    }

    /// One list for each size and stock on offer, in the order of their codes.
    pub fn cut(&self) -> Vec<CutTogether> {
        self.groups.values().map(Group::cut).collect()
    }
}

fn offered(list: &CutList) -> Offered {
    let offered = list.offered.iter();
    offered
        .map(|stock| (stock.code.clone(), stock.worth))
        .collect()
}

fn count(pattern: &crate::takeoff::Pattern) -> u64 {
    u64::from(pattern.times) * pattern.pieces.len() as u64
}

impl Group {
    fn of(list: &CutList) -> Self {
        let mut pieces = BTreeMap::new();
        for pattern in &list.patterns {
            for piece in &pattern.pieces {
                // A bar is far shorter than what the cast can hold.
                let steps = libm::round(piece.length.metres() * STEPS) as i64;
                let (_, count) = pieces.entry(steps).or_insert((piece.length, 0));
                *count += pattern.times;
            }
        }
        let used = list.stock.iter();
        Self {
            stock: list.offered.clone(),
            kerf: list.kerf,
            keep: list.keep,
            pieces,
            jobs: 1,
            one_by_one: used
                .map(|used| (used.code.clone(), u64::from(used.count)))
                .collect(),
        }
    }

    fn merge(&mut self, later: Self) {
        self.jobs += later.jobs;
        for (steps, (length, count)) in later.pieces {
            self.pieces.entry(steps).or_insert((length, 0)).1 += count;
        }
        for (code, count) in later.one_by_one {
            *self.one_by_one.entry(code).or_default() += count;
        }
    }

    fn cut(&self) -> CutTogether {
        let pieces: Vec<Piece> = self
            .pieces
            .values()
            .map(|(length, count)| Piece {
                mark: String::new(),
                length: *length,
                count: *count,
            })
            .collect();
        let list = cut(&Problem {
            stock: &self.stock,
            pieces: &pieces,
            kerf: self.kerf,
            keep: self.keep,
            nodes: NODES,
        });
        CutTogether {
            jobs: self.jobs,
            one_by_one: self.one_by_one.clone(),
            list: CutList {
                of: "/reinforcement",
                ..list
            },
        }
    }
}
