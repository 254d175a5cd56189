//! What can be bought and what it costs, as values.
//!
//! Invariants: every value here is already read and held to its bounds; money and quantities are
//! whole numbers of a small step, never floats. A price belongs to a day from which it holds and
//! to the revision in which it was learned. Absent here: any database, file, clock or web type.

mod asked;
mod bar;
mod bounds;
mod built_in;
mod fit;
mod ground;
mod history;
mod item;
mod item_history;
mod material;
mod own_rate;
mod pinned;
mod price;
mod price_index;
mod price_list;
mod quote;
mod row;
mod settings;
mod sharing;
mod supplier;
mod terms;
mod wage;
mod word;
mod worth;

pub use asked::Asked;
pub use bar::{CoverOfBarRow, LapRow, WireRow, WireSheetRow};
pub use bounds::{
    check_code, check_day, check_index, check_item, check_price, check_rate, check_settings,
    check_supplier, check_text, check_wage, is_code,
};
pub use built_in::{
    Catalog, ConcreteRows, CuringRows, EarthworkRows, FormRows, InsulationRows, JointRows,
    RailRows, SteelRows, StoneRows,
};
pub use fit::Fit;
pub use ground::{AdhesiveRow, BreakerRow, BrokenRow, HaulRow, MachineRow, PostRow, SoilRow};
pub use history::{Change, Head, History, Learned, Revision};
pub use item::{Charge, Class, Holds, Item, SaleUnit};
pub use item_history::{ItemHistory, Offers};
pub use material::{
    AgainRow, BagRow, BagsPayRow, BarRow, BoardRow, CompactorRow, CompoundRow, ConcreteStepRow,
    CoursesRow, CoverRow, CurbFaceRow, CuttingRow, DeliveryRow, FillerRow, FormBoardRow,
    HandbookRow, ItemRow, KickerRow, LiftRow, PailRow, PairRow, PlacingRow, PressureRow,
    ReleaseRow, SawRow, ScrewRow, SealantRow, SealerItemRow, SheetRow, ShortLoadRow, ShrinkageRow,
    SlopeRow, SlumpRow, SmallOrderRow, StockRow, StoneRow, StoneStepRow, StrengthRow, StripRow,
    TieWireRow, TruckRow, UnloadingRow, VolumetricRow,
};
pub use own_rate::{OwnRate, TaskMinutes};
pub use pinned::{NoSuchRevision, Pinned, Wanted};
pub use price::{Expired, Offer, Price};
pub use price_index::{Escalated, IndexValue, escalate, month_text, parse_month};
pub use price_list::PriceList;
pub use quote::{NoPrice, PricedFrom, Quote};
pub use settings::{Profit, SalesTax, Settings, TaxBase};
pub use sharing::{DischargeRow, SharingRow};
pub use supplier::{ReadyMixTerms, ShortLoadStep, Supplier, Zone};
pub use wage::{Burden, BurdenOn, Component, OFFICE_CLASS, OWN_WAGES, Wage, sum_components};
pub(crate) use word::words;
pub use worth::Worths;

#[cfg(test)]
mod tests;
