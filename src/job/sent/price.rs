//! The price book and the percentages of the price, as they are sent.

use crate::job::by_name::ByName;
use crate::job::choice::{Buying, ProfitBasis, TaxBase};
use crate::job::day::Day;
use crate::quantity::{Faults, Percent};

sent! {
    /// Which price book, at which revision and date.
    BookRequest {
        required {}
        optional {
            /// Code of the book; the service's default where left out.
            code: String,
            /// Revision; the latest where left out.
            revision: u32,
            /// Revisions of books that it inherits from, by code; the latest where left out.
            #[cfg_attr(feature = "service", schema(value_type = Option<BTreeMap<String, u32>>))]
            inherited: ByName<u32>,
            /// Date of the prices; today where left out.
            as_of: Day,
            /// From whom to buy; from the preferred suppliers where left out.
            buying: Buying,
            /// True to bring prices forward from the month they took effect, by each item's index.
            escalate: bool,
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
