//! The full form of a job as it is sent: nearly every field may be left out.
//!
//! Invariants: unknown fields are refused; quantities carry their unit; nothing here has a default,
//! those are rows in `fields.toml`, put in by `expand`. Absent: any judgement of what a value means.

use super::choice::{
    Access, Bar, BarCount, BarStock, Basis, BoardClass, BoardStock, By, Class, CuringMethod,
    Exposure, Finish, JointMethod, LapRule, Placing, Release, Saw, Scope, SealerProduct, Stone,
    ThicknessMeasured, WasteRule, Wire,
};
use super::{by_name::ByName, day::Day, or_none::OrNone};
use crate::quantity::{
    Coverage, Faults, Length, Percent, Span, Stress, System, Temperature, money::UnitPrice,
};

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
pub(crate) use sent;

mod earthwork;
mod element;
mod grade_sheet;
mod path;
mod pour;
mod price;
mod ramp;
mod survey;

pub use earthwork::{BreakOutRequest, EarthworkRequest};
pub use element::{BendRequest, ElementRequest, LipRequest, StretchRequest};
pub use grade_sheet::{BenchmarkRequest, GradeSheetRequest};
pub use path::PathRequest;
pub use pour::{PourRequest, WeatherHourRequest};
pub use price::{BookRequest, PriceRequest, ProfitRequest, SalesTaxRequest};
pub use ramp::{
    BarrierRequest, CheekWallsRequest, CurbRampBuildRequest, CurbRampRequest, CurbRequest,
    DoorRequest, EdgesRequest, HandrailsRequest, LevelChangeRequest, RailSectionRequest,
    RampRequest, StepsBuildRequest, StepsRequest,
};
pub use survey::{
    ShotRequest, SurveyLimitsRequest, SurveyRequest, SurveyUncertaintyRequest, WalkRequest,
};

// Named, because the schema derive composes generic fields but refers to named ones.
type BaseOrNone = OrNone<BaseRequest>;
type InsulationOrNone = OrNone<InsulationRequest>;
type ReinforcementOrNone = OrNone<ReinforcementRequest>;
type SealerOrNone = OrNone<SealerRequest>;

sent! {
    /// A whole job. Only `ramp` must be given; every default used is listed under `assumptions`.
    JobRequest {
        required {
            /// The ramp with its landings.
            ramp: RampRequest,
        }
        optional {
            /// Name or number of the job, carried through; one line of at most 80 characters.
            name: String,
            /// Units of the answer and of the round defaults.
            units: System,
            /// Whether we work for a general contractor (`sub`, the default) or for the owner.
            scope: Scope,
            /// How inputs are known: JSON Pointer into this document to `taped`, `drawing` or `told`.
            #[cfg_attr(feature = "service", schema(value_type = Option<BTreeMap<String, Basis>>))]
            basis: ByName<Basis>,
            /// The place.
            site: SiteRequest,
            /// What is poured around the ramp: walks, pads, walls, footings, edges, tie-ins.
            elements: Vec<ElementRequest>,
            /// Breaking out and digging; nothing of ours where left out.
            earthwork: EarthworkRequest,
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
            /// What was measured; other calls check it and leave it at that.
            survey: SurveyRequest,
            /// How a grade sheet is wanted; other calls check it and leave it at that.
            grade_sheet: GradeSheetRequest,
            /// The pour to be planned by its weather; other calls check it and leave it at that.
            pour: PourRequest,
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
            /// How things get from the truck to the work.
            access: Access,
            /// True when the site is in use while the work goes on.
            occupied: bool,
            /// Air expected on the day of the pour, which bends the hours around it; not reckoned with where left out.
            air: Temperature,
            /// First day on site; without it days are numbered, not dated.
            start: Day,
            /// True where no other entrance is accessible while this one is closed.
            only_accessible_entrance: bool,
            /// Zone to which suppliers deliver, as they name it; needed where a supplier charges by zone.
            zone: String,
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
            /// Largest stone; smaller stone asks for more air.
            aggregate: Length,
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
            /// From the top of the slab to the steel; half of the slab at most.
            cover: Length,
            /// How long a lap is.
            lap_rule: LapRule,
            /// Lap in bar diameters, where that is the rule.
            lap_diameters: u32,
            /// Welded wire in flat slabs instead of bars; what stands or lies in a line keeps its bars.
            wire: Wire,
            /// How bars are counted.
            count: BarCount,
            /// Lengths of stock bars that may be bought, each once.
            stock: Vec<BarStock>,
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
            /// Depth of sealant; half the width of the joint, at least 1/4 in or 6 mm, where left out.
            sealant_depth: Length,
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
            /// Lengths of form boards that may be bought, each once.
            stock: Vec<BoardStock>,
            /// How much of the edge form runs along a curve.
            curved: Length,
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
            /// Which helpers leave the pour before it is finished.
            release: Release,
            /// Hours of a person in a day above which the rest is overtime; none where left out, as states differ.
            daily_limit: Span,
            /// Wage schedule of the price book; the crew's own, `own`, where left out.
            wages: String,
            /// True when it is the crew's first detail of its kind.
            first_of_its_kind: bool,
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
}
