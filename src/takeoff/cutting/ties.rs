//! Among ways that cost the same: the fewest different stock lengths, then the fewest pieces of stock.
//!
//! Invariants: what is taken never costs more; fewer lengths are tried before more, and of as many
//! the shorter first; each mix of lengths has its own nodes, and where they run out what is known
//! stands. Absent: the cost.

use super::kinds::{Cut, Kind, Room, Set, cost_of};
use super::search::{Limits, search};
use super::weights::Weights;
use super::{Found, Method};

/// More stock lengths than this are not tried in every mix.
const ROOMS_AT_MOST: usize = 5;

/// A mix of rooms, one bit each.
type Mix = u32;

pub(super) fn settle(set: &Set, nodes: u32, found: &mut Found) {
    let used = spread(
        set,
        found.cuts.iter().fold(0, |mix, cut| mix | 1 << cut.room),
    );
    if set.rooms.len() > ROOMS_AT_MOST || used == 1 && found.cuts.len() as i64 == fewest(set) {
        return;
    }
    let mut part = without_marks(set);
    let all: Mix = 1 << set.rooms.len();
    for count in 1..=used {
        let mut betters = false;
        for mix in (1..all).filter(|mix| spread(set, *mix) == count) {
            let fewer = count < used && !betters;
            betters |= try_mix((set, &mut part), (mix, fewer), nodes, found);
        }
        if betters {
            return;
        }
    }
}

/// Different lengths of a mix, with that of the whole pieces.
fn spread(set: &Set, mix: Mix) -> u32 {
    let whole = Mix::from(set.whole > 0) << (set.rooms.len() - 1);
    (mix | whole).count_ones()
}

/// Nothing is cut from fewer pieces of stock: as many of the longest as hold the length.
fn fewest(set: &Set) -> i64 {
    let longest = set.rooms.last().map_or(1, |room| room.size.max(1));
    let length = set.used(&set.demand());
    (length + longest - 1) / longest
}

fn without_marks(set: &Set) -> Set {
    let bare = |kind: &Kind| Kind {
        size: kind.size,
        length: kind.length,
        count: kind.count,
        marks: Vec::new(),
    };
    Set {
        kinds: set.kinds.iter().map(bare).collect(),
        rooms: Vec::new(),
        whole: 0,
        whole_marks: Vec::new(),
        objective: set.objective,
    }
}

/// Takes what a mix of rooms gives where it is better: as cheap with fewer lengths, or with fewer
/// pieces.
fn try_mix(
    (set, part): (&Set, &mut Set),
    (mix, fewer): (Mix, bool),
    nodes: u32,
    found: &mut Found,
) -> bool {
    let pieces: i64 = set.kinds.iter().map(|kind| i64::from(kind.count)).sum();
    // So far apart that all pieces of stock together never outweigh the least step of cost.
    let apart = pieces + 1;
    let most = if fewer {
        pieces
    } else {
        found.cuts.len() as i64 - 1
    };
    let cost = cost_of(&found.cuts, set).checked_mul(apart);
    let Some(budget) = cost.and_then(|cost| cost.checked_add(most)) else {
        return false;
    };
    let held = |room: &usize| mix & (1 << room) != 0;
    let rooms: Vec<usize> = (0..set.rooms.len()).filter(held).collect();
    let dearer = |room: &usize| Room {
        cost: set.rooms[*room]
            .cost
            .saturating_mul(apart)
            .saturating_add(1),
        ..set.rooms[*room]
    };
    part.rooms = rooms.iter().map(dearer).collect();
    let holds = |room: &Room| part.kinds.first().is_none_or(|kind| kind.size <= room.size);
    if !part.rooms.last().is_some_and(holds) {
        return false;
    }
    let searched = search(part, &Weights::by_length(part), Limits { budget, nodes });
    let Some(cuts) = searched.best else {
        return false;
    };
    found.method = Method::Search;
    found.cuts = cuts
        .into_iter()
        .map(|cut| Cut {
            room: rooms[cut.room],
            ..cut
        })
        .collect();
    true
}
