//! What is asked of a journal, and the journal with its entries and postings.
//!
//! Invariant: a posting stands on one side, with a positive amount. Absent: how an entry comes about.

use super::account::AccountsRequest;
use super::bill::Bill;
use crate::answered::Answered;
use crate::job::{Day, sent};
use crate::quantity::Faults;
use crate::quantity::money::{Amount, Currency};
use serde::Serialize;

sent! {
    /// What to post, and where.
    JournalRequest {
        required {
            /// The accounts.
            accounts: AccountsRequest,
            /// What to post, at most 1,000.
            entries: Vec<EntryRequest>,
        }
        optional {}
    }

    // What is large stands apart: a body has room for far more entries than are read.
    /// Something to post. Give one of the three.
    EntryRequest {
        required {}
        optional {
            /// An invoice, a deposit or a credit note, as it was answered.
            bill: Box<Bill>,
            /// A payment that came in.
            payment: PaymentRequest,
            /// The cost of an estimate as the budget of a job.
            budget: Box<BudgetRequest>,
        }
    }

    /// A payment that came in.
    PaymentRequest {
        required {
            /// Number of the bill that it pays.
            bill: String,
            /// When.
            date: Day,
            /// How much.
            amount: Amount,
            /// Its currency (ISO 4217).
            currency: Currency,
        }
        optional {
            /// Number of a cheque or transfer.
            reference: String,
            /// Name of the job.
            job: String,
            /// Who paid.
            from: String,
        }
    }

    /// The cost of an estimate as the budget of a job.
    BudgetRequest {
        required {
            /// Its date.
            date: Day,
            /// Its number.
            number: String,
            /// The answer of `POST /v1/estimates`, as it came.
            estimate: Answered,
        }
        optional {}
    }
}

/// A journal.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Journal {
    /// In the order in which they were sent.
    pub entries: Vec<Entry>,
}

/// One entry; its debits are its credits.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Entry {
    /// The same for the same thing posted: for whoever must not post it twice.
    pub id: String,
    /// Its date.
    pub date: Day,
    /// With whom.
    pub payee: String,
    /// What it is.
    pub description: String,
    /// Number of the document.
    pub document: String,
    /// Name of the job.
    pub job: String,
    /// Currency of every amount (ISO 4217).
    pub currency: Currency,
    /// The postings.
    pub postings: Vec<Posting>,
    /// Their debits, which are their credits.
    pub sum: Amount,
}

/// One posting, on one side.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Posting {
    /// The account, as the caller calls it.
    pub account: String,
    /// What it is for.
    pub description: String,
    /// On the debit side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub debit: Option<Amount>,
    /// On the credit side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub credit: Option<Amount>,
    /// Tax category, of tax and of what it is reckoned on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tax_code: Option<String>,
    /// A code of cost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cost_code: Option<String>,
}

impl Posting {
    /// Debits positive, credits negative.
    pub fn signed(&self) -> Amount {
        self.debit.unwrap_or_default() - self.credit.unwrap_or_default()
    }
}
