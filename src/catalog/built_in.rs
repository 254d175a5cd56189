//! The built-in materials: the TOML files of this room, read once.
//!
//! Invariants: a file holds the tables named here and no others; a list keeps its file's order.
//! Absent here: the rows themselves, prices, anything that changes while the program runs.

use super::bar::{CoverOfBarRow, LapRow, WireRow, WireSheetRow};
use super::ground::{AdhesiveRow, BreakerRow, BrokenRow, HaulRow, MachineRow, PostRow, SoilRow};
use super::material::{
    AgainRow, BagRow, BagsPayRow, BarRow, BoardRow, CompactorRow, CompoundRow, ConcreteStepRow,
    CoursesRow, CoverRow, CurbFaceRow, CuttingRow, DeliveryRow, FillerRow, FormBoardRow,
    HandbookRow, ItemRow, KickerRow, LiftRow, PailRow, PairRow, PlacingRow, PressureRow,
    ReleaseRow, SawRow, ScrewRow, SealantRow, SealerItemRow, SheetRow, ShortLoadRow, ShrinkageRow,
    SlopeRow, SlumpRow, SmallOrderRow, StockRow, StoneRow, StoneStepRow, StrengthRow, StripRow,
    TieWireRow, TruckRow, UnloadingRow, VolumetricRow,
};
use super::sharing::{DischargeRow, SharingRow};
use serde::Deserialize;
use std::sync::LazyLock;

/// Declares files: what their tables and lists are.
macro_rules! files {
    ($($(#[$doc:meta])* $name:ident { $($(#[$fdoc:meta])* $field:ident: $ty:ty,)* })+) => { $(
        $(#[$doc])*
        #[derive(Clone, Debug, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name { $($(#[$fdoc])* pub $field: $ty,)* }
    )+ };
}

files! {
    /// Concrete.
    ConcreteRows {
        /// Strength classes, weakest first.
        strength: Vec<StrengthRow>,
        /// Steps.
        order: ConcreteStepRow,
        /// Truck.
        truck: TruckRow,
        /// Short loads.
        short_load: ShortLoadRow,
        /// Free unloading.
        unloading: UnloadingRow,
        /// Time on the way.
        discharge: DischargeRow,
        /// Loads that are shared.
        sharing: SharingRow,
        /// Means of placing.
        placing: Vec<PlacingRow>,
        /// Bags; the first is ordered.
        bag: Vec<BagRow>,
        /// When bags pay.
        bags_pay: BagsPayRow,
        /// Small orders.
        small_order: SmallOrderRow,
        /// Large orders, smallest first.
        handbook: Vec<HandbookRow>,
        /// Slump.
        slump: Vec<SlumpRow>,
        /// A trailer that mixes at the forms.
        volumetric: VolumetricRow,
    }
    /// Breaking out and digging.
    EarthworkRows {
        /// Kinds of ground.
        soil: Vec<SoilRow>,
        /// Broken concrete.
        broken: BrokenRow,
        /// Loads to the tip.
        haul: HaulRow,
        /// The machine.
        machine: MachineRow,
        /// The breaker.
        breaker: BreakerRow,
        /// Dowels.
        adhesive: AdhesiveRow,
    }
    /// Stone.
    StoneRows {
        /// Kinds.
        stone: Vec<StoneRow>,
        /// Step.
        order: StoneStepRow,
        /// Lifts.
        lift: LiftRow,
        /// Delivery.
        delivery: DeliveryRow,
        /// Compactor.
        compactor: CompactorRow,
    }
    /// Insulation.
    InsulationRows {
        /// Boards, thinnest first.
        board: Vec<BoardRow>,
        /// The sheet.
        sheet: SheetRow,
    }
    /// Steel.
    SteelRows {
        /// Bars.
        bar: Vec<BarRow>,
        /// Stock, shortest first.
        stock: Vec<StockRow>,
        /// Cuts and offcuts.
        cutting: CuttingRow,
        /// Wire.
        tie_wire: TieWireRow,
        /// Chairs.
        chair: ItemRow,
        /// Laps from strengths.
        lap: LapRow,
        /// Cover, smaller bars first.
        cover: Vec<CoverOfBarRow>,
        /// Welded wire.
        wire: Vec<WireRow>,
        /// Its sheets.
        wire_sheet: WireSheetRow,
        /// Spacing.
        shrinkage: ShrinkageRow,
    }
    /// Forms.
    FormRows {
        /// Boards, lowest first.
        board: Vec<FormBoardRow>,
        /// Lengths, shortest first.
        stock: Vec<StockRow>,
        /// Cuts and offcuts.
        cutting: CuttingRow,
        /// Reuse.
        again: AgainRow,
        /// Courses.
        courses: CoursesRow,
        /// Stake.
        stake: ItemRow,
        /// Screw.
        screw: ScrewRow,
        /// Release agent.
        release: ReleaseRow,
        /// Kickers.
        kicker: KickerRow,
        /// Pressure.
        pressure: PressureRow,
        /// Curb faces.
        curb_face: CurbFaceRow,
        /// What counts as a slope.
        slope: SlopeRow,
        /// Which walk is a ramp.
        walk: SlopeRow,
    }
    /// Rails.
    RailRows {
        /// Posts.
        post: PostRow,
    }
    /// Joints.
    JointRows {
        /// Fillers, thinnest first.
        filler: Vec<FillerRow>,
        /// Strips.
        strip: StripRow,
        /// Sealant.
        sealant: SealantRow,
        /// Saws.
        saw: Vec<SawRow>,
    }
    /// Curing and sealing.
    CuringRows {
        /// Wet cover.
        cover: CoverRow,
        /// Compound.
        compound: CompoundRow,
        /// Pail.
        pail: PailRow,
        /// Sealers.
        sealer: Vec<SealerItemRow>,
        /// Which go together.
        pair: Vec<PairRow>,
    }
}

/// Everything that can be bought, by kind.
#[derive(Clone, Debug)]
pub struct Catalog {
    /// Breaking out and digging.
    pub earthwork: EarthworkRows,
    /// Concrete.
    pub concrete: ConcreteRows,
    /// Stone.
    pub stone: StoneRows,
    /// Rails.
    pub rails: RailRows,
    /// Insulation.
    pub insulation: InsulationRows,
    /// Steel.
    pub steel: SteelRows,
    /// Forms.
    pub forms: FormRows,
    /// Joints.
    pub joints: JointRows,
    /// Curing and sealing.
    pub curing: CuringRows,
}

static BUILT_IN: LazyLock<Catalog> = LazyLock::new(|| Catalog {
    earthwork: read(include_str!("earthwork.toml")),
    concrete: read(include_str!("concrete.toml")),
    stone: read(include_str!("stone.toml")),
    rails: read(include_str!("rails.toml")),
    insulation: read(include_str!("insulation.toml")),
    steel: read(include_str!("steel.toml")),
    forms: read(include_str!("forms.toml")),
    joints: read(include_str!("joints.toml")),
    curing: read(include_str!("curing.toml")),
});

fn read<T: serde::de::DeserializeOwned>(text: &str) -> T {
    toml::from_str(text).expect("the embedded catalog rows are read by a test")
}

impl Catalog {
    /// The rows built into the program.
    pub fn built_in() -> &'static Self {
        &BUILT_IN
    }

    /// How a sealer goes with a curing, both as the job spells them.
    pub fn find_pair(&self, method: &str, product: &str) -> Option<&PairRow> {
        self.curing
            .pair
            .iter()
            .find(|row| row.method == method && row.product == product)
    }
}
