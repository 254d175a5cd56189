//! Fewest stock pieces: first fit by falling length, proven or bettered by branch and bound where
//! the pieces are few.
//!
//! Invariants: lengths are whole steps of ten nanometres, so that every run on every machine packs
//! alike; the work is bounded by a count of nodes, never by time; ties go to the longer piece.
//! Absent here: what is cut, and why.

use crate::quantity::{Length, ceil};
use std::collections::BTreeMap;

/// Steps in a metre; a piece is rounded down to one, which is far less than a saw's kerf and keeps
/// pieces that fill a stock length exactly.
const STEPS: f64 = 1e8;
/// More kinds or pieces than this are packed by first fit alone.
const KINDS_AT_MOST: usize = 24;
const PIECES_AT_MOST: u32 = 240;
/// Patterns looked at before the search gives up.
pub(super) const NODES_AT_MOST: u32 = 4_000;

/// How one stock length is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// How many are cut so.
    pub times: u32,
    /// Pieces, longest first.
    pub pieces: Vec<Length>,
    /// What is left.
    pub offcut: Length,
}

/// How stock of one code is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutList {
    /// Item code.
    pub code: String,
    /// Stock length.
    pub stock: Length,
    /// Stock pieces needed.
    pub bars: u32,
    /// No cutting needs fewer than this.
    pub bound: u32,
    /// True when it is proven that no cutting needs fewer than `bars`.
    pub proven_least: bool,
    /// How they are cut.
    pub patterns: Vec<Pattern>,
}

/// One kind of piece, in steps.
#[derive(Clone, Copy, Debug)]
struct Kind {
    size: i64,
    length: Length,
    count: u32,
}

/// How many of each kind one stock length gives.
type Cuts = Vec<u32>;

/// Cuts pieces from the fewest stock lengths. A piece longer than the stock is cut into whole stock
/// lengths and a rest.
///
/// `nodes` bounds the search; where it ends early, `proven_least` is false.
pub fn cut_from_stock(code: &str, pieces: &[(Length, u32)], stock: Length, nodes: u32) -> CutList {
    let (kinds, whole) = sort_kinds(pieces, stock);
    let size = to_steps(stock);
    let bound = measure_bound(&kinds, size);
    let mut cuts = pack_first_fit(&kinds, size);
    let mut proven = cuts.len() as u32 == bound;
    let few = kinds.len() <= KINDS_AT_MOST
        && kinds.iter().map(|kind| kind.count).sum::<u32>() <= PIECES_AT_MOST;
    if !proven && few {
        let mut search = Search {
            kinds: &kinds,
            stock: size,
            nodes,
            failed: BTreeMap::new(),
        };
        proven = true;
        for bars in bound..cuts.len() as u32 {
            match search.pack(bars) {
                Found::Packed(better) => {
                    cuts = better;
                    break;
                }
                Found::Impossible => {}
                Found::GaveUp => {
                    proven = false;
                    break;
                }
            }
        }
    }
    let bars = cuts.len() as u32 + whole;
    CutList {
        code: code.to_owned(),
        stock,
        bars,
        bound: bound + whole,
        proven_least: proven,
        patterns: gather(cuts, &kinds, (whole, stock)),
    }
}

fn to_steps(length: Length) -> i64 {
    // A hair is added so that a length which is a whole number of steps stays that number.
    libm::floor(length.metres() * STEPS * (1.0 + 1e-12)) as i64
}

/// Kinds by falling length, equal lengths together, and the whole stock lengths beside them.
fn sort_kinds(pieces: &[(Length, u32)], stock: Length) -> (Vec<Kind>, u32) {
    let mut whole = 0;
    let mut kinds: Vec<Kind> = Vec::new();
    for (length, count) in pieces {
        let times = crate::quantity::floor(*length / stock);
        whole += times as u32 * count;
        let rest = *length - stock * times;
        let size = to_steps(rest);
        if size <= 0 {
            continue;
        }
        match kinds.iter_mut().find(|kind| kind.size == size) {
            Some(kind) => kind.count += count,
            None => kinds.push(Kind {
                size,
                length: rest,
                count: *count,
            }),
        }
    }
    kinds.retain(|kind| kind.count > 0);
    kinds.sort_by_key(|kind| std::cmp::Reverse(kind.size));
    (kinds, whole)
}

/// No cutting needs fewer: by length, and by how often each length fits beside its like and longer.
fn measure_bound(kinds: &[Kind], stock: i64) -> u32 {
    let total: f64 = kinds
        .iter()
        .map(|kind| kind.size as f64 * f64::from(kind.count))
        .sum();
    let mut bound = ceil(total / stock as f64) as u32;
    let mut longer = 0;
    for kind in kinds {
        longer += kind.count;
        let fit = (stock / kind.size).max(1) as u32;
        bound = bound.max(longer.div_ceil(fit));
    }
    bound
}

/// Each piece, longest first, goes into the first stock length that has room.
fn pack_first_fit(kinds: &[Kind], stock: i64) -> Vec<Cuts> {
    let mut open: Vec<(i64, Cuts)> = Vec::new();
    for (index, kind) in kinds.iter().enumerate() {
        let mut left = kind.count;
        for (room, cuts) in &mut open {
            let here = (*room / kind.size).min(i64::from(left)) as u32;
            cuts[index] += here;
            *room -= kind.size * i64::from(here);
            left -= here;
            if left == 0 {
                break;
            }
        }
        let fit = (stock / kind.size).max(1) as u32;
        while left > 0 {
            let here = fit.min(left);
            let mut cuts = vec![0; kinds.len()];
            cuts[index] = here;
            open.push((stock - kind.size * i64::from(here), cuts));
            left -= here;
        }
    }
    open.into_iter().map(|(_, cuts)| cuts).collect()
}

enum Found {
    Packed(Vec<Cuts>),
    Impossible,
    GaveUp,
}

/// Looks for a packing into a given number of stock lengths.
struct Search<'a> {
    kinds: &'a [Kind],
    stock: i64,
    nodes: u32,
    /// What is left, with the most stock lengths that were found too few for it.
    failed: BTreeMap<Cuts, u32>,
}

impl Search<'_> {
    fn pack(&mut self, bars: u32) -> Found {
        let left: Cuts = self.kinds.iter().map(|kind| kind.count).collect();
        let mut taken = Vec::new();
        match self.fill(&left, bars, &mut taken) {
            Some(true) => Found::Packed(taken),
            Some(false) => Found::Impossible,
            None => Found::GaveUp,
        }
    }

    /// True when what is left goes into `bars`; `None` when the nodes ran out.
    fn fill(&mut self, left: &Cuts, bars: u32, taken: &mut Vec<Cuts>) -> Option<bool> {
        let Some(first) = left.iter().position(|count| *count > 0) else {
            return Some(true);
        };
        let size = |(kind, count): (&Kind, &u32)| kind.size * i64::from(*count);
        let needed: i64 = self.kinds.iter().zip(left).map(size).sum();
        let spare = self.stock * i64::from(bars) - needed;
        if spare < 0 || self.failed.get(left).is_some_and(|most| *most >= bars) {
            return Some(false);
        }
        // The longest piece left must go somewhere, so the next stock length is one that holds it.
        let mut cuts = vec![0; left.len()];
        cuts[first] = 1;
        let room = self.stock - self.kinds[first].size;
        let found = self.try_patterns(
            &mut Open {
                left,
                cuts,
                bars,
                spare,
                taken,
            },
            first,
            room,
        )?;
        if !found {
            let most = self.failed.entry(left.clone()).or_insert(0);
            *most = bars.max(*most);
        }
        Some(found)
    }

    /// Completes a pattern from kind `index` on, most of the longer pieces first.
    fn try_patterns(&mut self, open: &mut Open<'_>, index: usize, room: i64) -> Option<bool> {
        if index == self.kinds.len() {
            return self.try_pattern(open, room);
        }
        let size = self.kinds[index].size;
        let free = i64::from(open.left[index] - open.cuts[index]);
        let most = (room / size).min(free).max(0) as u32;
        for more in (0..=most).rev() {
            open.cuts[index] += more;
            let found = self.try_patterns(open, index + 1, room - size * i64::from(more));
            open.cuts[index] -= more;
            if found != Some(false) {
                return found;
            }
        }
        Some(false)
    }

    fn try_pattern(&mut self, open: &mut Open<'_>, room: i64) -> Option<bool> {
        self.nodes = self.nodes.checked_sub(1)?;
        let fits_still = |(index, kind): (usize, &Kind)| {
            open.cuts[index] < open.left[index] && kind.size <= room
        };
        // A pattern that leaves room for a piece is never better than the one that takes it.
        if room > open.spare || self.kinds.iter().enumerate().any(fits_still) {
            return Some(false);
        }
        let left: Cuts = open
            .left
            .iter()
            .zip(&open.cuts)
            .map(|(left, cut)| left - cut)
            .collect();
        open.taken.push(open.cuts.clone());
        let found = self.fill(&left, open.bars - 1, open.taken)?;
        if !found {
            open.taken.pop();
        }
        Some(found)
    }
}

/// A stock length that is being filled.
struct Open<'a> {
    left: &'a Cuts,
    cuts: Cuts,
    bars: u32,
    /// Length that may be left over in all.
    spare: i64,
    taken: &'a mut Vec<Cuts>,
}

/// Equal patterns together, those with the longest pieces first.
fn gather(mut cuts: Vec<Cuts>, kinds: &[Kind], (whole, stock): (u32, Length)) -> Vec<Pattern> {
    let mut patterns = Vec::new();
    if whole > 0 {
        patterns.push(Pattern {
            times: whole,
            pieces: vec![stock],
            offcut: Length::ZERO,
        });
    }
    cuts.sort_by(|a, b| b.cmp(a));
    for same in cuts.chunk_by(|a, b| a == b) {
        let mut pieces = Vec::new();
        for (kind, count) in kinds.iter().zip(&same[0]) {
            pieces.extend(std::iter::repeat_n(kind.length, *count as usize));
        }
        let used: Length = pieces.iter().sum();
        let offcut = (stock - used).max(Length::ZERO);
        patterns.push(Pattern {
            times: same.len() as u32,
            pieces,
            offcut,
        });
    }
    patterns
}
