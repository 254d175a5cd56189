//! The contract sum as it is billed: the schedule of values with agreed changes, and what was billed before.
//!
//! Invariants: no bill of a job changes what an earlier one was reckoned with; applications come in order and
//! each adds up. Absent: progress.

use super::application::Application;
use super::progress::Scheduled;
use super::request::{ChangeRequest, InvoiceRequest};
use super::schedule::{ScheduleItem, divide};
use crate::answered::Checked;
use crate::answered::held;
use crate::answered::{LINE_AT_MOST, check_number, check_text};
use crate::quantity::money::{Amount, Currency};
use crate::quantity::{Fault, Faults};

/// The sum of the contract before changes.
pub(super) fn contract_sum(
    sent: &InvoiceRequest,
    checked: &Checked,
    faults: &mut Faults,
) -> Amount {
    let Some(agreed) = sent.agreed else {
        return checked.before_tax();
    };
    let agreed = held(agreed, &checked.currency, ("/agreed", faults));
    if agreed <= Amount::zero(&checked.currency) {
        let accepted = "a contract sum above nothing";
        faults.push(Fault::new(
            "/agreed",
            agreed.to_string(),
            accepted,
            Some("8000.00"),
        ));
    }
    agreed
}

/// Items of the estimate, and after them agreed changes.
pub(super) fn schedule(
    sent: &InvoiceRequest,
    (checked, sum): (&Checked, Amount),
    faults: &mut Faults,
) -> Vec<Scheduled> {
    let items = divide((checked, sum), sent.schedule.as_ref(), "/schedule");
    let items = items.unwrap_or_else(|more| {
        faults.0.extend(more.0);
        Vec::new()
    });
    let mut schedule: Vec<Scheduled> = items
        .into_iter()
        .map(|item| Scheduled {
            item,
            change: false,
        })
        .collect();
    for (index, change) in sent.changes.iter().flatten().enumerate() {
        let at = format!("/changes/{index}");
        if schedule.iter().any(|each| each.item.id == change.number) {
            let accepted = "a number that no item and no other change has";
            faults.push(Fault::new(
                format!("{at}/number"),
                &change.number,
                accepted,
                None,
            ));
        }
        let item = change_item(change, &checked.currency, (&at, faults));
        schedule.push(Scheduled { item, change: true });
    }
    schedule
}

fn change_item(
    change: &ChangeRequest,
    currency: &Currency,
    (at, faults): (&str, &mut Faults),
) -> ScheduleItem {
    check_number(&change.number, (&format!("{at}/number"), faults));
    check_text(
        &change.description,
        LINE_AT_MOST,
        (&format!("{at}/description"), faults),
    );
    if let Some(code) = &change.cost_code {
        check_text(code, LINE_AT_MOST, (&format!("{at}/cost_code"), faults));
    }
    ScheduleItem {
        id: change.number.clone(),
        description: change.description.clone(),
        amount: held(change.amount, currency, (&format!("{at}/amount"), faults)),
        quantity: None,
        cost_code: change.cost_code.clone(),
    }
}

/// Adds a fault where earlier applications do not add up, do not follow each other, or know another
/// contract than the one that is sent now.
pub(super) fn check_earlier(
    sent: &InvoiceRequest,
    (schedule, contract): (&[Scheduled], Amount),
    faults: &mut Faults,
) {
    let earlier = sent.earlier.as_deref().unwrap_or_default();
    for (index, application) in earlier.iter().enumerate() {
        let at = format!("/earlier/{index}");
        application.check(&at, faults);
        let first = earlier.first().map_or(1, |first| first.number);
        let index_from_first = u32::try_from(index).unwrap_or(u32::MAX);
        let number = first.saturating_add(index_from_first);
        if application.number != number || number == 0 {
            let accepted = format!("{number}: one after the other, the last one last");
            let found = application.number.to_string();
            faults.push(Fault::new(format!("{at}/number"), found, accepted, None));
        }
        if application.contract != contract {
            let accepted = format!("{contract}, the contract sum sent now");
            let found = application.contract.to_string();
            faults.push(Fault::new(format!("{at}/contract"), found, accepted, None));
        }
        let again = earlier
            .iter()
            .take(index)
            .any(|other| other.bill == application.bill);
        if again || application.bill == sent.number {
            let accepted = "a number that only this bill has";
            faults.push(Fault::new(
                format!("{at}/bill"),
                &application.bill,
                accepted,
                None,
            ));
        }
        check_steps_on(earlier, index, faults);
        check_items(application, schedule, (&at, faults));
    }
}

/// What was billed before an application is what the one before it came to.
fn check_steps_on(earlier: &[Application], index: usize, faults: &mut Faults) {
    let Some(last) = index.checked_sub(1).and_then(|last| earlier.get(last)) else {
        return;
    };
    let Some(application) = earlier.get(index) else {
        return;
    };
    for (nth, item) in application.items.iter().enumerate() {
        let before = last.items.iter().find(|other| other.id == item.id);
        let before = before.map_or(Amount::ZERO, |before| before.earned());
        if item.before != before || item.before + item.now != item.earned() {
            let accepted = format!("{before} before, as the application before it says");
            let at = format!("/earlier/{index}/items/{nth}/before");
            faults.push(Fault::new(at, item.before.to_string(), accepted, None));
        }
    }
    if application.through < last.through {
        let accepted = format!("{} or later", last.through);
        let at = format!("/earlier/{index}/through");
        faults.push(Fault::new(
            at,
            application.through.to_string(),
            accepted,
            None,
        ));
    }
}

fn check_items(
    application: &Application,
    schedule: &[Scheduled],
    (at, faults): (&str, &mut Faults),
) {
    for (index, item) in application.items.iter().enumerate() {
        let now = schedule.iter().find(|each| each.item.id == item.id);
        let same = now.is_some_and(|now| now.item.amount == item.scheduled);
        if !same {
            let found = format!("{} of {}", item.id, item.scheduled);
            let accepted = match now {
                Some(now) => format!("{}, as the same item comes to now", now.item.amount),
                None => "an item of the schedule and changes sent now".to_owned(),
            };
            let at = format!("{at}/items/{index}");
            faults.push(Fault::new(at, found, accepted, None));
        }
    }
}
