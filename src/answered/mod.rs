//! The answer of an estimate as it comes back with a wish for a document.
//!
//! Invariants: nothing is priced again; what a document takes from it was checked first: every line is
//! its quantity times its unit price, every step its rate of its base, and the parts add up. Fields that no document
//! needs are passed over, so that an answer may be sent back as it came. Absent: what is made of it.

use crate::catalog::{Class, words};
use crate::job::{Day, JobRequest};
use crate::quantity::money::{Amount, Currency, Decimal4, UnitPrice};
use crate::quantity::slack::{Compared, compare};
use crate::quantity::{Faults, System};

/// Gives a part of an answer its two readers and its schema; unknown fields are passed over.
macro_rules! answered {
    ($($(#[$doc:meta])* $name:ident {
        required { $($(#[$rdoc:meta])* $rfield:ident: $rty:ty,)* }
        optional { $($(#[$odoc:meta])* $ofield:ident: $oty:ty,)* }
    })+) => { $(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, serde::Deserialize, deserr::Deserr)]
        #[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
        #[deserr(error = Faults)]
        pub struct $name {
            $($(#[$rdoc])* pub $rfield: $rty,)*
            $($(#[$odoc])* #[serde(default)] #[deserr(default)] pub $ofield: Option<$oty>,)*
        }
    )+ };
}

mod scope;
mod sums;
mod text;
mod work;

pub use scope::{
    AnsweredCheck, AnsweredExtra, AnsweredFinding, AnsweredHeadline, AnsweredHold, AnsweredHoldDay,
    AnsweredHours, AnsweredNeed, AnsweredPricedFrom, AnsweredTask, AnsweredUnknown, AnsweredVisit,
    AnsweredVisits,
};
pub use sums::{Checked, Line, held, shown_name};
pub use text::{LINE_AT_MOST, check_number, check_text};
pub use work::{AnsweredBar, AnsweredConcrete, AnsweredHourTotals, AnsweredTakeoff};

answered! {
    /// The answer of `POST /v1/estimates`, as it came. What a document does not need may be left out.
    Answered {
        required {
            /// Name of the job.
            name: String,
            /// Name of the answer.
            fingerprint: String,
            /// What it was computed with.
            computed_with: AnsweredWith,
            /// Lines and build-up.
            price: AnsweredPrice,
        }
        optional {
            /// The first things to read.
            headline: AnsweredHeadline,
            /// The ramp, judged.
            check: AnsweredCheck,
            /// What others bring or do.
            needed_from_others: Vec<AnsweredNeed>,
            /// What to order.
            takeoff: AnsweredTakeoff,
            /// Who works when.
            crew_hours: AnsweredHours,
            /// What the price leaves out.
            exclusions: Vec<String>,
            /// The job with every question answered; ask for it with `?job=true`.
            job: JobRequest,
        }
    }

    /// What an answer was computed with.
    AnsweredWith {
        required {
            /// Date of the prices.
            as_of: Day,
            /// Units of the answer.
            units: System,
        }
        optional {
            /// Every book in the chain.
            books: Vec<AnsweredBook>,
        }
    }

    /// A price book that was used.
    AnsweredBook {
        required {
            /// Its code.
            code: String,
            /// Its revision.
            revision: i64,
        }
        optional {
            /// True when its prices are invented.
            demo: bool,
        }
    }

    /// A priced job.
    AnsweredPrice {
        required {
            /// Currency of every amount (ISO 4217).
            currency: Currency,
            /// What is charged.
            lines: Vec<AnsweredLine>,
            /// What has no price.
            unpriced: Vec<AnsweredUnpriced>,
            /// From direct cost to price.
            build_up: Vec<AnsweredStep>,
        }
        optional {
            /// The price; null while a line has none.
            total: Amount,
            /// Rates for what comes on top of it.
            extras: Vec<AnsweredExtra>,
        }
    }

    /// One price line.
    AnsweredLine {
        required {
            /// Item code.
            code: String,
            /// What it is.
            description: String,
            /// Where it stands in the build-up.
            class: Class,
            /// What is charged.
            quantity: AnsweredQuantity,
            /// For one unit.
            unit_price: UnitPrice,
            /// Quantity times unit price.
            extended: Amount,
        }
        optional {
            /// JSON Pointer into the answer: where the quantity comes from.
            of: String,
            /// Where the price came from.
            price_from: AnsweredPricedFrom,
        }
    }

    /// A number and its unit.
    AnsweredQuantity {
        required {
            /// The number.
            value: f64,
            /// Its unit.
            unit: String,
        }
        optional {}
    }

    /// A line without a price.
    AnsweredUnpriced {
        required {
            /// Item code.
            code: String,
            /// What it is.
            description: String,
            /// Why, and what to do.
            why: String,
        }
        optional {}
    }

    /// One step of the build-up.
    AnsweredStep {
        required {
            /// Which.
            step: AnsweredStepName,
            /// What it adds.
            amount: Amount,
        }
        optional {
            /// Its rate.
            rate: AnsweredQuantity,
            /// For profit: `margin` or `markup`.
            basis: String,
            /// What the rate is applied to.
            base: Amount,
        }
    }
}

words! {
    /// A step of the build-up.
    AnsweredStepName {
        /// The lines.
        Direct = "direct",
        /// Sales tax that we pay.
        TaxPaid = "tax_paid",
        /// Contingency.
        Contingency = "contingency",
        /// Overhead.
        Overhead = "overhead",
        /// Profit.
        Profit = "profit",
        /// Sales tax that is charged on the price.
        TaxCharged = "tax_charged",
    }
}

impl AnsweredQuantity {
    /// The number as it is multiplied; `None` where it has more digits than a line can have.
    pub fn exact(&self) -> Option<Decimal4> {
        let exact = Decimal4::nearest(self.value, 4)?;
        (compare(self.value, exact.number()) == Compared::At).then_some(exact)
    }
}
