//! First fit by falling length: each piece, longest first, into the first stock length with room.
//!
//! Invariants: every room is tried as the one that is opened, and what comes out is then bought as
//! short as its pieces allow; ties go to the longer room. Absent: proof.

use super::kinds::{Cut, Set, cost_of};

pub(super) fn pack(set: &Set) -> Vec<Cut> {
    pack_these(set, &set.demand())
}

/// The same for so many of each kind.
pub(super) fn pack_these(set: &Set, demand: &[u32]) -> Vec<Cut> {
    let ways = (0..set.rooms.len()).rev();
    let mut best: Option<(i64, Vec<Cut>)> = None;
    for room in ways {
        let cuts = pack_into(set, demand, room);
        let cost = cost_of(&cuts, set);
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, cuts));
        }
    }
    best.map(|(_, cuts)| cuts).unwrap_or_default()
}

fn pack_into(set: &Set, demand: &[u32], room: usize) -> Vec<Cut> {
    let mut open: Vec<(i64, Cut)> = Vec::new();
    for (index, kind) in set.kinds.iter().enumerate() {
        let mut left = demand[index];
        for (free, cut) in &mut open {
            let here = (*free / kind.size).min(i64::from(left)) as u32;
            cut.takes[index] += here;
            *free -= kind.size * i64::from(here);
            left -= here;
            if left == 0 {
                break;
            }
        }
        let room = room.max(set.smallest(kind.size));
        let fit = (set.rooms[room].size / kind.size)
            .max(1)
            .min(i64::from(u32::MAX)) as u32;
        while left > 0 {
            let here = fit.min(left);
            let mut takes = vec![0; set.kinds.len()];
            takes[index] = here;
            let free = set.rooms[room].size - kind.size * i64::from(here);
            open.push((free, Cut { room, takes }));
            left -= here;
        }
    }
    open.into_iter()
        .map(|(_, cut)| match set.rooms.len() {
            1 => cut,
            _ => Cut {
                room: set.smallest(set.used(&cut.takes)),
                takes: cut.takes,
            },
        })
        .collect()
}
