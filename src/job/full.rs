//! A job with every question answered: what all later rooms compute from.
//!
//! Invariants: nothing here is missing but facts that others must supply; every run knows its rise
//! and its length on plan; written out as JSON it is a full form that expands to itself.

use super::choice::{
    Approach, Bar, BarCount, Basis, BoardClass, By, Class, CuringMethod, EdgeKind, EdgeName,
    Exposure, Finish, JointMethod, Measured, Opens, Placing, ProfitBasis, RailShape, RiseTo, Saw,
    Scope, SealerProduct, Stone, Support, TaxBase, ThicknessMeasured, Turn, WasteRule, WidthIs,
    Work,
};
use super::day::Day;
use super::or_none::OrNone;
use crate::quantity::{Coverage, Length, Percent, Slope, Span, Stress, System, money::UnitPrice};
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
        /// First day on site.
        #[serde(skip_serializing_if = "Option::is_none")]
        start: Option<Day>,
    }
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
        /// Steps, judged only.
        steps: Vec<Steps>,
        /// Curb ramps, judged only.
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
    }
    /// A level change.
    LevelChange {
        /// Height.
        height: Length,
        /// Shape.
        shape: super::choice::LevelShape,
        /// Slope of the bevel.
        #[serde(skip_serializing_if = "Option::is_none")]
        bevel: Option<Slope>,
        /// Where.
        #[serde(skip_serializing_if = "Option::is_none")]
        place: Option<String>,
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
        /// Lap in diameters.
        lap_diameters: u32,
        /// Counting.
        count: BarCount,
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
        /// Date of the prices.
        as_of: Day,
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

impl Crew {
    /// All people.
    pub fn people(&self) -> u32 {
        self.members.iter().map(|member| member.count).sum()
    }
}
