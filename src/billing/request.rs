//! Bills as they are asked for.
//!
//! Invariants: unknown fields are refused; nothing here has a default. Absent: what comes of it.

use super::application::Application;
use super::bill::{Bill, BillPeriod, PaidBefore, PayTo, References, TaxCategory};
use super::party::Party;
use super::schedule::ScheduleRequest;
use crate::answered::Answered;
use crate::catalog::words;
use crate::job::{Day, sent};
use crate::quantity::Faults;
use crate::quantity::money::{Amount, Percentage};

words! {
    /// What is refused unless it is allowed.
    Allowed {
        /// An item that comes to more than it is worth.
        Over100 = "over_100",
        /// An item that comes to less than was billed before.
        LessThanBefore = "less_than_before",
    }
}

words! {
    /// With which bills a paper goes along.
    AttachedTo {
        /// Each.
        Each = "each",
        /// The first of a job.
        First = "first",
        /// The one after which nothing is left to bill.
        Last = "last",
    }
}

sent! {
    /// A bill for a priced job. Without `progress`, the first bill is for the whole of it.
    InvoiceRequest {
        required {
            /// Number of the bill.
            number: String,
            /// Its date.
            issue_date: Day,
            /// Who sells.
            seller: Party,
            /// Who buys.
            buyer: Party,
            /// The answer of `POST /v1/estimates`, as it came.
            estimate: Answered,
        }
        optional {
            /// When it is due.
            due_date: Day,
            /// The time whose work is billed.
            period: BillPeriod,
            /// Papers that it refers to.
            references: References,
            /// How to pay.
            pay_to: PayTo,
            /// The seller's mark for paper, PNG or JPEG as base64, at most 200 kB.
            logo: String,
            /// Sentences for the reader.
            notes: Vec<String>,
            /// The tax; that which the estimate charges where left out.
            tax: TaxRequest,
            /// The contract sum that was agreed, before tax; the estimate's price where left out.
            agreed: Amount,
            /// How the contract sum is divided; the same for every bill of a job.
            schedule: ScheduleRequest,
            /// Agreed changes, old and new.
            changes: Vec<ChangeRequest>,
            /// How far the items are; those not named stay as they were.
            progress: Vec<ProgressRequest>,
            /// Share of what is earned now that is held back.
            retainage: Percentage,
            /// Retainage to be paid out with this bill.
            release: ReleaseRequest,
            /// What the buyer charges us.
            back_charges: Vec<BackChargeRequest>,
            /// A deposit to be asked for; then nothing else is billed.
            deposit: DepositRequest,
            /// How much of the deposit is taken off now; in proportion to what is earned where left out.
            deposit_applied: Amount,
            /// What was paid on this bill before it was written.
            paid: Vec<PaidBefore>,
            /// The `application` of the bills before, in order; the last is enough.
            earlier: Vec<Application>,
            /// What is refused unless it is allowed.
            allow: Vec<Allowed>,
            /// Papers that go along with bills of this job.
            checklist: Vec<AttachmentRequest>,
        }
    }

    /// A tax.
    TaxRequest {
        required {
            /// Its category (UNCL 5305).
            category: TaxCategory,
        }
        optional {
            /// Its rate; for `S`, `L` and `M`.
            rate: Percentage,
            /// Why none is charged; for `E`, `AE`, `K`, `G` and `O`.
            reason: String,
        }
    }

    /// An agreed change of the contract sum.
    ChangeRequest {
        required {
            /// Number of the change order.
            number: String,
            /// What it is.
            description: String,
            /// What it adds, before tax; negative where it takes away.
            amount: Amount,
        }
        optional {
            /// A code of cost for the bookkeeper.
            cost_code: String,
        }
    }

    /// How far an item is. Give `percent` or `amount` of the work in place to date, and what is stored.
    ProgressRequest {
        required {
            /// Name of the item, or `all` for those that are not named by themselves.
            item: String,
        }
        optional {
            /// Work in place to date, of what the item is worth.
            percent: Percentage,
            /// The same in money.
            amount: Amount,
            /// Material on site and not yet in place.
            stored: Amount,
        }
    }

    /// Retainage to be paid out. Give one of the two.
    ReleaseRequest {
        required {}
        optional {
            /// True for all that is held.
            all: bool,
            /// So much of it.
            amount: Amount,
        }
    }

    /// What the buyer charges us.
    BackChargeRequest {
        required {
            /// For what.
            reason: String,
            /// How much, as a positive amount.
            amount: Amount,
        }
        optional {
            /// A code of cost for the bookkeeper.
            cost_code: String,
        }
    }

    /// A deposit. Give one of the two.
    DepositRequest {
        required {}
        optional {
            /// Of the contract sum.
            percent: Percentage,
            /// In money.
            amount: Amount,
        }
    }

    /// A paper that goes along.
    AttachmentRequest {
        required {
            /// What it is.
            what: String,
            /// With which bills.
            with: AttachedTo,
        }
        optional {}
    }

    /// Something of a bill to be given back; without `lines`, all of it.
    CreditRequest {
        required {
            /// Number of the credit note.
            number: String,
            /// Its date.
            issue_date: Day,
            /// The bill, as it was answered.
            bill: Bill,
            /// Why.
            reason: String,
        }
        optional {
            /// The seller's mark for paper, PNG or JPEG as base64, at most 200 kB.
            logo: String,
            /// What is given back of which lines.
            lines: Vec<CreditLineRequest>,
            /// The last `application` of the job, where bills were written after this one.
            after: Application,
            /// Credit notes that were written for the same bill before, as they were answered.
            earlier: Vec<Bill>,
            /// Sentences for the reader.
            notes: Vec<String>,
        }
    }

    /// Something of a line to be given back. Give one of the two; all of it where neither is given.
    CreditLineRequest {
        required {
            /// Number of the line on the bill.
            line: String,
        }
        optional {
            /// Of its amount.
            percent: Percentage,
            /// In money.
            amount: Amount,
        }
    }
}
