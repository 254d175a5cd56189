//! Who sells, and on what terms.
//!
//! Invariant: terms that a supplier does not state are empty, never zero. Absent here: what its
//! missing yards and waiting minutes cost, which are items with prices like any other.

use crate::quantity::money::{Decimal4, UnitPrice};

/// A seller of items.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Supplier {
    /// Stable name.
    pub code: String,
    /// The name that people know it by.
    pub name: String,
    /// Its ready-mix terms; all empty for a seller of anything else.
    pub terms: ReadyMixTerms,
    /// An order that comes to less is charged this much all the same.
    pub minimum_order: Option<UnitPrice>,
    /// What a load costs extra by its size, by rising size; in place of a charge for each yd3
    /// missing where there is any.
    pub short_load_steps: Vec<ShortLoadStep>,
    /// What a delivery costs by zone, by name; empty where delivery is not charged by zone.
    pub zones: Vec<Zone>,
}

/// A charge for a load below a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShortLoadStep {
    /// Loads below this many yd3 pay it, unless a smaller step holds.
    pub below_yd3: Decimal4,
    /// For one load.
    pub fee: UnitPrice,
}

/// A zone of delivery.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Zone {
    /// As the supplier names it.
    pub name: String,
    /// For one delivery.
    pub fee: UnitPrice,
}

/// What a ready-mix plant asks for and gives, beside the price of the concrete.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ReadyMixTerms {
    /// A load below this many yd3 pays for each missing yd3.
    pub short_load_below_yd3: Option<Decimal4>,
    /// The most that one truck carries, in yd3.
    pub truck_most_yd3: Option<Decimal4>,
    /// Minutes of unloading that are free for each yd3.
    pub free_unloading_min_per_yd3: Option<Decimal4>,
}

impl Supplier {
    /// The charge for one load of `yd3`, under the smallest step that it stays below.
    pub fn short_load(&self, yd3: Decimal4) -> Option<ShortLoadStep> {
        let steps = self.short_load_steps.iter();
        steps.copied().find(|step| yd3 < step.below_yd3)
    }

    /// True when it charges anything beside its goods by a table of its own.
    pub fn has_tables(&self) -> bool {
        self.minimum_order.is_some() || !self.short_load_steps.is_empty() || !self.zones.is_empty()
    }

    /// What a delivery to `zone` costs; names are compared without case.
    pub fn zone(&self, zone: &str) -> Option<&Zone> {
        let same = |known: &&Zone| known.name.eq_ignore_ascii_case(zone.trim());
        self.zones.iter().find(same)
    }
}
