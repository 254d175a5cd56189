//! A comparison as it is asked for.
//!
//! Invariants: unknown fields are refused, but for those of an answer sent along; nothing here has a
//! default. Absent: what a value means (`slip`), and how a job is priced.

use crate::answered::Answered;
use crate::billing::Party;
use crate::job::{Class, Day, JobRequest, sent};
use crate::quantity::money::{Amount, Decimal4, UnitPrice};
use crate::quantity::{Fault, Faults, Span};

sent! {
    /// Two estimates to compare, and extra work on slips.
    CompareRequest {
        required {
            /// The earlier estimate.
            before: SideRequest,
            /// The later estimate.
            after: SideRequest,
        }
        optional {
            /// Extra work on slips, each priced at rates for extras.
            slips: Vec<SlipRequest>,
            /// Rates for extras that go before those of the earlier estimate.
            extra_rates: Vec<ExtraRateRequest>,
            /// Number of the change order.
            number: String,
            /// Its date.
            date: Day,
            /// Who does the work.
            seller: Party,
            /// For whom.
            buyer: Party,
            /// Why the contract changes.
            reason: String,
            /// The contract sum that was agreed, before tax, in place of the earlier side's price; without earlier changes.
            agreed: Amount,
            /// Earlier change orders and signed slips that are no part of `before` and not sent as `slips`.
            changes_before: Vec<ChangeBeforeRequest>,
        }
    }

    /// A change of the contract that was agreed before this one.
    ChangeBeforeRequest {
        required {
            /// Number of the change order or the slip.
            number: String,
            /// What it added, before tax; negative where it took away.
            amount: Amount,
        }
        optional {}
    }

    /// One side; give one of `job` and `estimate`.
    SideRequest {
        required {}
        optional {
            /// A job, priced now by its own `book` section.
            job: JobRequest,
            /// The answer of `POST /v1/estimates`, as it came.
            estimate: Answered,
        }
    }

    /// What one of something costs where it is extra.
    ExtraRateRequest {
        required {
            /// Its code; an hour of a class is `hour-` and the class, as an estimate has it under `price/extras`.
            code: String,
            /// The unit that the price is for, `h` for hours.
            unit: String,
            /// For one unit, overhead and profit included.
            unit_price: UnitPrice,
        }
        optional {}
    }

    /// Extra work of one day.
    SlipRequest {
        required {
            /// Its number; every slip has another.
            number: String,
            /// The day of the work.
            date: Day,
            /// What was asked for, and why.
            reason: String,
            /// True where the customer has signed it.
            signed: bool,
        }
        optional {
            /// Who worked.
            people: Vec<SlipPeopleRequest>,
            /// What was used up.
            materials: Vec<SlipItemRequest>,
            /// Machines and tools.
            equipment: Vec<SlipItemRequest>,
            /// Who agreed, and when; needed where it is signed, and refused where it is not.
            agreed_by: AgreedByRequest,
        }
    }

    /// People of one class.
    SlipPeopleRequest {
        required {
            /// Class.
            class: Class,
            /// Hours of each.
            hours: Span,
            /// How many.
            count: u32,
        }
        optional {}
    }

    /// One material or machine; give `code`, `description` or both.
    SlipItemRequest {
        required {
            /// How much, as decimal text.
            quantity: Decimal4,
            /// In this unit.
            unit: String,
        }
        optional {
            /// Item code, by which its rate is found.
            code: String,
            /// What it is.
            description: String,
            /// For one unit; the rate for extras where left out.
            unit_price: UnitPrice,
        }
    }

    /// Who agreed to a slip.
    AgreedByRequest {
        required {
            /// Name.
            name: String,
            /// The day.
            date: Day,
        }
        optional {}
    }
}

/// A side that says which it is.
#[derive(Clone, Debug, PartialEq)]
pub enum SideSent {
    /// A job to be priced.
    Job(Box<JobRequest>),
    /// An answer as it came.
    Estimate(Box<Answered>),
}

impl SideRequest {
    /// Which of both it is; `at` is where it stands in the request.
    ///
    /// # Errors
    /// Neither or both are there.
    pub fn read(self, at: &str) -> Result<SideSent, Fault> {
        let accepted = "one of `job` and `estimate`";
        let example = Some("{\"estimate\": the answer of POST /v1/estimates}");
        match (self.job, self.estimate) {
            (Some(job), None) => Ok(SideSent::Job(Box::new(job))),
            (None, Some(estimate)) => Ok(SideSent::Estimate(Box::new(estimate))),
            (None, None) => Err(Fault::new(at, "neither", accepted, example)),
            (Some(_), Some(_)) => Err(Fault::new(at, "both", accepted, example)),
        }
    }
}
