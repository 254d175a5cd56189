//! One piece of the path as it is sent: a landing or a run.
//!
//! Invariant: the kind decides which fields may stand there. Absent: defaults and bounds.

use super::ramp::{DoorRequest, EdgesRequest};
use crate::job::choice::{By, EdgeName, Measured, Turn, Work};
use crate::quantity::{Faults, Length, Slope};

/// One piece of the path.
#[derive(Clone, Debug, PartialEq, serde::Deserialize, deserr::Deserr)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(tag = "kind", deny_unknown_fields)]
#[deserr(error = Faults, tag = "kind", deny_unknown_fields)]
pub enum PathRequest {
    /// A level place to stand or turn.
    #[serde(rename = "landing")]
    #[deserr(rename = "landing")]
    Landing {
        /// New or existing.
        #[serde(default)]
        #[deserr(default)]
        work: Option<Work>,
        /// Who builds it.
        #[serde(default)]
        #[deserr(default)]
        by: Option<By>,
        /// Along the arriving run.
        #[serde(default)]
        #[deserr(default)]
        length: Option<Length>,
        /// Across the arriving run; the ramp's width, or what the turn needs, where left out.
        #[serde(default)]
        #[deserr(default)]
        width: Option<Length>,
        /// Where the next run leaves.
        #[serde(default)]
        #[deserr(default)]
        turn: Option<Turn>,
        /// What stands at its edges.
        #[serde(default)]
        #[deserr(default)]
        edges: Option<EdgesRequest>,
        /// Edges that carry the ramp's curb.
        #[serde(default)]
        #[deserr(default)]
        curbs: Option<Vec<EdgeName>>,
        /// Rise along the path.
        #[serde(default)]
        #[deserr(default)]
        slope_along: Option<Slope>,
        /// Fall across the path.
        #[serde(default)]
        #[deserr(default)]
        slope_across: Option<Slope>,
        /// Drop beside its open edges within 10 in.
        #[serde(default)]
        #[deserr(default)]
        edge_drop: Option<Length>,
        /// A door at it.
        #[serde(default)]
        #[deserr(default)]
        door: Option<DoorRequest>,
    },
    /// A sloping piece between two levels; give two of `rise`, `length` and `slope`.
    #[serde(rename = "run")]
    #[deserr(rename = "run")]
    Run {
        /// New or existing.
        #[serde(default)]
        #[deserr(default)]
        work: Option<Work>,
        /// Who builds it.
        #[serde(default)]
        #[deserr(default)]
        by: Option<By>,
        /// Rise from end to end.
        #[serde(default)]
        #[deserr(default)]
        rise: Option<Length>,
        /// Length, as `measured` says.
        #[serde(default)]
        #[deserr(default)]
        length: Option<Length>,
        /// Slope on plan.
        #[serde(default)]
        #[deserr(default)]
        slope: Option<Slope>,
        /// How `length` was taped.
        #[serde(default)]
        #[deserr(default)]
        measured: Option<Measured>,
        /// Width; the ramp's where left out.
        #[serde(default)]
        #[deserr(default)]
        width: Option<Length>,
        /// Fall across it; the ramp's where left out.
        #[serde(default)]
        #[deserr(default)]
        cross_slope: Option<Slope>,
        /// What stands at its sides.
        #[serde(default)]
        #[deserr(default)]
        edges: Option<EdgesRequest>,
        /// Sides that carry the ramp's curb.
        #[serde(default)]
        #[deserr(default)]
        curbs: Option<Vec<EdgeName>>,
        /// Slope of flared sides, where its sides are flared.
        #[serde(default)]
        #[deserr(default)]
        flare: Option<Slope>,
    },
}
