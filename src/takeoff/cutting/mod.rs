//! Cutting pieces from stock of several lengths: least cost, and how far that is proven.
//!
//! Invariants: lengths are whole steps of ten nanometres and costs whole numbers, so that every run on
//! every machine cuts alike; the work is bounded by counts, never by time; a bound holds by whole
//! numbers alone, whatever the floating-point part proposes; a kerf is lost at each cut, so a stock
//! length holds pieces when they and a kerf for each are at most its length and one kerf. Among equal
//! costs: the fewest different stock lengths, then the fewest pieces of stock, then the shorter stock,
//! then the longer pieces first, as far as the nodes reach. Absent here: what is cut, and why.
//!
//! | file | holds |
//! | --- | --- |
//! | `cost` | what is to be least, as whole numbers |
//! | `kinds` | pieces of one length together, stock that can be of use |
//! | `first_fit`, `search` | the quick way, and branch and bound |
//! | `weights` | bounds: what a piece weighs of a cost, at most |
//! | `columns`, `master`, `knapsack`, `rounding` | column generation for what is too large to search |
//! | `list` | the answer |

mod columns;
mod cost;
mod first_fit;
mod kinds;
mod knapsack;
mod list;
mod master;
mod rounding;
mod search;
mod ties;
mod weights;

pub use cost::Objective;
pub use list::{CutList, CutPiece, Method, Pattern, StockUsed};

use crate::quantity::Length;
use kinds::{Cut, Set, cost_of};
use search::Limits;
use weights::Weights;

/// Patterns looked at before the search gives up.
pub(super) const NODES_AT_MOST: u32 = 4_000;
/// Of so many nodes one goes to the search that weighs pieces by their length alone.
const FIRST_SHARE: u32 = 4;
/// More kinds or pieces than this are not searched.
const KINDS_AT_MOST: usize = 24;
const PIECES_AT_MOST: u32 = 240;

/// A length that can be bought.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// Item code.
    pub code: String,
    /// Its length.
    pub length: Length,
    /// What one counts against the others, where that is known.
    pub worth: Option<i64>,
}

/// Pieces that are alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What they are called; may be empty.
    pub mark: String,
    /// Length of each.
    pub length: Length,
    /// How many.
    pub count: u32,
}

/// What is to be cut from what.
#[derive(Clone, Copy, Debug)]
pub struct Problem<'a> {
    /// Lengths that can be bought, as many of each as are needed.
    pub stock: &'a [Stock],
    /// What is needed. A piece longer than the longest stock is cut into whole stock lengths and a
    /// rest.
    pub pieces: &'a [Piece],
    /// What a cut takes.
    pub kerf: Length,
    /// Offcuts of at least this are worth keeping.
    pub keep: Length,
    /// How many patterns are looked at; with none, first fit alone.
    pub nodes: u32,
}

/// A way to cut, and what is known of it.
#[derive(Clone, Debug)]
struct Found {
    cuts: Vec<Cut>,
    /// No way costs less.
    bound: i64,
    method: Method,
}

impl Found {
    fn is_proven(&self, set: &Set) -> bool {
        cost_of(&self.cuts, set) <= self.bound
    }

    /// Takes other cuts where they cost less.
    fn better(&mut self, cuts: Vec<Cut>, set: &Set, method: Method) {
        if cost_of(&cuts, set) < cost_of(&self.cuts, set) {
            *self = Self {
                cuts,
                bound: self.bound,
                method,
            };
        }
    }
}

/// Cuts pieces from stock at least cost. Nothing comes of no stock.
pub fn cut(problem: &Problem<'_>) -> CutList {
    let set = kinds::sort(problem);
    let found = find(&set, problem.nodes);
    list::tell(problem, &set, found)
}

fn find(set: &Set, nodes: u32) -> Found {
    let by_length = Weights::by_length(set);
    let mut found = Found {
        bound: weights::measure_bound(set, &by_length),
        cuts: first_fit::pack(set),
        method: Method::FirstFit,
    };
    if nodes == 0 || found.cuts.is_empty() {
        return found;
    }
    let few = set.kinds.len() <= KINDS_AT_MOST
        && set.kinds.iter().map(|kind| kind.count).sum::<u32>() <= PIECES_AT_MOST;
    if !found.is_proven(set) {
        improve(set, (few, nodes), (&mut found, by_length));
    }
    if set.rooms.len() > 1 && few {
        ties::settle(set, nodes / FIRST_SHARE, &mut found);
    }
    found
}

/// Searches a little, then generates columns, then searches with what these weigh.
fn improve(set: &Set, (few, nodes): (bool, u32), (found, by_length): (&mut Found, Weights)) {
    let first = nodes / FIRST_SHARE;
    if few {
        let limits = Limits::below(cost_of(&found.cuts, set), first);
        search::better(set, &by_length, limits, found);
    }
    if found.is_proven(set) || set.kinds.len() > columns::KINDS_AT_MOST {
        return;
    }
    let relaxed = columns::relax(set, &set.demand(), columns::WORK_AT_MOST);
    found.bound = found.bound.max(relaxed.weights.bound(&set.demand()));
    if !found.is_proven(set) {
        found.better(rounding::round(set, &relaxed), set, Method::Columns);
    }
    if !found.is_proven(set) && few {
        let limits = Limits::below(cost_of(&found.cuts, set), nodes - first);
        search::better(set, &relaxed.weights, limits, found);
    } else if found.is_proven(set) && found.method == Method::FirstFit {
        // The bound of the columns is what proves it.
        found.method = Method::Columns;
    }
}
