//! Rows of what can be bought: sizes, steps, coverages, strengths, allowances.
//!
//! Invariants: every row says where it comes from; a row names the job's choice by its spelling, so
//! this room need not know the job. Absent here: the values (they stand in the TOML files beside
//! this one), what anything costs, and how much of it a job needs.

use super::fit::Fit;
use super::row::rows;
use crate::quantity::{Area, Citation, Coverage, Density, Length, Mass, Percent, Slope, Span};
use crate::quantity::{Stress, Volume};
use serde::Deserialize;

rows! {
    /// A strength class that plants sell.
    StrengthRow {
        /// Specified strength.
        strength: Stress,
        /// Air-entrained.
        air: bool,
        /// Item code.
        code: String,
    }
    /// Steps of a concrete order.
    ConcreteStepRow {
        /// Orders are whole multiples of this.
        step: Volume,
        /// Step of a strength above every class.
        strength_step: Stress,
    }
    /// A mixer truck.
    TruckRow {
        /// Most it brings.
        payload: Volume,
    }
    /// When a load is short.
    ShortLoadRow {
        /// Below this, what is missing is charged.
        below: Volume,
    }
    /// Unloading time in the price.
    UnloadingRow {
        /// For each cubic yard.
        free_a_yard: Span,
    }
    /// A means of placing.
    PlacingRow {
        /// As the job spells it.
        method: String,
        /// Person-hours for a cubic yard.
        hours_a_yard: Span,
        /// Farthest from the truck, where that is known.
        reach: Option<Length>,
    }
    /// A bag of dry mix.
    BagRow {
        /// Weight.
        mass: Mass,
        /// Concrete that it makes.
        makes: Volume,
        /// Item code.
        code: String,
    }
    /// When bags pay.
    BagsPayRow {
        /// Below this volume.
        below: Volume,
    }
    /// Waste on a small order.
    SmallOrderRow {
        /// Net volumes below this are small.
        below: Volume,
        /// Lost in truck, chute and tools.
        lost: Volume,
        /// Depth error over the area.
        depth: Length,
        /// Depth error where the slab lies on boards.
        depth_on_board: Length,
    }
    /// Handbook waste.
    HandbookRow {
        /// Net volumes to this; all above where it is missing.
        to: Option<Volume>,
        /// Share of the net volume.
        waste: Percent,
    }
    /// Slump on a slope.
    SlumpRow {
        /// Steeper than this.
        #[serde(default)]
        from: Option<Slope>,
        /// On steps.
        #[serde(default)]
        steps: bool,
        /// Most slump there.
        most: Length,
    }
    /// Stone of one kind.
    StoneRow {
        /// As the job spells it.
        kind: String,
        /// Item code.
        code: String,
        /// What the trade calls it.
        name: String,
        /// Loose weight.
        loose: Density,
        /// Loose volume for one of compacted volume.
        compaction: f64,
    }
    /// Step of a stone order.
    StoneStepRow {
        /// Orders are whole multiples of this.
        step: Mass,
    }
    /// A stone delivery.
    DeliveryRow {
        /// Item code of the fee.
        code: String,
        /// Most that one brings.
        payload: Mass,
    }
    /// A trailer that mixes at the forms.
    VolumetricRow {
        /// Item code of a cubic yard.
        code: String,
        /// Item code of a visit.
        visit: String,
        /// Step in which it is paid.
        step: Volume,
        /// Least that is paid.
        least: Volume,
    }
    /// Stone in lifts.
    LiftRow {
        /// Most that one set of passes compacts.
        most: Length,
    }
    /// A plate compactor.
    CompactorRow {
        /// Item code of a day.
        code: String,
        /// Compacted in a day.
        a_day: Volume,
    }
    /// Insulation board of one thickness.
    BoardRow {
        /// As the job spells it.
        class: String,
        /// Least compressive resistance.
        strength: Stress,
        /// Thickness.
        thickness: Length,
        /// Item code.
        code: String,
    }
    /// A sheet of insulation board.
    SheetRow {
        /// Width.
        width: Length,
        /// Length.
        length: Length,
    }
    /// A deformed bar.
    BarRow {
        /// As the job spells it.
        bar: String,
        /// How the item code of a stock bar begins; the stock's own code ends it.
        code: String,
        /// Nominal diameter.
        diameter: Length,
        /// Pounds a foot.
        lb_per_ft: f64,
        /// Kilograms a metre, as published beside the pounds.
        kg_per_m: f64,
        /// Slab that one chair carries.
        chair_area: Area,
    }
    /// Stock bars, or boards.
    StockRow {
        /// As the job spells it.
        stock: String,
        /// Length.
        length: Length,
        /// How it ends the item code.
        code: String,
    }
    /// Cutting stock.
    CuttingRow {
        /// What a cut takes.
        kerf: Length,
        /// From this length on an offcut is worth keeping.
        keep: Length,
        /// What is cut is a whole multiple of this, rounded down; as long as it is where none is given.
        step: Option<Length>,
    }
    /// Tie wire.
    TieWireRow {
        /// Item code of a roll.
        code: String,
        /// Pounds of wire for a short ton of bar.
        lb_per_ton: f64,
        /// One roll.
        roll: Mass,
        /// Share of the crossings that is tied.
        tied: Percent,
    }
    /// An item that needs nothing but its code.
    ItemRow {
        /// Item code.
        code: String,
    }
    /// Greatest spacing of shrinkage steel.
    ShrinkageRow {
        /// At most this.
        most: Length,
        /// And at most so many thicknesses.
        thicknesses: f64,
    }
    /// A form board.
    FormBoardRow {
        /// Nominal size.
        name: String,
        /// Actual depth.
        depth: Length,
        /// Between the stakes behind it.
        stakes: Length,
    }
    /// Reuse of forms.
    AgainRow {
        /// Jobs that one serves.
        uses: u32,
    }
    /// Waste of boards in courses.
    CoursesRow {
        /// Share of their length.
        waste: Percent,
    }
    /// A concrete screw.
    ScrewRow {
        /// Item code.
        code: String,
        /// Its length.
        length: Length,
        /// The usual, shorter one.
        usual: Length,
        /// Thickness of the board.
        board: Length,
        /// Least embedment.
        least_embedment: Length,
        /// Least distance from an edge of the wall.
        edge: Length,
    }
    /// A kicker that braces a form from its stake.
    KickerRow {
        /// Item code.
        code: String,
        /// Forms as high as this have one at each stake.
        from: Length,
    }
    /// What wet concrete presses with.
    PressureRow {
        /// Weight of wet concrete.
        weight: Density,
        /// Told of above this height.
        height: Length,
        /// Told of where supports are further apart.
        span: Length,
    }
    /// A liquid by its coverage.
    ReleaseRow {
        /// Item code.
        code: String,
        /// Coverage.
        coverage: Coverage,
        /// Orders are whole multiples of this.
        step: Volume,
    }
    /// The board at a curb's inner face.
    CurbFaceRow {
        /// Most gap between it and the slab.
        gap: Length,
    }
    /// A slope that counts.
    SlopeRow {
        /// Steeper than this.
        from: Slope,
    }
    /// Isolation filler.
    FillerRow {
        /// Thickness.
        thickness: Length,
        /// Item code of a strip.
        code: String,
    }
    /// A strip of filler.
    StripRow {
        /// Length.
        length: Length,
        /// Cut-offs.
        waste: Percent,
        /// A joint may be this much wider than its filler.
        tolerance: Length,
    }
    /// Joint sealant.
    SealantRow {
        /// Item code of a tube.
        code: String,
        /// A tube.
        tube: Volume,
        /// Left in the tube and wiped off.
        waste: Percent,
    }
    /// A saw.
    SawRow {
        /// As the job spells it.
        saw: String,
        /// Item code of a day.
        code: String,
        /// What it is.
        name: String,
        /// Joint sawn in a day.
        a_day: Length,
        /// Item code of a foot of blade wear.
        blade: String,
    }
    /// A wet cover.
    CoverRow {
        /// Item code.
        code: String,
        /// One roll.
        roll: Area,
        /// Overlaps, as a share of the area.
        overlap: Percent,
        /// Jobs that one serves.
        uses: u32,
    }
    /// Curing compound.
    CompoundRow {
        /// Item code.
        code: String,
        /// Spray lost.
        waste: Percent,
        /// Orders are whole multiples of this.
        step: Volume,
    }
    /// A pail.
    PailRow {
        /// What it holds.
        holds: Volume,
    }
    /// A sealer.
    SealerItemRow {
        /// As the job spells it.
        product: String,
        /// Item code of a pail.
        code: String,
        /// What it is.
        name: String,
        /// The product's own least age of the concrete.
        least_age: Span,
    }
    /// How a sealer goes with a curing.
    PairRow {
        /// Curing, as the job spells it.
        method: String,
        /// Sealer, as the job spells it.
        product: String,
        /// Whether they go together.
        fit: Fit,
        /// Why.
        why: String,
    }
}
