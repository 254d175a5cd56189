//! Bars of a batch cut together, as the summary tells them.
//!
//! Absent: how bars are gathered and cut, which is `crate::batch`.

use crate::batch::CutTogether;
use crate::http::answer::{CutListAnswer, View};
use crate::quantity::System;
use serde::Serialize;
use utoipa::ToSchema;

/// Bars of all jobs cut together.
#[derive(Debug, Serialize, ToSchema)]
pub struct CutTogetherAnswer {
    /// One entry for each size of bar and stock on offer.
    pub lists: Vec<TogetherAnswer>,
    /// Jobs beyond the pieces that are cut together; they keep their own cuts.
    pub left_out: u64,
}

/// Bars of one size.
#[derive(Debug, Serialize, ToSchema)]
pub struct TogetherAnswer {
    /// Jobs whose bars they are.
    pub jobs: u64,
    /// Pieces of stock that the jobs would buy one by one.
    pub pieces_one_by_one: u64,
    /// Pieces of stock that cutting together saves; below zero where longer stock is dearer by the piece.
    pub pieces_saved: i64,
    /// The list; its pieces bear no marks.
    pub list: CutListAnswer,
}

impl CutTogetherAnswer {
    pub(super) fn of((lists, left_out): (Vec<CutTogether>, u64), system: System) -> Self {
        let view = View {
            system,
            working: false,
        };
        let show = |together: CutTogether| {
            let one_by_one: u64 = together.one_by_one.values().sum();
            let pieces = i64::from(together.list.pieces);
            TogetherAnswer {
                jobs: together.jobs,
                pieces_one_by_one: one_by_one,
                pieces_saved: i64::try_from(one_by_one).unwrap_or(i64::MAX) - pieces,
                list: CutListAnswer::of(together.list, view),
            }
        };
        Self {
            lists: lists.into_iter().map(show).collect(),
            left_out,
        }
    }
}
