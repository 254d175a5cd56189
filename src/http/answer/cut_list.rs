//! How stock is cut, as a caller reads it.
//!
//! Invariant: no amount of money: how far a list is from the least is told as a share. Absent: the
//! cutting.

use super::View;
use crate::quantity::shown::{FtM, InMm, Pct};
use crate::takeoff::{CutList, Pattern};
use serde::Serialize;
use utoipa::ToSchema;

/// How stock of one size is cut.
#[derive(Debug, Serialize, ToSchema)]
pub struct CutListAnswer {
    /// JSON Pointer into the expanded job.
    pub of: &'static str,
    /// Size of bar or board.
    pub what: String,
    /// Stock lengths that are used, shortest first.
    pub stock: Vec<StockUsedAnswer>,
    /// Pieces of stock in all.
    pub pieces: u32,
    /// What was made least: `fewest pieces` of one stock length; `least cost` by the prices of the
    /// book, where a length without a price is taken at the dearest rate known for its length; or
    /// `least length bought` where none has a price. Among equals the fewest different lengths, then
    /// the fewest pieces.
    pub objective: &'static str,
    /// No fewer pieces can do; where the fewest pieces are asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bound: Option<u32>,
    /// At most this much over the least, as a share of it; zero where it is proven.
    pub gap: Pct,
    /// True when proven that nothing is less.
    pub proven_least: bool,
    /// How it was found: `first fit by falling length`, `branch and bound` or `column generation`.
    pub method: &'static str,
    /// What each cut takes.
    pub kerf: InMm,
    /// How to cut.
    pub patterns: Vec<PatternAnswer>,
    /// Offcuts that are worth keeping, longest first.
    pub worth_keeping: Vec<OffcutAnswer>,
}

/// How much of one stock length is needed.
#[derive(Debug, Serialize, ToSchema)]
pub struct StockUsedAnswer {
    /// Item code.
    pub code: String,
    /// Its length.
    pub length: FtM,
    /// How many.
    pub pieces: u32,
}

/// One way of cutting a stock piece.
#[derive(Debug, Serialize, ToSchema)]
pub struct PatternAnswer {
    /// Item code of the stock.
    pub code: String,
    /// How often.
    pub times: u32,
    /// Pieces, longest first.
    pub pieces: Vec<CutPieceAnswer>,
    /// What is left over of each.
    pub offcut: InMm,
}

/// One piece that is cut.
#[derive(Debug, Serialize, ToSchema)]
pub struct CutPieceAnswer {
    /// Marks of this length, where pieces have a mark.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub mark: String,
    /// Its length.
    pub length: InMm,
    /// The same as the tape shows it.
    pub length_tape: String,
}

/// Offcuts of one length.
#[derive(Debug, Serialize, ToSchema)]
pub struct OffcutAnswer {
    /// Length of each.
    pub length: InMm,
    /// How many.
    pub count: u32,
}

impl CutListAnswer {
    /// A cut list, shown.
    pub fn of(list: CutList, view: View) -> Self {
        show_cut_list(list, view)
    }
}

pub(super) fn show_cut_list(list: CutList, view: View) -> CutListAnswer {
    let inches = |length| InMm::of(length, view.system);
    CutListAnswer {
        of: list.of,
        what: list.what,
        stock: list
            .stock
            .into_iter()
            .map(|used| StockUsedAnswer {
                code: used.code,
                length: FtM::of(used.length, view.system),
                pieces: used.count,
            })
            .collect(),
        pieces: list.pieces,
        objective: list.objective.words(),
        bound: list.bound,
        gap: Pct::of(list.gap, view.system),
        proven_least: list.proven_least,
        method: list.method.words(),
        kerf: inches(list.kerf),
        patterns: list
            .patterns
            .into_iter()
            .map(|pattern| show_pattern(pattern, view))
            .collect(),
        worth_keeping: list
            .worth_keeping
            .iter()
            .map(|(length, count)| OffcutAnswer {
                length: inches(*length),
                count: *count,
            })
            .collect(),
    }
}

fn show_pattern(pattern: Pattern, view: View) -> PatternAnswer {
    PatternAnswer {
        code: pattern.code,
        times: pattern.times,
        pieces: pattern
            .pieces
            .into_iter()
            .map(|piece| CutPieceAnswer {
                mark: piece.mark,
                length: InMm::of(piece.length, view.system),
                length_tape: piece.length.tape(view.system),
            })
            .collect(),
        offcut: InMm::of(pattern.offcut, view.system),
    }
}
