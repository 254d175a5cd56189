//! What is poured around the ramp, as it is sent: walks, pads, walls, footings, thickened edges, tie-ins.
//!
//! Invariant: the kind decides which fields may stand there. Absent: defaults and bounds.

use crate::job::choice::{By, EdgeKind, LegsAlong, LevelShape, Side, TieJoint};
use crate::quantity::{Faults, Length, Slope};

/// Declares the kinds of one tagged object, whose fields may all be left out as far as reading goes.
macro_rules! kinds {
    ($(#[$doc:meta])* $name:ident { $(
        $(#[$vdoc:meta])* $variant:ident as $tag:tt { $($(#[$fdoc:meta])* $field:ident: $ty:ty,)* }
    )+ }) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, serde::Deserialize, deserr::Deserr)]
        #[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
        #[serde(tag = "kind", deny_unknown_fields)]
        #[deserr(error = Faults, tag = "kind", deny_unknown_fields)]
        pub enum $name { $(
            $(#[$vdoc])*
            #[serde(rename = $tag)]
            #[deserr(rename = $tag)]
            $variant { $(
                $(#[$fdoc])*
                #[serde(default)]
                #[deserr(default)]
                $field: Option<$ty>,
            )* },
        )+ }
    };
}

kinds! {
    /// Something poured by this job around the ramp.
    ElementRequest {
        /// A walk of one or more stretches.
        Walk as "walk" {
            /// Who builds it.
            by: By,
            /// Across; the ramp's width where left out.
            width: Length,
            /// The slab's where left out.
            thickness: Length,
            /// Its stretches, in walking order.
            stretches: Vec<StretchRequest>,
            /// What stands along its left side.
            left: EdgeKind,
            /// What stands along its right side.
            right: EdgeKind,
            /// What stands where it begins; an existing walk where left out.
            start: EdgeKind,
            /// What stands where it ends; new concrete joins it where left out.
            end: EdgeKind,
        }
        /// A slab with four sides: a pad, a slab that widens, one that grows thicker, a wedge.
        Slab as "slab" {
            /// Who builds it.
            by: By,
            /// On plan, from its lower end to its upper end.
            length: Length,
            /// Across at its lower end.
            width: Length,
            /// Across at its upper end; as at the lower end where left out.
            width_end: Length,
            /// At its lower end, square to the surface; the slab's where left out.
            thickness: Length,
            /// At its upper end; as at the lower end where left out.
            thickness_end: Length,
            /// From its lower end to its upper end.
            rise: Length,
            /// How many that are alike; 1 where left out.
            count: u32,
            /// What stands at its lower end.
            start: EdgeKind,
            /// What stands at its upper end.
            end: EdgeKind,
            /// What stands along its left side.
            left: EdgeKind,
            /// What stands along its right side.
            right: EdgeKind,
        }
        /// A slab edge made thicker underneath.
        ThickenedEdge as "thickened_edge" {
            /// Who builds it.
            by: By,
            /// Along the middle of the thickening, corners once.
            length: Length,
            /// Below the underside of the slab.
            depth: Length,
            /// Across its bottom.
            width: Length,
            /// Across the slope on its inner side; as deep as it is, a slope of 45 degrees, where left out.
            taper: Length,
            /// Bars along it.
            bars: u32,
        }
        /// A slab edge turned down into the ground, formed on its outer side.
        TurnDown as "turn_down" {
            /// Who builds it.
            by: By,
            /// Along the middle of the turn-down, corners once.
            length: Length,
            /// Below the underside of the slab.
            depth: Length,
            /// Across it.
            width: Length,
            /// Bars along it.
            bars: u32,
        }
        /// A strip footing.
        StripFooting as "strip_footing" {
            /// Who builds it.
            by: By,
            /// Its straight legs.
            legs: Vec<Length>,
            /// Along which line they were taped.
            measured: LegsAlong,
            /// True where the last leg meets the first.
            closed: bool,
            /// Across it.
            width: Length,
            /// From its bottom to its top.
            depth: Length,
            /// False where it is poured against the trench.
            formed: bool,
            /// Bars along it.
            bars: u32,
        }
        /// A frost wall, formed on both faces.
        FrostWall as "frost_wall" {
            /// Who builds it.
            by: By,
            /// Its straight legs.
            legs: Vec<Length>,
            /// Along which line they were taped.
            measured: LegsAlong,
            /// True where the last leg meets the first.
            closed: bool,
            /// Face to face.
            thickness: Length,
            /// Where its first leg begins.
            height: Length,
            /// Where its last leg ends; as where it begins where left out.
            height_end: Length,
        }
        /// Where the foot of the ramp takes the place of a strip of an existing walk.
        TieIn as "tie_in" {
            /// Who does it.
            by: By,
            /// Along the cut; the ramp's width where left out.
            length: Length,
            /// How far back from the new edge the existing slab is broken out.
            cut_back: Length,
            /// Thickness of the existing slab.
            thickness: Length,
            /// Ends of the strip that are sawn too, none where the walk is as wide as the ramp.
            ends_sawn: u32,
            /// How the patch meets what stays.
            joint: TieJoint,
            /// Between dowels, at most.
            dowel_spacing: Length,
            /// Length of a dowel, half of it in the hole.
            dowel_length: Length,
            /// The lip that is left where new meets old, judged as a level change.
            lip: LipRequest,
        }
    }
}

sent! {
    /// One straight stretch of a walk and the bend at its end.
    StretchRequest {
        required {
            /// Along the centre line, to where the centre lines of two stretches meet, or to where an arc begins.
            length: Length,
        }
        optional {
            /// From its beginning to its end.
            rise: Length,
            /// Across at its end, where it widens or narrows.
            width_end: Length,
            /// The bend at its end.
            bend: BendRequest,
        }
    }

    /// A bend of a walk.
    BendRequest {
        required {
            /// To which side.
            to: Side,
        }
        optional {
            /// By how many degrees, 1 to 170; 90 where left out.
            degrees: u32,
            /// Radius of an arc along the centre line; mitred where left out.
            radius: Length,
        }
    }

    /// A lip between new and existing concrete.
    LipRequest {
        required {
            /// Total height.
            height: Length,
            /// Vertical or bevelled.
            shape: LevelShape,
        }
        optional {
            /// Slope of the bevel.
            bevel: Slope,
        }
    }
}
