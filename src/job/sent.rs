//! The full form of a job as it is sent: nearly every field may be left out.
//!
//! Invariants: unknown fields are refused; quantities carry their unit; nothing here has a default,
//! those are rows in `fields.toml`, put in by `expand`. Absent: any judgement of what a value means.

use super::choice::{
    Approach, Bar, BarCount, Basis, BoardClass, By, Class, CuringMethod, EdgeKind, EdgeName,
    Exposure, Finish, JointMethod, LevelShape, Measured, Opens, Placing, ProfitBasis, RailShape,
    RiseTo, Saw, Scope, SealerProduct, Stone, Support, TaxBase, ThicknessMeasured, Turn, WasteRule,
    WidthIs, Work,
};
use super::day::Day;
use super::or_none::OrNone;
use crate::quantity::{
    Coverage, Faults, Length, Percent, Slope, Span, Stress, System, money::UnitPrice,
};
use std::collections::BTreeMap;

// Named, because the schema derive composes generic fields but refers to named ones.
type BarrierOrNone = OrNone<BarrierRequest>;
type BaseOrNone = OrNone<BaseRequest>;
type CurbOrNone = OrNone<CurbRequest>;
type HandrailsOrNone = OrNone<HandrailsRequest>;
type InsulationOrNone = OrNone<InsulationRequest>;
type ReinforcementOrNone = OrNone<ReinforcementRequest>;
type SealerOrNone = OrNone<SealerRequest>;

/// Declares structs as they are sent; `required` fields must be there, `optional` ones may be left
/// out, and a struct that requires nothing has a `Default`, which is the empty object.
macro_rules! sent {
    (@one [$($doc:tt)*] $name:ident {
        required {}
        optional { $($(#[$odoc:meta])* $ofield:ident: $oty:ty,)* }
    }) => {
        sent! { @struct [#[derive(Default)] $($doc)*] $name { {} { $($(#[$odoc])* $ofield: $oty,)* } } }
    };
    (@one [$($doc:tt)*] $name:ident {
        required { $($required:tt)+ }
        optional { $($optional:tt)* }
    }) => {
        sent! { @struct [$($doc)*] $name { { $($required)+ } { $($optional)* } } }
    };
    (@struct [$($doc:tt)*] $name:ident {
        { $($(#[$rdoc:meta])* $rfield:ident: $rty:ty,)* }
        { $($(#[$odoc:meta])* $ofield:ident: $oty:ty,)* }
    }) => {
        $($doc)*
        #[derive(Clone, Debug, PartialEq, serde::Deserialize, deserr::Deserr)]
        #[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
        #[serde(deny_unknown_fields)]
        #[deserr(error = Faults, deny_unknown_fields)]
        pub struct $name {
            $($(#[$rdoc])* pub $rfield: $rty,)*
            $($(#[$odoc])* #[serde(default)] #[deserr(default)] pub $ofield: Option<$oty>,)*
        }
    };
    ($($(#[$doc:meta])* $name:ident { $($body:tt)* })+) => {
        $(sent! { @one [$(#[$doc])*] $name { $($body)* } })+
    };
}

sent! {
    /// A whole job. Only `ramp` must be given; every default used is listed under `assumptions`.
    JobRequest {
        required {
            /// The ramp with its landings.
            ramp: RampRequest,
        }
        optional {
            /// Name or number of the job, carried through; at most 80 characters.
            name: String,
            /// Units of the answer and of the round defaults.
            units: System,
            /// Whether we work for a general contractor (`sub`, the default) or for the owner.
            scope: Scope,
            /// How inputs are known: JSON Pointer into this document to `taped`, `drawing` or `told`.
            basis: BTreeMap<String, Basis>,
            /// The place.
            site: SiteRequest,
            /// The slab and its concrete.
            slab: SlabRequest,
            /// Stone under the slab, or `none`.
            base: BaseOrNone,
            /// Board insulation under the slab, or `none`.
            insulation: InsulationOrNone,
            /// Steel in the slab, or `none`.
            reinforcement: ReinforcementOrNone,
            /// Joints.
            joints: JointsRequest,
            /// Curing.
            curing: CuringRequest,
            /// Sealer, or `none`.
            sealer: SealerOrNone,
            /// Form boards and what holds them.
            forms: FormsRequest,
            /// Who works, and how concrete is placed.
            crew: CrewRequest,
            /// What the site asks of whoever works there.
            requirements: Vec<RequirementRequest>,
            /// Work around the ramp and who does it.
            site_work: SiteWorkRequest,
            /// Which price book, at which revision and date.
            book: BookRequest,
            /// Percentages of the price; the book's settings where left out.
            price: PriceRequest,
        }
    }

    /// The place.
    SiteRequest {
        required {}
        optional {
            /// Rule sets to judge against.
            rule_sets: Vec<String>,
            /// True only on an existing site where space makes a steeper ramp necessary (2010 ADA Table 405.2).
            existing_and_space_limited: bool,
            /// Freezing and thawing class.
            exposure: Exposure,
            /// From where the truck can stand to the nearest concrete.
            truck_to_pour: Length,
            /// First day on site; without it days are numbered, not dated.
            start: Day,
        }
    }

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
            /// Steps beside the ramp, judged only.
            steps: Vec<StepsRequest>,
            /// Curb ramps on the way, judged only.
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
        }
    }

    /// A curb ramp, judged only.
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

    /// The slab and its concrete.
    SlabRequest {
        required {}
        optional {
            /// Thickness.
            thickness: Length,
            /// Square to the surface or plumb.
            thickness_measured: ThicknessMeasured,
            /// The mix.
            concrete: ConcreteRequest,
            /// Surface finish.
            finish: Finish,
            /// Concrete waste as a percentage; given, it replaces the rule.
            waste: Percent,
            /// The rule for waste when no percentage is given.
            waste_rule: WasteRule,
        }
    }

    /// The mix.
    ConcreteRequest {
        required {}
        optional {
            /// Specified strength at 28 days.
            strength: Stress,
            /// Entrained air.
            air: Percent,
            /// Slump.
            slump: Length,
        }
    }

    /// Stone under the slab.
    BaseRequest {
        required {}
        optional {
            /// Who supplies and places it.
            by: By,
            /// Its kind.
            material: Stone,
            /// Compacted depth.
            depth: Length,
            /// How far it reaches past formed edges.
            beyond_edge: Length,
            /// Allowance for spill and trim.
            waste: Percent,
        }
    }

    /// Board insulation between stone and slab.
    InsulationRequest {
        required {}
        optional {
            /// Who supplies and lays it.
            by: By,
            /// Its class.
            class: BoardClass,
            /// Thickness of the board.
            thickness: Length,
        }
    }

    /// A mat of bars in the slab.
    ReinforcementRequest {
        required {}
        optional {
            /// Who supplies and places it.
            by: By,
            /// Bar size.
            bar: Bar,
            /// Spacing, measured along the path, of the bars that run across.
            spacing_along: Length,
            /// Spacing, measured across, of the bars that run along.
            spacing_across: Length,
            /// From the slab's edge to the bar.
            edge_cover: Length,
            /// Lap in bar diameters.
            lap_diameters: u32,
            /// How bars are counted.
            count: BarCount,
        }
    }

    /// Joints.
    JointsRequest {
        required {}
        optional {
            /// How contraction joints are made.
            method: JointMethod,
            /// Which saw.
            saw: Saw,
            /// Greatest spacing.
            spacing: Length,
            /// By how much the spacing may be exceeded where that saves a joint.
            slack: Percent,
            /// Depth; a quarter of the thickness, up to the next 1/4 in, where left out.
            depth: Length,
            /// Width of isolation filler.
            filler: Length,
            /// True when isolation joints are sealed on top.
            sealed: bool,
        }
    }

    /// Curing.
    CuringRequest {
        required {}
        optional {
            /// Who does it.
            by: By,
            /// How.
            method: CuringMethod,
            /// Area one unit of compound covers.
            coverage: Coverage,
            /// How long.
            duration: Span,
        }
    }

    /// Sealer.
    SealerRequest {
        required {}
        optional {
            /// Who applies it.
            by: By,
            /// Its kind.
            product: SealerProduct,
            /// Area one unit covers.
            coverage: Coverage,
            /// Least age of the concrete.
            earliest_age: Span,
            /// Allowance for spray lost.
            waste: Percent,
        }
    }

    /// Form boards and what holds them.
    FormsRequest {
        required {}
        optional {
            /// Distance between concrete screws along a board on an existing wall.
            screw_spacing: Length,
        }
    }

    /// Who works, and how.
    CrewRequest {
        required {}
        optional {
            /// People by class; the largest crew, on the pour.
            members: Vec<MemberRequest>,
            /// Length of a working day.
            day: Span,
            /// How concrete gets into the forms.
            placing: Placing,
            /// One way from the yard to the site.
            travel: Span,
            /// Least hours paid to a person for a visit.
            least_hours: Span,
            /// Fewest hours the pour crew stays with setting concrete, placing to last broom.
            pour_presence: Span,
        }
    }

    /// People of one class.
    MemberRequest {
        required {
            /// Class.
            class: Class,
            /// How many.
            count: u32,
        }
        optional {}
    }

    /// What the site asks; give one of `hours_per_person`, `fee` and `percent`.
    RequirementRequest {
        required {
            /// What it is, in words.
            name: String,
        }
        optional {
            /// Hours of each person who works there, once.
            hours_per_person: Span,
            /// An amount in the book's currency.
            fee: UnitPrice,
            /// A percentage of direct cost.
            percent: Percent,
        }
    }

    /// Work around the ramp and who does it; by others for a sub, ours for a prime.
    SiteWorkRequest {
        required {}
        optional {
            /// Walls and fill under the stone.
            fill: By,
            /// Raising the ground against finished edges.
            backfill: By,
            /// Paving against finished edges.
            paving: By,
            /// Building permit.
            permit: By,
            /// Having buried lines located.
            locate: By,
            /// Traffic and pedestrian control.
            traffic_control: By,
        }
    }

    /// Which price book, at which revision and date.
    BookRequest {
        required {}
        optional {
            /// Code of the book; the service's default where left out.
            code: String,
            /// Revision; the latest where left out.
            revision: u32,
            /// Date of the prices; today where left out.
            as_of: Day,
        }
    }

    /// Percentages of the price; the book's settings where left out.
    PriceRequest {
        required {}
        optional {
            /// Sales tax.
            sales_tax: SalesTaxRequest,
            /// Overhead on direct cost, tax and contingency.
            overhead: Percent,
            /// Contingency on direct cost and tax.
            contingency: Percent,
            /// Reserve for warranty, on the same base as contingency.
            warranty: Percent,
            /// Profit.
            profit: ProfitRequest,
        }
    }

    /// Sales tax.
    SalesTaxRequest {
        required {}
        optional {
            /// Rate.
            rate: Percent,
            /// What it is reckoned on.
            base: TaxBase,
        }
    }

    /// Profit.
    ProfitRequest {
        required {
            /// Part of the price, or addition to cost.
            basis: ProfitBasis,
            /// Rate.
            rate: Percent,
        }
        optional {}
    }
}

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
