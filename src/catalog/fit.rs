//! How two products go together.
//!
//! Invariant: spelled as the rows spell it. Absent: which products (`curing.toml`).

use serde::Deserialize;

/// Whether a sealer takes on a surface that was cured so.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Fit {
    /// It does.
    Fits,
    /// Once what cured it is off.
    FitsAfterRemoval,
    /// It does not.
    DoesNotFit,
}
