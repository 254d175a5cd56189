//! The catalog under the terms of the plant that the price book names.
//!
//! Invariant: a term that the book does not state leaves the built-in row as it is.

use super::{Catalog, ReadyMixTerms};
use crate::quantity::money::Decimal4;
use crate::quantity::{Citation, Span, Verified, Volume};
use std::borrow::Cow;

impl Catalog {
    /// The rows with a plant's own terms in place of the usual ones; the same rows where nothing
    /// differs, so that nothing is copied.
    pub fn under_terms(&self, terms: &ReadyMixTerms) -> Cow<'_, Self> {
        let yards = |number: Decimal4| Volume::from_cubic_yards(number.number());
        let below = terms.short_load_below_yd3.map(yards);
        let most = terms
            .truck_most_yd3
            .map(yards)
            .filter(|most| !most.is_zero());
        let free = terms
            .free_unloading_min_per_yd3
            .map(|minutes| Span::from_minutes(minutes.number()));
        let rows = &self.concrete;
        let same = below.is_none_or(|below| below == rows.short_load.below)
            && most.is_none_or(|most| most == rows.truck.payload)
            && free.is_none_or(|free| free == rows.unloading.free_a_yard);
        if same {
            return Cow::Borrowed(self);
        }
        let mut own = self.clone();
        let rows = &mut own.concrete;
        if let Some(below) = below {
            rows.short_load.below = below;
            rows.short_load.source = source();
        }
        if let Some(most) = most {
            rows.truck.payload = most;
            rows.truck.source = source();
        }
        if let Some(free) = free {
            rows.unloading.free_a_yard = free;
            rows.unloading.source = source();
        }
        Cow::Owned(own)
    }
}

fn source() -> Citation {
    Citation {
        document: "the price book, terms of the plant".to_owned(),
        section: None,
        verified: Verified::Read,
    }
}
