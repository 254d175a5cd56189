//! Pieces of one length together, and the stock that can be of use.
//!
//! Invariants: kinds by falling length, rooms by rising length and rising cost (a stock that is no
//! longer and no cheaper than another is of no use); costs share no divisor; the order in which
//! pieces and stock were given does not matter. Absent: how they are cut.

use super::cost::{Objective, weigh};
use super::{Piece, Problem};
use crate::quantity::{Length, floor};

/// Steps in a metre; a piece is rounded down to one, which is far less than a saw's kerf and keeps
/// pieces that fill a stock length exactly.
const STEPS: f64 = 1e8;

/// Pieces of one length.
#[derive(Clone, Debug)]
pub(super) struct Kind {
    /// In steps, with one kerf.
    pub(super) size: i64,
    pub(super) length: Length,
    pub(super) count: u32,
    /// What they are called, each name once.
    pub(super) marks: Vec<String>,
}

/// A stock length that can be of use.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    /// In steps, with one kerf.
    pub(super) size: i64,
    pub(super) cost: i64,
    /// Which stock of the problem.
    pub(super) stock: usize,
}

/// How many of each kind one stock length gives.
pub(super) type Takes = Vec<u32>;

/// One stock length, cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Cut {
    /// Index of its room.
    pub(super) room: usize,
    pub(super) takes: Takes,
}

/// A problem in whole numbers.
#[derive(Clone, Debug)]
pub(super) struct Set {
    pub(super) kinds: Vec<Kind>,
    pub(super) rooms: Vec<Room>,
    /// Whole stock lengths within pieces that are longer than the longest, which is the last room.
    pub(super) whole: u32,
    /// What those pieces are called.
    pub(super) whole_marks: Vec<String>,
    pub(super) objective: Objective,
}

impl Set {
    pub(super) fn demand(&self) -> Takes {
        self.kinds.iter().map(|kind| kind.count).collect()
    }

    /// The smallest room that holds `used`; rooms rise in cost, so that is the cheapest.
    pub(super) fn smallest(&self, used: i64) -> usize {
        let holds = |room: &Room| room.size >= used;
        let last = self.rooms.len().saturating_sub(1);
        self.rooms.iter().position(holds).unwrap_or(last)
    }

    pub(super) fn used(&self, takes: &[u32]) -> i64 {
        let sizes = self.kinds.iter().zip(takes);
        sizes.map(|(kind, n)| kind.size * i64::from(*n)).sum()
    }
}

/// What some cuts cost.
pub(super) fn cost_of(cuts: &[Cut], set: &Set) -> i64 {
    cuts.iter().map(|cut| set.rooms[cut.room].cost).sum()
}

pub(super) fn to_steps(length: Length) -> i64 {
    // A hair is added so that a length which is a whole number of steps stays that number.
    libm::floor(length.metres() * STEPS * (1.0 + 1e-12)) as i64
}

pub(super) fn sort(problem: &Problem<'_>) -> Set {
    let kerf = to_steps(problem.kerf).max(0);
    let (objective, costs) = weigh(problem.stock);
    let rooms = sort_rooms(problem, &costs, kerf);
    let longest = rooms.last().map(|room| problem.stock[room.stock].length);
    let mut set = Set {
        kinds: Vec::new(),
        rooms,
        whole: 0,
        whole_marks: Vec::new(),
        objective,
    };
    if let Some(longest) = longest {
        sort_kinds(problem.pieces, (longest, kerf), &mut set);
    }
    set
}

fn sort_rooms(problem: &Problem<'_>, costs: &[i64], kerf: i64) -> Vec<Room> {
    let stock = problem.stock;
    let mut rooms: Vec<Room> = (0..stock.len())
        .map(|index| Room {
            size: to_steps(stock[index].length) + kerf,
            cost: costs[index],
            stock: index,
        })
        .filter(|room| room.size > kerf)
        .collect();
    // Longest first, and of one length the cheapest.
    rooms.sort_by(|a, b| {
        let codes = (&stock[a.stock].code, &stock[b.stock].code);
        (b.size, a.cost, codes.0).cmp(&(a.size, b.cost, codes.1))
    });
    let mut least = i64::MAX;
    rooms.retain(|room| {
        let useful = room.cost < least;
        least = least.min(room.cost);
        useful
    });
    let shared = rooms.iter().fold(0, |all, room| divisor(all, room.cost));
    for room in &mut rooms {
        room.cost /= shared.max(1);
    }
    rooms.reverse();
    rooms
}

/// The greatest common divisor.
pub(super) const fn divisor(a: i64, b: i64) -> i64 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// Kinds by falling length, equal lengths together, and the whole stock lengths beside them.
fn sort_kinds(pieces: &[Piece], (longest, kerf): (Length, i64), set: &mut Set) {
    for piece in pieces.iter().filter(|piece| piece.count > 0) {
        let times = floor(piece.length / longest);
        if times > 0.0 {
            // The cast saturates; bounds rows keep counts to a few thousand.
            let whole = (times as u32).saturating_mul(piece.count);
            set.whole = set.whole.saturating_add(whole);
            set.whole_marks.push(piece.mark.clone());
        }
        let rest = piece.length - longest * times;
        let size = to_steps(rest);
        if size > 0 {
            add_kind(&mut set.kinds, (size + kerf, rest), piece);
        }
    }
    set.kinds.sort_by_key(|kind| std::cmp::Reverse(kind.size));
    let of_kinds = set.kinds.iter_mut().map(|kind| &mut kind.marks);
    for marks in of_kinds.chain([&mut set.whole_marks]) {
        marks.retain(|mark| !mark.is_empty());
        marks.sort_by(|a, b| (a.len(), a).cmp(&(b.len(), b)));
        marks.dedup();
    }
}

fn add_kind(kinds: &mut Vec<Kind>, (size, length): (i64, Length), piece: &Piece) {
    match kinds.iter_mut().find(|kind| kind.size == size) {
        Some(kind) => {
            kind.count = kind.count.saturating_add(piece.count);
            // Of lengths that differ by rounding alone, the same whichever came first.
            kind.length = kind.length.min(length);
            kind.marks.push(piece.mark.clone());
        }
        None => kinds.push(Kind {
            size,
            length,
            count: piece.count,
            marks: vec![piece.mark.clone()],
        }),
    }
}
