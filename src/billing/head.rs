//! The head of a bill: numbers, dates, parties, and what goes along.
//!
//! Invariant: every text was checked before it stands on a bill. Absent: amounts.

use super::application::Application;
use super::bill::{PayTo, References};
use super::request::{AttachedTo, InvoiceRequest};
use crate::answered::{LINE_AT_MOST, check_number, check_text};
use crate::quantity::{Fault, Faults};

/// Most characters of a sentence for the reader.
const NOTE_AT_MOST: usize = 1000;
/// Most of anything that is listed by the caller.
const LIST_AT_MOST: usize = 1000;

pub(super) fn check_head(sent: &InvoiceRequest, faults: &mut Faults) {
    check_number(&sent.number, ("/number", faults));
    sent.seller.check("/seller", faults);
    sent.buyer.check("/buyer", faults);
    check_dates(sent, faults);
    check_references(sent.references.as_ref(), faults);
    check_pay_to(sent.pay_to.as_ref(), faults);
    check_notes(sent.notes.as_deref(), faults);
    check_paid(sent, faults);
    for (index, paper) in sent.checklist.iter().flatten().enumerate() {
        check_text(
            &paper.what,
            LINE_AT_MOST,
            (&format!("/checklist/{index}/what"), faults),
        );
    }
    for (field, count) in [
        ("changes", sent.changes.as_ref().map_or(0, Vec::len)),
        ("progress", sent.progress.as_ref().map_or(0, Vec::len)),
        (
            "back_charges",
            sent.back_charges.as_ref().map_or(0, Vec::len),
        ),
        ("earlier", sent.earlier.as_ref().map_or(0, Vec::len)),
        ("paid", sent.paid.as_ref().map_or(0, Vec::len)),
        ("checklist", sent.checklist.as_ref().map_or(0, Vec::len)),
    ] {
        if count > LIST_AT_MOST {
            let accepted = format!("at most {LIST_AT_MOST}");
            faults.push(Fault::new(
                format!("/{field}"),
                count.to_string(),
                accepted,
                None,
            ));
        }
    }
}

fn check_dates(sent: &InvoiceRequest, faults: &mut Faults) {
    if let Some(due) = sent.due_date
        && due < sent.issue_date
    {
        let accepted = format!("{} or later", sent.issue_date);
        faults.push(Fault::new("/due_date", due.to_string(), accepted, None));
    }
    if let Some(period) = &sent.period
        && period.to < period.from
    {
        let accepted = format!("{} or later", period.from);
        faults.push(Fault::new(
            "/period/to",
            period.to.to_string(),
            accepted,
            None,
        ));
    }
}

/// Adds a fault for each reference that cannot stand on a document.
pub(super) fn check_references(references: Option<&References>, faults: &mut Faults) {
    let Some(references) = references else {
        return;
    };
    for (field, text) in [
        ("order", &references.order),
        ("contract", &references.contract),
        ("project", &references.project),
        ("quotation", &references.quotation),
        ("buyer_reference", &references.buyer_reference),
    ] {
        check_some(text.as_deref(), (&format!("/references/{field}"), faults));
    }
}

fn check_pay_to(pay_to: Option<&PayTo>, faults: &mut Faults) {
    let Some(pay_to) = pay_to else {
        return;
    };
    for (field, text) in [
        ("account", &pay_to.account),
        ("account_name", &pay_to.account_name),
        ("bank", &pay_to.bank),
        ("terms", &pay_to.terms),
    ] {
        check_some(text.as_deref(), (&format!("/pay_to/{field}"), faults));
    }
}

fn check_paid(sent: &InvoiceRequest, faults: &mut Faults) {
    let currency = sent.estimate.price.currency;
    for (index, paid) in sent.paid.iter().flatten().enumerate() {
        let at = format!("/paid/{index}");
        check_some(
            paid.reference.as_deref(),
            (&format!("{at}/reference"), faults),
        );
        if paid.amount.minor() <= 0 || paid.amount.in_currency(&currency) != paid.amount {
            let accepted = format!(
                "a positive amount of at most {} decimals",
                currency.exponent()
            );
            let found = paid.amount.to_string();
            faults.push(Fault::new(
                format!("{at}/amount"),
                found,
                accepted,
                Some("500.00"),
            ));
        }
    }
}

fn check_some(text: Option<&str>, (at, faults): (&str, &mut Faults)) {
    if let Some(text) = text {
        check_text(text, LINE_AT_MOST, (at, faults));
    }
}

/// Adds a fault for each note that cannot stand on a document.
pub(super) fn check_notes(notes: Option<&[String]>, faults: &mut Faults) {
    for (index, note) in notes.unwrap_or_default().iter().enumerate() {
        check_text(note, NOTE_AT_MOST, (&format!("/notes/{index}"), faults));
    }
}

/// The caller's notes, and ours where a price is invented.
pub(super) fn notes(asked: Option<&[String]>, demo: bool) -> Option<Vec<String>> {
    let mut notes = asked.unwrap_or_default().to_vec();
    if demo {
        notes.push("Priced from the demo book: every price in it is invented.".to_owned());
    }
    (!notes.is_empty()).then_some(notes)
}

/// The papers that go along with this bill.
pub(super) fn attachments(sent: &InvoiceRequest, after: &Application) -> Option<Vec<String>> {
    let list = sent.checklist.as_ref()?;
    let goes = |with: AttachedTo| match with {
        AttachedTo::Each => true,
        AttachedTo::First => after.number == 1,
        AttachedTo::Last => after.balance.minor() <= 0,
    };
    let going = list.iter().filter(|paper| goes(paper.with));
    Some(going.map(|paper| paper.what.clone()).collect())
}
