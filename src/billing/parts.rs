//! What stands on an invoice: work, what is held back and released, deposits, back-charges.
//!
//! Invariant: no more is released than is held, and no more of a deposit taken off than was billed. Absent: tax and
//! sums.

use super::application::{Application, ApplicationItem};
use super::bill::{BillAllowance, BillKind, BillLine, LineKind};
use super::invoice::Making;
use crate::answered::held;
use crate::answered::{LINE_AT_MOST, check_text};
use crate::quantity::money::{Amount, Percentage};
use crate::quantity::{Fault, Faults};

/// What an invoice is made of, beside its head.
pub(super) struct Parts {
    pub(super) kind: BillKind,
    pub(super) lines: Vec<BillLine>,
    pub(super) allowances: Vec<BillAllowance>,
    pub(super) released: Amount,
    pub(super) deposit: Amount,
    pub(super) deposit_applied: Amount,
    pub(super) back_charges: Amount,
}

impl Making<'_> {
    pub(super) fn parts(&self, faults: &mut Faults) -> Parts {
        let mut lines: Vec<BillLine> = self.items.iter().filter_map(work_line).collect();
        let allowances = self.retained(faults);
        let withheld: Amount = allowances.iter().map(|held| held.amount).sum();
        let deposit = self.deposit(faults);
        let deposit_applied = self.deposit_applied(faults);
        let released = self.released(withheld, faults);
        let back_charges = self.back_charges(&mut lines, faults);
        for (kind, description, amount) in [
            (LineKind::Deposit, "Deposit", deposit),
            (
                LineKind::DepositApplied,
                "Deposit billed before, taken off",
                -deposit_applied,
            ),
            (LineKind::RetainageReleased, "Retainage released", released),
        ] {
            if !amount.is_zero() {
                lines.push(plain_line(kind, description.to_owned(), amount));
            }
        }
        for (line, number) in lines.iter_mut().zip(1..) {
            line.id = format!("{number}");
        }
        Parts {
            kind: if deposit.is_zero() {
                BillKind::Invoice
            } else {
                BillKind::Deposit
            },
            lines,
            allowances,
            released,
            deposit,
            deposit_applied,
            back_charges,
        }
    }

    fn retained(&self, faults: &mut Faults) -> Vec<BillAllowance> {
        let Some(rate) = self.sent.retainage else {
            return Vec::new();
        };
        if rate < Percentage::ZERO || rate >= Percentage::WHOLE {
            let accepted = "from 0 % to below 100 %";
            faults.push(Fault::new(
                "/retainage",
                rate.to_string(),
                accepted,
                Some("10 %"),
            ));
        }
        let base = self.earned_now();
        let amount = base.percent(rate);
        let held = BillAllowance {
            reason: format!("Retainage, {rate}"),
            base,
            rate,
            amount,
        };
        if amount.is_zero() {
            Vec::new()
        } else {
            vec![held]
        }
    }

    fn released(&self, withheld: Amount, faults: &mut Faults) -> Amount {
        let Some(release) = &self.sent.release else {
            return self.zero();
        };
        let held_back = self.before(Application::held) + withheld;
        match (release.all, release.amount) {
            (Some(true), None) => held_back,
            (None | Some(false), Some(amount)) => {
                let amount = held(amount, &self.checked.currency, ("/release/amount", faults));
                if amount < self.zero() || amount > held_back {
                    let accepted = format!("at most the {held_back} that is held");
                    let at = "/release/amount";
                    faults.push(Fault::new(at, amount.to_string(), accepted, None));
                }
                amount
            }
            _ => {
                let accepted = "either \"all\": true or an amount";
                faults.push(Fault::new("/release", "both or none", accepted, None));
                self.zero()
            }
        }
    }

    fn deposit(&self, faults: &mut Faults) -> Amount {
        let Some(deposit) = &self.sent.deposit else {
            return self.zero();
        };
        let sum = self.contract_with_changes();
        let amount = match (deposit.percent, deposit.amount) {
            (Some(percent), None) => sum.percent(percent),
            (None, Some(amount)) => {
                held(amount, &self.checked.currency, ("/deposit/amount", faults))
            }
            _ => {
                let accepted = "either a percent of the contract sum or an amount";
                let example = Some("\"percent\": \"10 %\"");
                faults.push(Fault::new("/deposit", "both or none", accepted, example));
                return self.zero();
            }
        };
        let asked = self.before(|last| last.deposit) + amount;
        if amount <= self.zero() || asked > sum {
            let accepted = format!(
                "above nothing, and at most the contract sum of {sum} with deposits before"
            );
            faults.push(Fault::new(
                "/deposit",
                amount.to_string(),
                accepted,
                Some("\"percent\": \"10 %\""),
            ));
        }
        self.check_alone(faults);
        amount
    }

    /// A deposit stands on a bill of its own.
    fn check_alone(&self, faults: &mut Faults) {
        let sent = self.sent;
        for (field, stands) in [
            ("progress", sent.progress.is_some()),
            ("release", sent.release.is_some()),
            ("back_charges", sent.back_charges.is_some()),
            ("deposit_applied", sent.deposit_applied.is_some()),
        ] {
            if stands {
                let accepted = "a bill of its own: a deposit is asked for alone";
                faults.push(Fault::new(format!("/{field}"), field, accepted, None));
            }
        }
    }

    fn deposit_applied(&self, faults: &mut Faults) -> Amount {
        let left = self.before(Application::deposit_left);
        if let Some(applied) = self.sent.deposit_applied {
            let at = "/deposit_applied";
            let applied = held(applied, &self.checked.currency, (at, faults));
            if applied < self.zero() || applied > left {
                let accepted = format!("at most the {left} that was billed and not taken off");
                faults.push(Fault::new(at, applied.to_string(), accepted, None));
            }
            return applied;
        }
        let whole = self.before(|last| last.deposit);
        let due = whole.portion(self.earned(), self.contract_with_changes());
        let now = due - self.before(|last| last.deposit_applied);
        now.max(self.zero()).min(left)
    }

    fn back_charges(&self, lines: &mut Vec<BillLine>, faults: &mut Faults) -> Amount {
        let mut sum = self.zero();
        for (index, charge) in self.sent.back_charges.iter().flatten().enumerate() {
            let at = format!("/back_charges/{index}");
            check_text(
                &charge.reason,
                LINE_AT_MOST,
                (&format!("{at}/reason"), faults),
            );
            let place = format!("{at}/amount");
            let amount = held(charge.amount, &self.checked.currency, (&place, faults));
            if amount <= self.zero() {
                let accepted = "a positive amount: it is taken off";
                faults.push(Fault::new(
                    place,
                    amount.to_string(),
                    accepted,
                    Some("85.00"),
                ));
            }
            sum += amount;
            let description = format!("Back-charge: {}", charge.reason);
            lines.push(BillLine {
                cost_code: charge.cost_code.clone(),
                ..plain_line(LineKind::BackCharge, description, -amount)
            });
        }
        sum
    }
}

fn work_line(item: &ApplicationItem) -> Option<BillLine> {
    if item.now.is_zero() {
        return None;
    }
    let kind = if item.change == Some(true) {
        LineKind::Change
    } else {
        LineKind::Work
    };
    let whole = item.before.is_zero() && item.balance.is_zero();
    let description = if whole {
        item.description.clone()
    } else {
        let before = if item.before.is_zero() {
            String::new()
        } else {
            format!(", {} billed before", item.before)
        };
        format!("{}: {} to date{before}", item.description, item.percent)
    };
    Some(BillLine {
        item: Some(item.id.clone()),
        cost_code: item.cost_code.clone(),
        ..plain_line(kind, description, item.now)
    })
}

fn plain_line(kind: LineKind, description: String, amount: Amount) -> BillLine {
    BillLine {
        id: String::new(),
        kind,
        description,
        amount,
        item: None,
        quantity: None,
        unit: None,
        cost_code: None,
    }
}
