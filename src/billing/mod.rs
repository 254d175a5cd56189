//! What is billed and posted: parties, schedule of values, applications, bills, journals.
//!
//! Invariants: nothing is priced again; whatever is billed adds up to the cent, over one bill and over
//! all bills of a job; nothing is remembered, the caller sends what was billed before. Absent: how a document looks.

/// Types that a caller sends and that come back in an answer, to be sent again with the next bill.
macro_rules! kept {
    ($($(#[$doc:meta])* $name:ident {
        required { $($(#[$rdoc:meta])* $rfield:ident: $rty:ty,)* }
        optional { $($(#[$odoc:meta])* $ofield:ident: $oty:ty,)* }
    })+) => { $(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize, deserr::Deserr)]
        #[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
        #[serde(deny_unknown_fields)]
        #[deserr(error = $crate::quantity::Faults, deny_unknown_fields)]
        pub struct $name {
            $($(#[$rdoc])* pub $rfield: $rty,)*
            $($(#[$odoc])*
                #[serde(default, skip_serializing_if = "Option::is_none")]
                #[deserr(default)]
                pub $ofield: Option<$oty>,)*
        }
    )+ };
}

mod account;
mod application;
mod bill;
mod bill_texts;
mod contract;
mod credit;
mod credit_head;
mod head;
mod invoice;
mod journal;
mod parts;
mod party;
mod posting;
mod progress;
mod quotation;
mod request;
mod schedule;
mod terms;
mod unbilled;

pub use crate::answered::{check_number, check_text};
pub use account::{AccountsRequest, Role};
pub use application::{Application, ApplicationItem, ApplicationTax};
pub use bill::{
    Bill, BillAllowance, BillKind, BillLine, BillPeriod, BillTax, BillTotals, Corrected, LineKind,
    PaidBefore, PayTo, References, TaxCategory,
};
pub use credit::make_credit_note;
pub use invoice::{check_complete, make_invoice};
pub use journal::make_journal;
pub use party::{Contact, Party};
pub use posting::{
    BudgetRequest, Entry, EntryRequest, Journal, JournalRequest, PaymentRequest, Posting,
};
pub use quotation::{Quotation, QuotationLine, QuotationRequest, QuotationTotals, make_quotation};
pub use request::{
    Allowed, AttachedTo, AttachmentRequest, BackChargeRequest, ChangeRequest, CreditLineRequest,
    CreditRequest, DepositRequest, InvoiceRequest, ProgressRequest, ReleaseRequest, TaxRequest,
};
pub use schedule::{GroupRequest, ScheduleBy, ScheduleItem, ScheduleRequest, divide};
pub use terms::TaxTerms;
