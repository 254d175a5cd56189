//! What a small load costs extra, by its size.
//!
//! Invariant: the smallest step that a load stays below holds, and no other. Absent: the load.

use crate::quantity::money::UnitPrice;
use crate::quantity::{Compared, Volume};

/// One step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShortTier {
    /// For loads below this.
    pub below: Volume,
    /// What they pay.
    pub fee: ShortFee,
}

/// How a small load pays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShortFee {
    /// So much for the load.
    Flat(UnitPrice),
    /// So much for each yd3 that is missing.
    EachMissing(UnitPrice),
}

/// The step that holds for a load, of steps by rising size.
pub(super) fn find_tier(tiers: &[ShortTier], load: Volume) -> Option<&ShortTier> {
    tiers
        .iter()
        .find(|tier| load.compare(tier.below) == Compared::Below)
}
