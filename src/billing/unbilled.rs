//! Where a job stands once something of a bill was given back.
//!
//! Invariant: nothing comes to less than nothing: no item, no deposit, nothing held back. Absent: tax.

use super::application::Application;
use super::bill::{BillAllowance, BillLine, LineKind};
use crate::job::Day;
use crate::quantity::money::Amount;
use crate::quantity::{Fault, Faults};

/// Takes lines that are given back off what was earned, asked for and released; what would come to less than
/// nothing is a fault.
pub(super) fn take_back(after: &mut Application, lines: &[BillLine]) -> Faults {
    let mut faults = Faults::default();
    for item in &mut after.items {
        item.before = item.earned();
        item.now = item.now.nothing();
    }
    for line in lines {
        match line.kind {
            LineKind::Work | LineKind::Change => take_back_work(after, line, &mut faults),
            LineKind::BackCharge => after.back_charges += line.amount,
            LineKind::Deposit => {
                if line.amount > after.deposit_left() {
                    let left = format!("at most the {} not taken off yet", after.deposit_left());
                    faults.push(too_much(line, left));
                }
                after.deposit = after.deposit - line.amount;
            }
            LineKind::DepositApplied => after.deposit_applied += line.amount,
            LineKind::RetainageReleased => after.released = after.released - line.amount,
        }
    }
    let earned: Amount = after.items.iter().map(|item| item.earned()).sum();
    after.earned = after.earned.nothing() + earned;
    faults
}

fn take_back_work(after: &mut Application, line: &BillLine, faults: &mut Faults) {
    let id = line.item.as_deref().unwrap_or_default();
    let Some(item) = after.items.iter_mut().find(|item| item.id == id) else {
        let accepted = "an application with the item of every line that is given back";
        faults.push(Fault::new("/after/items", id, accepted, None));
        return;
    };
    let earned = item.earned() - line.amount;
    let below = earned.is_negative() != item.scheduled.is_negative() && !earned.is_zero();
    if below {
        let billed = format!("at most the {} that is billed of item {id}", item.earned());
        faults.push(too_much(line, billed));
    }
    item.now = item.now - line.amount;
    // What is in place is taken off first, and what is stored where that is not enough.
    let completed = item.completed - line.amount;
    if completed.is_negative() == item.scheduled.is_negative() || completed.is_zero() {
        item.completed = completed;
    } else {
        item.stored += completed;
        item.completed = item.completed.nothing();
    }
    item.balance = item.scheduled - item.earned();
    item.percent = super::progress::share(item.earned(), item.scheduled);
}

/// More is given back of a line than there is.
fn too_much(line: &BillLine, accepted: String) -> Fault {
    Fault::new("/lines", line.amount.to_string(), accepted, None)
}

/// Takes off what is no longer held back, and gives the application its number and its day.
pub(super) fn unearn(
    after: &mut Application,
    allowances: &[BillAllowance],
    (number, day): (&str, Day),
) {
    let no_longer_held: Amount = allowances.iter().map(|held| held.amount).sum();
    after.retained = after.retained - no_longer_held;
    after.number = after.number.saturating_add(1);
    number.clone_into(&mut after.bill);
    after.through = after.through.max(day);
}
