//! What can be bought and what it costs, as values.
//!
//! Invariants: every value here is already read and held to its bounds; money and quantities are
//! whole numbers of a small step, never floats. A price belongs to a day from which it holds and
//! to the revision in which it was learned. Absent here: any database, file, clock or web type.

mod bounds;
mod built_in;
mod history;
mod item;
mod material;
mod price_list;
mod settings;
mod supplier;
mod terms;
mod word;

pub use bounds::{check_code, check_item, check_price, check_supplier, check_text, is_code};
pub use built_in::{
    Catalog, ConcreteRows, CuringRows, FormRows, InsulationRows, JointRows, SteelRows, StoneRows,
};
pub use history::{Change, Head, History, ItemHistory, Learned, Price, Revision};
pub use item::{Charge, Class, Holds, Item, SaleUnit};
pub use material::{
    AgainRow, BagRow, BagsPayRow, BarRow, BoardRow, BoardStockRow, CompactorRow, CompoundRow,
    ConcreteStepRow, CoursesRow, CoverRow, CurbFaceRow, DeliveryRow, FillerRow, Fit, FormBoardRow,
    HandbookRow, ItemRow, PailRow, PairRow, PlacingRow, ReleaseRow, SawRow, ScrewRow, SealantRow,
    SealerItemRow, SheetRow, ShortLoadRow, ShrinkageRow, SlopeRow, SlumpRow, SmallOrderRow,
    StockRow, StoneRow, StoneStepRow, StrengthRow, StripRow, TieWireRow, TruckRow, UnloadingRow,
};
pub use price_list::{NoPrice, NoSuchRevision, PriceList, PricedFrom, Quote};
pub use settings::{Profit, SalesTax, Settings, TaxBase};
pub use supplier::{ReadyMixTerms, Supplier};

#[cfg(test)]
mod tests;
