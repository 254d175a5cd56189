//! Who sells, and on what terms.
//!
//! Invariant: terms that a supplier does not state are empty, never zero. Absent here: what its
//! short loads and waiting cost, which are items with prices like any other.

use crate::quantity::money::Decimal4;
use serde::{Deserialize, Serialize};

/// A seller of items.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Supplier {
    /// Stable name.
    pub code: String,
    /// The name that people know it by.
    pub name: String,
    /// Its ready-mix terms; all empty for a seller of anything else.
    pub terms: ReadyMixTerms,
}

/// What a ready-mix plant asks for and gives, beside the price of the concrete.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadyMixTerms {
    /// A load below this many yd3 pays for each missing yd3.
    pub short_load_below_yd3: Option<Decimal4>,
    /// The most that one truck carries, in yd3.
    pub truck_most_yd3: Option<Decimal4>,
    /// Minutes of unloading that are free for each yd3.
    pub free_unloading_min_per_yd3: Option<Decimal4>,
}
