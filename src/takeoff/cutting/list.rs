//! The answer: which stock is cut how, what is left, and what is proven.
//!
//! Invariants: patterns of the longer stock come first, then those with the longer pieces; equal
//! patterns stand together. Absent: money: a gap is told as a share.

use super::kinds::{Cut, Kind, Set, cost_of};
use super::{Found, Objective, Problem, Stock};
use crate::job::By;
use crate::quantity::{Length, Percent};

/// How the answer was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// Each piece, longest first, into the first stock length with room.
    FirstFit,
    /// Patterns that hold the longest piece left are tried in turn.
    Search,
    /// Patterns are made as a linear programme asks for them, and rounded.
    Columns,
}

impl Method {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::FirstFit => "first fit by falling length",
            Self::Search => "branch and bound",
            Self::Columns => "column generation",
        }
    }
}

/// One piece that is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutPiece {
    /// What pieces of this length are called; empty where they have no name.
    pub mark: String,
    /// Its length.
    pub length: Length,
}

/// How one stock length is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// Item code of the stock.
    pub code: String,
    /// Its length.
    pub stock: Length,
    /// How many are cut so.
    pub times: u32,
    /// Pieces, longest first.
    pub pieces: Vec<CutPiece>,
    /// What is left, kerfs taken off.
    pub offcut: Length,
}

/// How much of one stock length is needed.
#[derive(Clone, Debug, PartialEq)]
pub struct StockUsed {
    /// Item code.
    pub code: String,
    /// Its length.
    pub length: Length,
    /// How many.
    pub count: u32,
}

/// How stock is cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutList {
    /// JSON Pointer into the expanded job.
    pub of: &'static str,
    /// What is cut: a size of bar or board.
    pub what: String,
    /// Who buys it.
    pub by: By,
    /// Stock that could be bought, shortest first.
    pub offered: Vec<Stock>,
    /// Offcuts of at least this are worth keeping.
    pub keep: Length,
    /// Stock that is needed, shortest first; only what is used.
    pub stock: Vec<StockUsed>,
    /// Pieces of stock in all.
    pub pieces: u32,
    /// What was made least.
    pub objective: Objective,
    /// No cutting needs fewer pieces of stock, where that was made least.
    pub bound: Option<u32>,
    /// What it costs over the bound, as a share of the bound; zero where it is proven.
    pub gap: Percent,
    /// True when it is proven that no cutting costs less.
    pub proven_least: bool,
    /// How it was found.
    pub method: Method,
    /// What each cut takes.
    pub kerf: Length,
    /// How stock is cut.
    pub patterns: Vec<Pattern>,
    /// Offcuts worth keeping, longest first, and how many of each.
    pub worth_keeping: Vec<(Length, u32)>,
}

impl CutList {
    /// Length of the stock that is bought.
    pub fn bought(&self) -> Length {
        let each = |used: &StockUsed| used.length * f64::from(used.count);
        self.stock.iter().map(each).sum()
    }

    /// Patterns cut from one stock item.
    pub fn patterns_of(&self, code: &str) -> impl Iterator<Item = &Pattern> {
        let all = self.patterns.iter();
        all.filter(move |pattern| pattern.code == code)
    }

    /// Length of the pieces that one stock item gives.
    pub fn cut_from(&self, code: &str) -> Length {
        let each = |pattern: &Pattern| {
            let pieces: Length = pattern.pieces.iter().map(|piece| piece.length).sum();
            pieces * f64::from(pattern.times)
        };
        self.patterns_of(code).map(each).sum()
    }

    /// How sure it is, in words.
    pub fn proof(&self) -> String {
        let what = self.objective.words();
        match (self.proven_least, self.bound) {
            (true, _) if self.objective == Objective::Pieces => "proven least".to_owned(),
            (true, _) => format!("{what}, proven"),
            (false, Some(bound)) => format!("not proven least, no fewer than {bound}"),
            (false, None) => {
                let gap = crate::quantity::round_to(self.gap.percent(), 2);
                format!("{what} not proven, at most {gap} % over it")
            }
        }
    }
}

fn sort_offered(problem: &Problem<'_>) -> Vec<Stock> {
    let mut offered = problem.stock.to_vec();
    offered.sort_by(|a, b| {
        a.length
            .total_cmp(&b.length)
            .then_with(|| a.code.cmp(&b.code))
    });
    offered
}

pub(super) fn tell(problem: &Problem<'_>, set: &Set, found: Found) -> CutList {
    let last = set.rooms.last().map_or(0, |room| room.cost);
    let whole = last * i64::from(set.whole);
    let (cost, bound) = (cost_of(&found.cuts, set) + whole, found.bound + whole);
    let of_pieces = set.objective == Objective::Pieces;
    let patterns = gather(problem, set, found.cuts);
    CutList {
        of: "",
        what: String::new(),
        by: By::Us,
        offered: sort_offered(problem),
        keep: problem.keep,
        stock: count_stock(&patterns),
        pieces: patterns.iter().map(|pattern| pattern.times).sum(),
        objective: set.objective,
        bound: of_pieces.then(|| u32::try_from(bound).unwrap_or(0)),
        gap: Percent::from_fraction(if cost > bound && bound > 0 {
            (cost - bound) as f64 / bound as f64
        } else {
            0.0
        }),
        proven_least: cost <= bound,
        method: found.method,
        kerf: problem.kerf,
        worth_keeping: keep(&patterns, problem.keep),
        patterns,
    }
}

fn gather(problem: &Problem<'_>, set: &Set, mut cuts: Vec<Cut>) -> Vec<Pattern> {
    let mut patterns = Vec::new();
    let stock = |room: usize| &problem.stock[set.rooms[room].stock];
    if let (true, Some(last)) = (set.whole > 0, set.rooms.len().checked_sub(1)) {
        patterns.push(Pattern {
            code: stock(last).code.clone(),
            stock: stock(last).length,
            times: set.whole,
            pieces: vec![CutPiece {
                mark: set.whole_marks.join(", "),
                length: stock(last).length,
            }],
            offcut: Length::ZERO,
        });
    }
    cuts.sort_by(|a, b| (b.room, &b.takes).cmp(&(a.room, &a.takes)));
    for same in cuts.chunk_by(|a, b| a == b) {
        let stock = stock(same[0].room);
        let pieces = lay_out(&set.kinds, &same[0].takes);
        // The last piece needs no cut where nothing is left behind it.
        let used: Length = pieces.iter().map(|piece| piece.length + problem.kerf).sum();
        patterns.push(Pattern {
            code: stock.code.clone(),
            stock: stock.length,
            times: same.len() as u32,
            pieces,
            offcut: (stock.length - used).max(Length::ZERO),
        });
    }
    patterns
}

fn lay_out(kinds: &[Kind], takes: &[u32]) -> Vec<CutPiece> {
    let mut pieces = Vec::new();
    for (kind, count) in kinds.iter().zip(takes) {
        let piece = CutPiece {
            mark: kind.marks.join(", "),
            length: kind.length,
        };
        pieces.extend(std::iter::repeat_n(piece, *count as usize));
    }
    pieces
}

fn count_stock(patterns: &[Pattern]) -> Vec<StockUsed> {
    let mut stock: Vec<StockUsed> = Vec::new();
    for pattern in patterns {
        match stock.iter_mut().find(|used| used.code == pattern.code) {
            Some(used) => used.count += pattern.times,
            None => stock.push(StockUsed {
                code: pattern.code.clone(),
                length: pattern.stock,
                count: pattern.times,
            }),
        }
    }
    stock.sort_by(|a, b| a.length.total_cmp(&b.length).then(a.code.cmp(&b.code)));
    stock
}

fn keep(patterns: &[Pattern], least: Length) -> Vec<(Length, u32)> {
    let mut kept: Vec<(Length, u32)> = Vec::new();
    for pattern in patterns
        .iter()
        .filter(|pattern| pattern.offcut.at_least(least))
    {
        match kept
            .iter_mut()
            .find(|(length, _)| *length == pattern.offcut)
        {
            Some((_, count)) => *count += pattern.times,
            None => kept.push((pattern.offcut, pattern.times)),
        }
    }
    kept.sort_by(|a, b| b.0.total_cmp(&a.0));
    kept
}
