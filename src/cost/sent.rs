//! What a job cost, as it is sent.
//!
//! Invariants: unknown fields are refused, but for those of the answer sent along. Absent: what a
//! value means (`read`).

use crate::answered::Answered;
use crate::catalog::Class as CostClass;
use crate::job::{Class, sent};
use crate::quantity::money::{Amount, Decimal4, UnitPrice};
use crate::quantity::{Faults, Percent, Span};

sent! {
    /// An estimate and what happened.
    JobCostRequest {
        required {
            /// The answer of `POST /v1/estimates`, as it came.
            estimate: Answered,
            /// What happened so far.
            actual: ActualRequest,
        }
        optional {
            /// How much of the work is done; without it nothing is said to be earned.
            percent_complete: Percent,
            /// What the customer was billed so far, without the tax charged on it.
            billed: Amount,
        }
    }

    /// What happened so far.
    ActualRequest {
        required {}
        optional {
            /// What was used or received, for the whole job.
            quantities: Vec<UsedRequest>,
            /// Paid hours.
            hours: Vec<WorkedRequest>,
            /// Bills of suppliers, without sales tax.
            bills: Vec<BillRequest>,
        }
    }

    /// How much of a line was used; give one of `code` and `of`.
    UsedRequest {
        required {
            /// How much, in the unit of the line, as decimal text.
            quantity: Decimal4,
        }
        optional {
            /// Item code of a price line.
            code: String,
            /// JSON Pointer of a price line into the answer, such as `/price/lines/3`.
            of: String,
        }
    }

    /// Paid hours of one class.
    WorkedRequest {
        required {
            /// Class.
            class: Class,
            /// Paid hours, all people together.
            hours: Span,
        }
        optional {
            /// The visit, from 1.
            visit: u32,
            /// What an hour really cost; the estimated hour where left out.
            paid: UnitPrice,
        }
    }

    /// One position of a supplier's bill; give one of `code` and `class`.
    BillRequest {
        required {
            /// Who sent it.
            supplier: String,
            /// Without sales tax.
            amount: Amount,
            /// Number of the bill.
            document: String,
        }
        optional {
            /// Item code of a price line; another code is told under `not_estimated`.
            code: String,
            /// The class, where no line fits; told under `not_estimated`.
            class: CostClass,
            /// How much was billed, in the unit of the line.
            quantity: Decimal4,
        }
    }
}
