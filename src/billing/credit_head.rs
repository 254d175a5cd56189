//! What a credit note rests on: the bill, the credit notes before it, and where the job stands.
//!
//! Invariants: all of them add up, belong to one job, and bear numbers of their own. Absent: what is given back.

use super::application::{Application, ApplicationItem};
use super::bill::Bill;
use super::head::check_notes;
use super::request::CreditRequest;
use crate::answered::{LINE_AT_MOST, check_number, check_text};
use crate::quantity::{Fault, Faults};

pub(super) fn check_credit_head(sent: &CreditRequest, faults: &mut Faults) {
    check_number(&sent.number, ("/number", faults));
    check_text(&sent.reason, LINE_AT_MOST, ("/reason", faults));
    check_notes(sent.notes.as_deref(), faults);
    if sent.bill.is_credit() {
        let accepted = "an invoice or a deposit: a credit note is not credited";
        let found = sent.bill.kind.word();
        faults.push(Fault::new("/bill/kind", found, accepted, Some("invoice")));
    }
    if sent.issue_date < sent.bill.issue_date {
        let accepted = format!("{} or later, the date of the bill", sent.bill.issue_date);
        let found = sent.issue_date.to_string();
        faults.push(Fault::new("/issue_date", found, accepted, None));
    }
    for (at, bill) in bills(sent) {
        faults
            .0
            .extend(bill.check_returned(&at).err().unwrap_or_default().0);
        if bill.number == sent.number {
            let accepted = "a number that no other bill has";
            faults.push(Fault::new("/number", &sent.number, accepted, None));
        }
    }
    check_earlier(sent, faults);
    check_after(sent, faults);
}

fn bills(sent: &CreditRequest) -> impl Iterator<Item = (String, &Bill)> {
    let earlier = sent.earlier.iter().flatten().enumerate();
    let earlier = earlier.map(|(index, bill)| (format!("/earlier/{index}"), bill));
    std::iter::once(("/bill".to_owned(), &sent.bill)).chain(earlier)
}

fn check_earlier(sent: &CreditRequest, faults: &mut Faults) {
    let earlier = sent.earlier.as_deref().unwrap_or_default();
    for (index, credit) in earlier.iter().enumerate() {
        let of = credit.corrects.as_ref();
        let same = of.is_some_and(|of| of.number == sent.bill.number);
        let again = earlier
            .iter()
            .take(index)
            .any(|other| other.number == credit.number);
        if !same || again || credit.currency != sent.bill.currency {
            let number = &sent.bill.number;
            let accepted = format!("a credit note for {number}, once, in its currency");
            let at = format!("/earlier/{index}/corrects");
            faults.push(Fault::new(at, &credit.number, accepted, None));
        }
    }
}

/// What was sent as the last application is one of the same job, and not before those that came along.
fn check_after(sent: &CreditRequest, faults: &mut Faults) {
    let (Some(after), Some(known)) = (&sent.after, known(sent)) else {
        return;
    };
    after.check("/after", faults);
    let items = |application: &Application| -> Vec<(String, String)> {
        let own = |item: &&ApplicationItem| item.change != Some(true);
        let items = application.items.iter().filter(own);
        let told = |item: &ApplicationItem| (item.id.clone(), item.scheduled.to_string());
        items.map(told).collect()
    };
    let same = after.contract == known.contract && items(after) == items(known);
    let is_known = after.number == known.number && after != known;
    if !same || is_known || after.number < known.number {
        let accepted = format!(
            "the last application of this job: {} of {} or a later one",
            known.number, known.bill
        );
        let found = format!("{} of {}", after.number, after.bill);
        faults.push(Fault::new("/after", found, accepted, None));
    }
    if after.bill == sent.number {
        let accepted = "a number that no other bill has";
        faults.push(Fault::new("/number", &sent.number, accepted, None));
    }
}

/// The latest application among the bills that were sent.
fn known(sent: &CreditRequest) -> Option<&Application> {
    let all = bills(sent).filter_map(|(_, bill)| bill.application.as_ref());
    all.max_by_key(|application| application.number)
}

/// Where the job stands.
pub(super) fn standing(sent: &CreditRequest) -> Option<&Application> {
    sent.after.as_ref().or_else(|| known(sent))
}
