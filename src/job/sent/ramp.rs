//! The ramp as it is sent.
//!
//! Invariant: facts of rails and doors by others may be left out. Absent: the pieces of the path.

use super::path::PathRequest;
use crate::job::choice::{
    Approach, By, EdgeKind, EdgeName, LevelShape, Opens, RailShape, RiseTo, StepsSupport, Support,
    WidthIs,
};
use crate::job::or_none::OrNone;
use crate::quantity::{Faults, Length, Slope};

// Named, because the schema derive composes generic fields but refers to named ones.
type BarrierOrNone = OrNone<BarrierRequest>;
type CheekWallsOrNone = OrNone<CheekWallsRequest>;
type CurbOrNone = OrNone<CurbRequest>;
type HandrailsOrNone = OrNone<HandrailsRequest>;

sent! {
    /// The ramp: a path of landings and runs from the foot up.
    RampRequest {
        required {
            /// Landings and runs, walking up; begins with a landing.
            path: Vec<PathRequest>,
        }
        optional {
            /// What carries the slab.
            support: Support,
            /// Width of runs and landings.
            width: Length,
            /// What `width` is: the slab, clear between rails or curbs, or between two walls.
            width_is: WidthIs,
            /// What the summed rise ends at.
            rise_to: RiseTo,
            /// Fall across runs and landings.
            cross_slope: Slope,
            /// Distance between two runs that lie side by side.
            gap: Length,
            /// Curb along open edges, or `none`.
            curb: CurbOrNone,
            /// A rail, wall or barrier that stops a sphere along open edges, or `none`.
            barrier: BarrierOrNone,
            /// Handrails, or `none`.
            handrails: HandrailsOrNone,
            /// Steps beside the ramp: judged, and taken off where `build` says how.
            steps: Vec<StepsRequest>,
            /// Curb ramps on the way: judged, and taken off where `build` says how.
            curb_ramps: Vec<CurbRampRequest>,
            /// Level changes on the way (lips, thresholds), judged only.
            level_changes: Vec<LevelChangeRequest>,
        }
    }

    /// What stands at the edges of a piece; an edge where the next piece joins is left out.
    EdgesRequest {
        required {}
        optional {
            /// The lower end.
            start: EdgeKind,
            /// The upper end.
            end: EdgeKind,
            /// The left side, walking up.
            left: EdgeKind,
            /// The right side, walking up.
            right: EdgeKind,
        }
    }

    /// A door at a landing.
    DoorRequest {
        required {
            /// The landing's edge in which the door stands.
            edge: EdgeName,
        }
        optional {
            /// Width of the leaf.
            leaf: Length,
            /// Which way it opens.
            opens: Opens,
            /// From where a person comes to it.
            approach: Approach,
            /// True when it has a closer.
            closer: bool,
            /// True when it has a latch.
            latch: bool,
            /// Clear floor beyond the latch side.
            beyond_latch: Length,
            /// Clear floor beyond the hinge side.
            beyond_hinge: Length,
            /// Height of the threshold above the slab.
            threshold: Length,
        }
    }

    /// A curb cast along open edges.
    CurbRequest {
        required {}
        optional {
            /// Across the top.
            width: Length,
            /// Above the surface.
            height: Length,
        }
    }

    /// A rail, wall or barrier along open edges.
    BarrierRequest {
        required {}
        optional {
            /// Who sets it.
            by: By,
            /// Largest opening between the surface and its lowest part.
            gap_below: Length,
        }
    }

    /// Handrails. Facts of rails by others may be left out.
    HandrailsRequest {
        required {}
        optional {
            /// Who sets them.
            by: By,
            /// Top of the gripping surface above the ramp, plumb.
            height: Length,
            /// From the slab's edge or the curb's face to the rail's inside face.
            inset: Length,
            /// Level extension past each end of each run.
            extension: Length,
            /// Space between the rail and what stands behind it.
            clearance: Length,
            /// True when they stand on both sides.
            both_sides: bool,
            /// The section that the hand holds.
            section: RailSectionRequest,
        }
    }

    /// The section that the hand holds.
    RailSectionRequest {
        required {
            /// Round or not.
            shape: RailShape,
        }
        optional {
            /// Outside diameter of a round one.
            diameter: Length,
            /// Perimeter of another one.
            perimeter: Length,
            /// Largest distance across another one.
            across: Length,
        }
    }

    /// A flight of steps, judged only.
    StepsRequest {
        required {
            /// Heights of the risers, from below.
            risers: Vec<Length>,
            /// Depths of the treads, nosing to nosing.
            treads: Vec<Length>,
        }
        optional {
            /// Width between its sides.
            width: Length,
            /// Fall of the treads.
            tread_slope: Slope,
            /// How far nosings stand out.
            nosing: Length,
            /// Radius of the nosing.
            nosing_radius: Length,
            /// True when one can see through the risers.
            open_risers: bool,
            /// True when the flight is part of a means of egress.
            egress: bool,
            /// How we build it; judged only where left out.
            build: StepsBuildRequest,
        }
    }

    /// How a flight of steps is built.
    StepsBuildRequest {
        required {}
        optional {
            /// Who builds it.
            by: By,
            /// What carries it.
            support: StepsSupport,
            /// Between its sides; that of the steps, else of the ramp, where left out.
            width: Length,
            /// Thickness of the waist, square to its slope.
            waist: Length,
            /// Walls beside it, or `none`, as where left out.
            cheek_walls: CheekWallsOrNone,
        }
    }

    /// Walls beside a flight of steps.
    CheekWallsRequest {
        required {}
        optional {
            /// One on the left, walking up.
            left: bool,
            /// One on the right.
            right: bool,
            /// Face to face.
            thickness: Length,
            /// Top of the wall above the line of the nosings.
            above: Length,
            /// Foot of the wall below the ground at the foot of the steps.
            below: Length,
        }
    }

    /// How a curb ramp is built.
    CurbRampBuildRequest {
        required {}
        optional {
            /// Who builds it.
            by: By,
            /// Between its flares; its clear width, else the ramp's, where left out.
            width: Length,
            /// The slab's where left out.
            thickness: Length,
        }
    }

    /// A curb ramp.
    CurbRampRequest {
        required {
            /// Height of the curb.
            rise: Length,
            /// Run on plan.
            length: Length,
        }
        optional {
            /// Clear width without flares.
            width: Length,
            /// Fall across it.
            cross_slope: Slope,
            /// Slope of the flares along the curb, where it has flares.
            flare: Slope,
            /// Slope of the gutter or road at its foot.
            counter_slope: Slope,
            /// Clear length of the landing at its top.
            top_landing: Length,
            /// How we build it; judged only where left out.
            build: CurbRampBuildRequest,
        }
    }

    /// A level change on the way, judged only.
    LevelChangeRequest {
        required {
            /// Total height.
            height: Length,
            /// Vertical or bevelled.
            shape: LevelShape,
        }
        optional {
            /// Slope of the bevel.
            bevel: Slope,
            /// Where it is, in words.
            place: String,
        }
    }
}
