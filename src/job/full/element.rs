//! What is poured around the ramp, with every question answered; and what is dug for it.
//!
//! Invariants: every element is new work; a leg, a stretch and an edge have a length. Absent: anything
//! solved in space, which is geometry.

use crate::job::choice::{By, EdgeKind, LegsAlong, LevelShape, Side, Soil, TieJoint};
use crate::quantity::{Area, Length, Slope};
use serde::Serialize;

full! {
    /// A walk.
    WalkElement {
        /// Who builds it.
        by: By,
        /// Across, where it begins.
        width: Length,
        /// Square to the surface.
        thickness: Length,
        /// Its stretches.
        stretches: Vec<Stretch>,
        /// Along its left side.
        left: EdgeKind,
        /// Along its right side.
        right: EdgeKind,
        /// Where it begins.
        start: EdgeKind,
        /// Where it ends; new concrete joins it where none is stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        end: Option<EdgeKind>,
    }
    /// A stretch of a walk.
    Stretch {
        /// Along the centre line.
        length: Length,
        /// From its beginning to its end.
        rise: Length,
        /// Across at its end.
        width_end: Length,
        /// The bend at its end.
        #[serde(skip_serializing_if = "Option::is_none")]
        bend: Option<Bend>,
    }
    /// A bend.
    Bend {
        /// To which side.
        to: Side,
        /// By how many degrees.
        degrees: u32,
        /// Radius of an arc along the centre line; mitred without.
        #[serde(skip_serializing_if = "Option::is_none")]
        radius: Option<Length>,
    }
    /// A slab with four sides.
    SlabElement {
        /// Who builds it.
        by: By,
        /// On plan.
        length: Length,
        /// Across at its lower end.
        width: Length,
        /// Across at its upper end.
        width_end: Length,
        /// At its lower end.
        thickness: Length,
        /// At its upper end.
        thickness_end: Length,
        /// From its lower end to its upper end.
        rise: Length,
        /// How many.
        count: u32,
        /// At its lower end.
        start: EdgeKind,
        /// At its upper end; new concrete joins it where none is stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        end: Option<EdgeKind>,
        /// Along its left side.
        left: EdgeKind,
        /// Along its right side.
        right: EdgeKind,
    }
    /// An edge made thicker underneath.
    ThickenedEdge {
        /// Who builds it.
        by: By,
        /// Along its middle.
        length: Length,
        /// Below the slab.
        depth: Length,
        /// Across its bottom.
        width: Length,
        /// Across its inner slope.
        taper: Length,
        /// Bars along it.
        bars: u32,
    }
    /// An edge turned down into the ground.
    TurnDown {
        /// Who builds it.
        by: By,
        /// Along its middle.
        length: Length,
        /// Below the slab.
        depth: Length,
        /// Across it.
        width: Length,
        /// Bars along it.
        bars: u32,
    }
    /// A strip footing.
    StripFooting {
        /// Who builds it.
        by: By,
        /// Straight legs.
        legs: Vec<Length>,
        /// Along which line they were taped.
        measured: LegsAlong,
        /// The last leg meets the first.
        closed: bool,
        /// Across it.
        width: Length,
        /// Bottom to top.
        depth: Length,
        /// Formed, not poured against the trench.
        formed: bool,
        /// Bars along it.
        bars: u32,
    }
    /// A frost wall.
    FrostWall {
        /// Who builds it.
        by: By,
        /// Straight legs.
        legs: Vec<Length>,
        /// Along which line they were taped.
        measured: LegsAlong,
        /// The last leg meets the first.
        closed: bool,
        /// Face to face.
        thickness: Length,
        /// Where its first leg begins.
        height: Length,
        /// Where its last leg ends.
        height_end: Length,
    }
    /// A strip of an existing walk that the foot of the ramp takes the place of.
    TieIn {
        /// Who does it.
        by: By,
        /// Along the cut.
        length: Length,
        /// Broken out from the new edge back to the cut.
        cut_back: Length,
        /// Of the existing slab.
        thickness: Length,
        /// Ends of the strip that are sawn.
        ends_sawn: u32,
        /// How the patch meets what stays.
        joint: TieJoint,
        /// Between dowels.
        dowel_spacing: Length,
        /// Of a dowel.
        dowel_length: Length,
        /// What is left between new and old.
        #[serde(skip_serializing_if = "Option::is_none")]
        lip: Option<Lip>,
    }
    /// A lip.
    Lip {
        /// Height.
        height: Length,
        /// Shape.
        shape: LevelShape,
        /// Slope of the bevel.
        #[serde(skip_serializing_if = "Option::is_none")]
        bevel: Option<Slope>,
    }
    /// Breaking out and digging.
    Earthwork {
        /// Who does it.
        by: By,
        /// What is dug.
        soil: Soil,
        /// Broken out.
        break_out: Vec<BreakOut>,
        /// Dug under the stone.
        depth: Length,
        /// Dug beside what is formed in a trench.
        working_room: Length,
    }
    /// Existing concrete that is broken out.
    BreakOut {
        /// Surface.
        area: Area,
        /// Thickness.
        thickness: Length,
        /// Sawn beforehand.
        sawn: Length,
        /// What it is.
        #[serde(skip_serializing_if = "String::is_empty")]
        what: String,
    }
}

/// Something poured around the ramp.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Element {
    /// A walk.
    Walk(WalkElement),
    /// A slab.
    Slab(SlabElement),
    /// A thickened edge.
    ThickenedEdge(ThickenedEdge),
    /// A turned-down edge.
    TurnDown(TurnDown),
    /// A strip footing.
    StripFooting(StripFooting),
    /// A frost wall.
    FrostWall(FrostWall),
    /// A tie-in.
    TieIn(TieIn),
}
