//! A comparison as a caller reads it: the change order around it, the net by cause, the new sum.

use crate::change::{ChangeOrder, Comparison, ContractSum, Slips};
use serde::Serialize;
use utoipa::ToSchema;

/// What changed between two estimates.
#[derive(Debug, Serialize, ToSchema)]
pub struct ChangeAnswer {
    /// Number, date, parties and reason, where they were sent.
    #[serde(flatten)]
    pub order: ChangeOrder,
    /// What the contract comes to.
    pub contract: ContractSum,
    /// What changed.
    #[serde(flatten)]
    pub comparison: Comparison,
    /// Extra work on slips.
    pub slips: Slips,
}

impl ChangeAnswer {
    /// A comparison with the slips beside it.
    pub fn of(comparison: Comparison, order: ChangeOrder, slips: Slips) -> Self {
        Self {
            contract: ContractSum::after(&comparison, &order, &slips),
            order,
            comparison,
            slips,
        }
    }
}
