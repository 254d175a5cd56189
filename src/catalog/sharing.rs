//! Rows of how long concrete may be on its way, and of loads that go to several pours.
//!
//! Invariant: every row says where it comes from. Absent here: the values (`concrete.toml`), prices.

use crate::quantity::{Citation, Span};
use serde::Deserialize;

/// How long concrete may be on its way.
#[derive(Clone, Debug, Deserialize)]
pub struct DischargeRow {
    /// From batching to the end of discharge.
    pub limit: Span,
    /// Where the row comes from.
    #[serde(flatten)]
    pub source: Citation,
}

/// A load that goes to several pours: what is taken where nobody says.
#[derive(Clone, Debug, Deserialize)]
pub struct SharingRow {
    /// From batching until the truck leaves the plant.
    pub loading: Span,
    /// From the plant to a pour.
    pub to_area: Span,
    /// From a pour to one in another area.
    pub between_areas: Span,
    /// From a pour to another in its area.
    pub within_area: Span,
    /// Pours that one load serves at most.
    pub most_stops: u32,
    /// Where the row comes from.
    #[serde(flatten)]
    pub source: Citation,
}
