//! Bills and quotations as XML for other software: UBL 2.1, bills by the rules of EN 16931 as well.
//!
//! Invariants: amounts are those of the bill or the quotation, none is made here; what would break a rule of the
//! standard is refused before anything is written, with every fault at its place; escaping is the XML library's.
//! Absent: sending, signing, and what a single country asks beyond the standard.

mod check;
mod check_tax;
mod codes;
mod invoice;
mod line;
mod money;
mod party;
mod quotation;
mod xml;

pub use check::check_for_xml;
pub use codes::{accepts_country, accepts_currency, unit_code};
pub use invoice::write_bill;
pub use quotation::write_quotation;
