//! The ramp with every question answered: pieces, edges, rails, and what is only judged.
//!
//! Invariants: widths are slab edge to slab edge; every run knows its rise and its length. Absent:
//! anything solved in space, which is geometry.

use crate::job::choice::{
    Approach, By, EdgeKind, EdgeName, LevelShape, Measured, Opens, RailShape, RiseTo, StepsSupport,
    Support, Turn, WidthIs, Work,
};
use crate::job::or_none::OrNone;
use crate::quantity::{Length, Slope};
use serde::Serialize;

full! {
    /// The ramp.
    Ramp {
        /// Landings and runs, walking up.
        path: Vec<Piece>,
        /// What carries the slab.
        support: Support,
        /// Width as stated.
        width: Length,
        /// What that width is.
        width_is: WidthIs,
        /// What the summed rise ends at.
        rise_to: RiseTo,
        /// Fall across.
        cross_slope: Slope,
        /// Between runs side by side.
        gap: Length,
        /// Curb.
        curb: OrNone<Curb>,
        /// Barrier.
        barrier: OrNone<Barrier>,
        /// Handrails.
        handrails: OrNone<Handrails>,
        /// Steps.
        steps: Vec<Steps>,
        /// Curb ramps.
        curb_ramps: Vec<CurbRamp>,
        /// Level changes, judged only.
        level_changes: Vec<LevelChange>,
    }
    /// A landing.
    Landing {
        /// New or existing.
        work: Work,
        /// Who builds it.
        by: By,
        /// Along the arriving run.
        length: Length,
        /// Across the arriving run, slab edge to slab edge.
        width: Length,
        /// Where the next run leaves.
        turn: Turn,
        /// Edges.
        edges: Edges,
        /// Edges with a curb.
        curbs: Vec<EdgeName>,
        /// Rise along the path.
        slope_along: Slope,
        /// Fall across.
        slope_across: Slope,
        /// Drop beside open edges within 10 in, where stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        edge_drop: Option<Length>,
        /// A door.
        #[serde(skip_serializing_if = "Option::is_none")]
        door: Option<Door>,
    }
    /// A run.
    Run {
        /// New or existing.
        work: Work,
        /// Who builds it.
        by: By,
        /// Rise from end to end.
        rise: Length,
        /// Length, as `measured` says.
        length: Length,
        /// How it was taped.
        measured: Measured,
        /// Slab edge to slab edge.
        width: Length,
        /// Fall across.
        cross_slope: Slope,
        /// Edges.
        edges: Edges,
        /// Sides with a curb.
        curbs: Vec<EdgeName>,
        /// Slope of flared sides.
        #[serde(skip_serializing_if = "Option::is_none")]
        flare: Option<Slope>,
    }
    /// What stands at the edges; none where another piece joins.
    Edges {
        /// Lower end.
        #[serde(skip_serializing_if = "Option::is_none")]
        start: Option<EdgeKind>,
        /// Upper end.
        #[serde(skip_serializing_if = "Option::is_none")]
        end: Option<EdgeKind>,
        /// Left side.
        #[serde(skip_serializing_if = "Option::is_none")]
        left: Option<EdgeKind>,
        /// Right side.
        #[serde(skip_serializing_if = "Option::is_none")]
        right: Option<EdgeKind>,
    }
    /// A door.
    Door {
        /// The landing's edge in which it stands.
        edge: EdgeName,
        /// Width of the leaf.
        leaf: Length,
        /// Which way it opens.
        opens: Opens,
        /// From where a person comes.
        approach: Approach,
        /// Closer.
        closer: bool,
        /// Latch.
        latch: bool,
        /// Clear floor beyond the latch.
        #[serde(skip_serializing_if = "Option::is_none")]
        beyond_latch: Option<Length>,
        /// Clear floor beyond the hinges.
        #[serde(skip_serializing_if = "Option::is_none")]
        beyond_hinge: Option<Length>,
        /// Threshold above the slab.
        threshold: Length,
    }
    /// A curb.
    Curb {
        /// Across the top.
        width: Length,
        /// Above the surface.
        height: Length,
    }
    /// A barrier.
    Barrier {
        /// Who sets it.
        by: By,
        /// Largest opening at its foot.
        #[serde(skip_serializing_if = "Option::is_none")]
        gap_below: Option<Length>,
    }
    /// Handrails.
    Handrails {
        /// Who sets them.
        by: By,
        /// Top of the gripping surface.
        #[serde(skip_serializing_if = "Option::is_none")]
        height: Option<Length>,
        /// Slab's edge or curb's face to the inside face.
        #[serde(skip_serializing_if = "Option::is_none")]
        inset: Option<Length>,
        /// Level extension past each end of each run.
        #[serde(skip_serializing_if = "Option::is_none")]
        extension: Option<Length>,
        /// Space behind the rail.
        #[serde(skip_serializing_if = "Option::is_none")]
        clearance: Option<Length>,
        /// On both sides.
        #[serde(skip_serializing_if = "Option::is_none")]
        both_sides: Option<bool>,
        /// Section.
        #[serde(skip_serializing_if = "Option::is_none")]
        section: Option<RailSection>,
    }
    /// A rail's section.
    RailSection {
        /// Round or not.
        shape: RailShape,
        /// Outside diameter.
        #[serde(skip_serializing_if = "Option::is_none")]
        diameter: Option<Length>,
        /// Perimeter.
        #[serde(skip_serializing_if = "Option::is_none")]
        perimeter: Option<Length>,
        /// Largest distance across.
        #[serde(skip_serializing_if = "Option::is_none")]
        across: Option<Length>,
    }
    /// Steps.
    Steps {
        /// Risers.
        risers: Vec<Length>,
        /// Treads.
        treads: Vec<Length>,
        /// Width.
        #[serde(skip_serializing_if = "Option::is_none")]
        width: Option<Length>,
        /// Fall of the treads.
        #[serde(skip_serializing_if = "Option::is_none")]
        tread_slope: Option<Slope>,
        /// How far nosings stand out.
        #[serde(skip_serializing_if = "Option::is_none")]
        nosing: Option<Length>,
        /// Radius of the nosing.
        #[serde(skip_serializing_if = "Option::is_none")]
        nosing_radius: Option<Length>,
        /// Open risers.
        open_risers: bool,
        /// Part of a means of egress.
        egress: bool,
        /// How they are built; judged only where not stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        build: Option<StepsBuild>,
    }
    /// How a flight of steps is built.
    StepsBuild {
        /// Who builds it.
        by: By,
        /// What carries it.
        support: StepsSupport,
        /// Between its sides.
        width: Length,
        /// Of the waist, square to its slope.
        waist: Length,
        /// Walls beside it.
        cheek_walls: OrNone<CheekWalls>,
    }
    /// Walls beside a flight of steps.
    CheekWalls {
        /// On the left, walking up.
        left: bool,
        /// On the right.
        right: bool,
        /// Face to face.
        thickness: Length,
        /// Above the line of the nosings.
        above: Length,
        /// Into the ground.
        below: Length,
    }
    /// A curb ramp.
    CurbRamp {
        /// Height of the curb.
        rise: Length,
        /// Run on plan.
        length: Length,
        /// Clear width.
        #[serde(skip_serializing_if = "Option::is_none")]
        width: Option<Length>,
        /// Cross slope.
        #[serde(skip_serializing_if = "Option::is_none")]
        cross_slope: Option<Slope>,
        /// Flares.
        #[serde(skip_serializing_if = "Option::is_none")]
        flare: Option<Slope>,
        /// Counter slope.
        #[serde(skip_serializing_if = "Option::is_none")]
        counter_slope: Option<Slope>,
        /// Top landing.
        #[serde(skip_serializing_if = "Option::is_none")]
        top_landing: Option<Length>,
        /// How it is built; judged only where not stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        build: Option<CurbRampBuild>,
    }
    /// How a curb ramp is built.
    CurbRampBuild {
        /// Who builds it.
        by: By,
        /// Between the flares.
        width: Length,
        /// Square to the surface; the slab's where not stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        thickness: Option<Length>,
    }
    /// A level change.
    LevelChange {
        /// Height.
        height: Length,
        /// Shape.
        shape: LevelShape,
        /// Slope of the bevel.
        #[serde(skip_serializing_if = "Option::is_none")]
        bevel: Option<Slope>,
        /// Where.
        #[serde(skip_serializing_if = "Option::is_none")]
        place: Option<String>,
    }
}

/// One piece of the path.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Piece {
    /// A landing.
    Landing(Landing),
    /// A run.
    Run(Run),
}

impl Piece {
    /// New or existing.
    pub const fn work(&self) -> Work {
        match self {
            Self::Landing(landing) => landing.work,
            Self::Run(run) => run.work,
        }
    }

    /// Who builds it.
    pub const fn by(&self) -> By {
        match self {
            Self::Landing(landing) => landing.by,
            Self::Run(run) => run.by,
        }
    }

    /// Slab edge to slab edge, across the path.
    pub const fn width(&self) -> Length {
        match self {
            Self::Landing(landing) => landing.width,
            Self::Run(run) => run.width,
        }
    }

    /// What stands at its edges.
    pub const fn edges(&self) -> &Edges {
        match self {
            Self::Landing(landing) => &landing.edges,
            Self::Run(run) => &run.edges,
        }
    }

    /// Edges that carry the curb.
    pub fn curbs(&self) -> &[EdgeName] {
        match self {
            Self::Landing(landing) => &landing.curbs,
            Self::Run(run) => &run.curbs,
        }
    }
}

impl Edges {
    /// What stands at one edge; none where another piece joins.
    pub const fn at(&self, edge: EdgeName) -> Option<EdgeKind> {
        match edge {
            EdgeName::Start => self.start,
            EdgeName::End => self.end,
            EdgeName::Left => self.left,
            EdgeName::Right => self.right,
        }
    }
}

impl Run {
    /// Length on plan; a length taped along the surface is the hypotenuse.
    ///
    /// # Source
    /// 2010 ADA Standards, Advisory 405.3: slope is rise over horizontal run.
    pub fn plan_length(&self) -> Length {
        match self.measured {
            Measured::Plan => self.length,
            Measured::Surface => {
                let (surface, rise) = (self.length.metres(), self.rise.metres());
                Length::from_metres(libm::sqrt((surface - rise) * (surface + rise)))
            }
        }
    }

    /// Rise over plan length.
    pub fn slope(&self) -> Slope {
        Slope::from_ratio(self.rise / self.plan_length())
    }
}
