//! A job with every question answered: what all later rooms compute from.
//!
//! Invariants: nothing here is missing but facts that others must supply; every run knows its rise
//! and its length on plan; written out as JSON it is a full form that expands to itself.

use super::choice::{
    Access, Bar, BarCount, BarStock, Basis, BoardClass, BoardStock, Buying, By, Class,
    CuringMethod, Exposure, Finish, JointMethod, LapRule, Placing, ProfitBasis, Release, Saw,
    Scope, SealerProduct, Stone, TaxBase, ThicknessMeasured, WasteRule, Wire,
};
use super::day::Day;
use super::or_none::OrNone;
use crate::quantity::{
    Coverage, Length, Percent, Span, Stress, System, Temperature, money::UnitPrice,
};
use serde::Serialize;
use std::collections::BTreeMap;

/// Declares the structs of the expanded job; a fact that may stay unknown is an `Option` and is
/// left out of the written form.
macro_rules! full {
    ($($(#[$doc:meta])* $name:ident { $($(#[$fdoc:meta])* $field:ident: $ty:ty,)* })+) => { $(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Serialize)]
        pub struct $name { $($(#[$fdoc])* pub $field: $ty,)* }
    )+ };
}

mod element;
mod grade_sheet;
mod pour;
mod ramp;
mod survey;

pub use element::{
    Bend, BreakOut, Earthwork, Element, FrostWall, Lip, SlabElement, Stretch, StripFooting,
    ThickenedEdge, TieIn, TurnDown, WalkElement,
};
pub use grade_sheet::GradeSheet;
pub use pour::{Pour, Weather, WeatherHour};
pub use ramp::{
    Barrier, CheekWalls, Curb, CurbRamp, CurbRampBuild, Door, Edges, Handrails, Landing,
    LevelChange, Piece, RailSection, Ramp, Run, Steps, StepsBuild,
};
pub use survey::{Shot, Survey, SurveyLimits, Walk};

full! {
    /// A whole job.
    Job {
        /// Name or number.
        name: String,
        /// Units of the answer.
        units: System,
        /// Sub or prime.
        scope: Scope,
        /// How inputs are known.
        basis: BTreeMap<String, Basis>,
        /// The place.
        site: Site,
        /// The ramp.
        ramp: Ramp,
        /// What is poured around it.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        elements: Vec<Element>,
        /// Breaking out and digging; nothing of ours where not stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        earthwork: Option<Earthwork>,
        /// The slab.
        slab: Slab,
        /// Stone.
        base: OrNone<Base>,
        /// Insulation.
        insulation: OrNone<Insulation>,
        /// Steel.
        reinforcement: OrNone<Reinforcement>,
        /// Joints.
        joints: Joints,
        /// Curing.
        curing: Curing,
        /// Sealer.
        sealer: OrNone<Sealer>,
        /// Forms.
        forms: Forms,
        /// Crew.
        crew: Crew,
        /// Site requirements.
        requirements: Vec<Requirement>,
        /// Work around the ramp.
        site_work: SiteWork,
        /// Price book.
        book: BookChoice,
        /// Price settings that the job states itself.
        price: PriceChoice,
    }
    /// The place.
    Site {
        /// Rule sets to judge against.
        rule_sets: Vec<String>,
        /// Existing and space-limited.
        existing_and_space_limited: bool,
        /// Freezing and thawing class.
        exposure: Exposure,
        /// Truck to the nearest concrete.
        truck_to_pour: Length,
        /// From the truck to the work.
        access: Access,
        /// In use while the work goes on.
        occupied: bool,
        /// Air expected on the day of the pour.
        #[serde(skip_serializing_if = "Option::is_none")]
        air: Option<Temperature>,
        /// First day on site.
        #[serde(skip_serializing_if = "Option::is_none")]
        start: Option<Day>,
        /// No other entrance is accessible.
        only_accessible_entrance: bool,
        /// Zone to which suppliers deliver.
        #[serde(skip_serializing_if = "Option::is_none")]
        zone: Option<String>,
    }
    /// The slab.
    Slab {
        /// Thickness.
        thickness: Length,
        /// How measured.
        thickness_measured: ThicknessMeasured,
        /// Mix.
        concrete: Concrete,
        /// Finish.
        finish: Finish,
        /// A waste percentage that replaces the rule.
        #[serde(skip_serializing_if = "Option::is_none")]
        waste: Option<Percent>,
        /// Rule for waste.
        waste_rule: WasteRule,
    }
    /// The mix.
    Concrete {
        /// Strength at 28 days.
        strength: Stress,
        /// Air.
        air: Percent,
        /// Largest stone.
        aggregate: Length,
        /// Slump.
        slump: Length,
    }
    /// Stone.
    Base {
        /// Who.
        by: By,
        /// Kind.
        material: Stone,
        /// Compacted depth.
        depth: Length,
        /// Past formed edges.
        beyond_edge: Length,
        /// Spill and trim.
        waste: Percent,
    }
    /// Insulation.
    Insulation {
        /// Who.
        by: By,
        /// Class.
        class: BoardClass,
        /// Thickness.
        thickness: Length,
    }
    /// Steel.
    Reinforcement {
        /// Who.
        by: By,
        /// Size.
        bar: Bar,
        /// Spacing along, of the bars that run across.
        spacing_along: Length,
        /// Spacing across, of the bars that run along.
        spacing_across: Length,
        /// Slab's edge to bar.
        edge_cover: Length,
        /// From the top of the slab to the steel.
        cover: Length,
        /// Lap.
        lap_rule: LapRule,
        /// Lap in diameters.
        lap_diameters: u32,
        /// Wire instead of bars.
        #[serde(skip_serializing_if = "Option::is_none")]
        wire: Option<Wire>,
        /// Counting.
        count: BarCount,
        /// Stock lengths that may be bought, shortest first.
        stock: Vec<BarStock>,
    }
    /// Joints.
    Joints {
        /// Sawn or tooled.
        method: JointMethod,
        /// Saw.
        saw: Saw,
        /// Greatest spacing.
        spacing: Length,
        /// Exceeded by at most.
        slack: Percent,
        /// Depth.
        depth: Length,
        /// Isolation filler.
        filler: Length,
        /// Sealed.
        sealed: bool,
        /// Depth of sealant.
        sealant_depth: Length,
    }
    /// Curing.
    Curing {
        /// Who.
        by: By,
        /// How.
        method: CuringMethod,
        /// Coverage of compound.
        coverage: Coverage,
        /// How long.
        duration: Span,
    }
    /// Sealer.
    Sealer {
        /// Who.
        by: By,
        /// Kind.
        product: SealerProduct,
        /// Coverage.
        coverage: Coverage,
        /// Least age.
        earliest_age: Span,
        /// Spray lost.
        waste: Percent,
    }
    /// Forms.
    Forms {
        /// Between screws.
        screw_spacing: Length,
        /// Stock lengths that may be bought, shortest first.
        stock: Vec<BoardStock>,
        /// Edge form along a curve.
        curved: Length,
    }
    /// Crew.
    Crew {
        /// People by class.
        members: Vec<Member>,
        /// Working day.
        day: Span,
        /// Placing.
        placing: Placing,
        /// One way.
        travel: Span,
        /// Least paid for a visit, a person.
        least_hours: Span,
        /// Least stay on the pour.
        pour_presence: Span,
        /// Who leaves the pour early.
        release: Release,
        /// Hours of a day before overtime.
        #[serde(skip_serializing_if = "Option::is_none")]
        daily_limit: Option<Span>,
        /// Wage schedule; the crew's own where not stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        wages: Option<String>,
        /// The crew's first of its kind.
        first_of_its_kind: bool,
    }
    /// People of one class.
    Member {
        /// Class.
        class: Class,
        /// How many.
        count: u32,
    }
    /// A site requirement; exactly one of the three is stated.
    Requirement {
        /// What it is.
        name: String,
        /// Hours of each person.
        #[serde(skip_serializing_if = "Option::is_none")]
        hours_per_person: Option<Span>,
        /// Amount.
        #[serde(skip_serializing_if = "Option::is_none")]
        fee: Option<UnitPrice>,
        /// Percentage of direct cost.
        #[serde(skip_serializing_if = "Option::is_none")]
        percent: Option<Percent>,
    }
    /// Work around the ramp.
    SiteWork {
        /// Walls and fill.
        fill: By,
        /// Backfill.
        backfill: By,
        /// Paving.
        paving: By,
        /// Permit.
        permit: By,
        /// Locating lines.
        locate: By,
        /// Traffic control.
        traffic_control: By,
    }
    /// Price book.
    BookChoice {
        /// Code; the service's default book where not stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        code: Option<String>,
        /// Pinned revision.
        #[serde(skip_serializing_if = "Option::is_none")]
        revision: Option<u32>,
        /// Pinned revisions of books that it inherits from.
        #[serde(skip_serializing_if = "BTreeMap::is_empty")]
        inherited: BTreeMap<String, u32>,
        /// Date of the prices.
        as_of: Day,
        /// From whom to buy; from the preferred suppliers where not stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        buying: Option<Buying>,
        /// Brought forward by price indices; not where not stated.
        #[serde(skip_serializing_if = "Option::is_none")]
        escalate: Option<bool>,
    }
    /// Price settings that the job states itself; the book's hold where it does not.
    PriceChoice {
        /// Sales tax.
        #[serde(skip_serializing_if = "Option::is_none")]
        sales_tax: Option<SalesTax>,
        /// Overhead.
        #[serde(skip_serializing_if = "Option::is_none")]
        overhead: Option<Percent>,
        /// Contingency.
        #[serde(skip_serializing_if = "Option::is_none")]
        contingency: Option<Percent>,
        /// Warranty reserve.
        #[serde(skip_serializing_if = "Option::is_none")]
        warranty: Option<Percent>,
        /// Profit.
        #[serde(skip_serializing_if = "Option::is_none")]
        profit: Option<Profit>,
    }
    /// Sales tax.
    SalesTax {
        /// Rate.
        #[serde(skip_serializing_if = "Option::is_none")]
        rate: Option<Percent>,
        /// Base.
        #[serde(skip_serializing_if = "Option::is_none")]
        base: Option<TaxBase>,
    }
    /// Profit.
    Profit {
        /// Margin or markup.
        basis: ProfitBasis,
        /// Rate.
        rate: Percent,
    }
}

impl Crew {
    /// All people.
    pub fn people(&self) -> u32 {
        self.members.iter().map(|member| member.count).sum()
    }
}
