//! An invoice, from what is asked and what was billed before.
//!
//! Invariants: every fault is found before anything is made; the tax of all bills together is that of their
//! sum, so that a job billed in parts and one billed at once come to the same cent. Absent: credit notes.

use super::application::{Application, ApplicationItem};
use super::bill::{Bill, BillAllowance, BillKind, BillLine, BillTax, BillTotals, LineKind, sum_up};
use super::contract::{check_earlier, contract_sum, schedule};
use super::head::{attachments, check_head, notes};
use super::progress::{Progress, held};
use super::request::InvoiceRequest;
use super::terms::TaxTerms;
use super::text::{LINE_AT_MOST, check_text};
use crate::answered::Checked;
use crate::quantity::money::{Amount, Percentage};
use crate::quantity::{Fault, Faults};

/// The invoice that is asked for.
///
/// # Errors
/// Everything that is wrong with what was sent.
pub fn make_invoice(sent: &InvoiceRequest) -> Result<Bill, Faults> {
    let mut faults = Faults::default();
    check_head(sent, &mut faults);
    let checked = match sent.estimate.check("/estimate") {
        Ok(checked) => checked,
        Err(more) => {
            faults.0.extend(more.0);
            return Err(faults);
        }
    };
    check_complete(&checked, "/estimate", &mut faults);
    let making = Making::of(sent, &checked, &mut faults);
    let parts = making.parts(&mut faults);
    let bill = making.bill(parts, &mut faults);
    faults.or(bill)
}

/// Adds a fault where a line has no price: nobody can bill or offer what is not known.
pub fn check_complete(checked: &Checked, at: &str, faults: &mut Faults) {
    if checked.complete() {
        return;
    }
    let codes: Vec<&str> = checked
        .unpriced
        .iter()
        .map(|(code, ..)| code.as_str())
        .collect();
    let found = format!("{} without a price: {}", codes.len(), codes.join(", "));
    let accepted = "an estimate whose every line has a price";
    faults.push(Fault::new(
        format!("{at}/price/unpriced"),
        found,
        accepted,
        None,
    ));
}

/// What an invoice is made from.
struct Making<'a> {
    sent: &'a InvoiceRequest,
    checked: &'a Checked,
    tax: TaxTerms,
    contract: Amount,
    items: Vec<ApplicationItem>,
    last: Option<&'a Application>,
}

/// What an invoice is made of, beside its head.
struct Parts {
    kind: BillKind,
    lines: Vec<BillLine>,
    allowances: Vec<BillAllowance>,
    released: Amount,
    deposit: Amount,
    deposit_applied: Amount,
    back_charges: Amount,
}

impl<'a> Making<'a> {
    fn of(sent: &'a InvoiceRequest, checked: &'a Checked, faults: &mut Faults) -> Self {
        let contract = contract_sum(sent, checked, faults);
        let schedule = schedule(sent, (checked, contract), faults);
        check_earlier(sent, (&schedule, contract), faults);
        let last = sent.earlier.as_deref().and_then(<[_]>::last);
        let progress = Progress {
            sent,
            currency: &checked.currency,
            last,
        };
        Self {
            tax: TaxTerms::of(sent.tax.as_ref(), checked, ("/tax", faults)),
            items: progress.items(&schedule, faults),
            sent,
            checked,
            contract,
            last,
        }
    }

    fn zero(&self) -> Amount {
        Amount::zero(&self.checked.currency)
    }

    /// What an earlier application came to, or nothing.
    fn before(&self, pick: fn(&Application) -> Amount) -> Amount {
        self.last
            .map_or(self.zero(), |last| self.zero() + pick(last))
    }

    fn earned_now(&self) -> Amount {
        self.zero() + self.items.iter().map(|item| item.now).sum::<Amount>()
    }

    fn earned(&self) -> Amount {
        self.zero()
            + self
                .items
                .iter()
                .map(ApplicationItem::earned)
                .sum::<Amount>()
    }

    fn contract_with_changes(&self) -> Amount {
        self.zero() + self.items.iter().map(|item| item.scheduled).sum::<Amount>()
    }

    fn parts(&self, faults: &mut Faults) -> Parts {
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

    fn bill(&self, parts: Parts, faults: &mut Faults) -> Bill {
        let sent = self.sent;
        let before_tax = sum_up(&parts.lines, &parts.allowances, &self.checked.currency);
        let tax = self.tax_on(before_tax);
        let application = self.application(&parts, (before_tax, tax.amount));
        let paid = sent.paid.iter().flatten().map(|paid| paid.amount);
        let paid = self.zero() + paid.sum::<Amount>();
        let totals = BillTotals::of(
            (&parts.lines, &parts.allowances),
            (&tax, paid),
            &self.checked.currency,
        );
        check_worth_sending(&parts.lines, &totals, faults);
        let bill = Bill {
            kind: parts.kind,
            id: String::new(),
            number: sent.number.clone(),
            issue_date: sent.issue_date,
            currency: self.checked.currency,
            seller: sent.seller.clone(),
            buyer: sent.buyer.clone(),
            job: self.checked.name.clone(),
            fingerprint: self.checked.fingerprint.clone(),
            lines: parts.lines,
            allowances: parts.allowances,
            tax,
            totals,
            due_date: sent.due_date,
            period: sent.period.clone(),
            references: sent.references.clone(),
            corrects: None,
            reason: None,
            pay_to: sent.pay_to.clone(),
            paid: sent.paid.clone(),
            notes: notes(sent.notes.as_deref(), self.checked.demo),
            attachments_needed: attachments(sent, &application),
            application: Some(application),
        };
        bill.named()
    }

    /// The tax of all bills so far, less what was billed: of one rate it is that of their sum.
    fn tax_on(&self, before_tax: Amount) -> BillTax {
        let rate = self.tax.rate;
        let same = self
            .last
            .is_some_and(|last| last.tax_rate.unwrap_or_default() == rate);
        let amount = if same {
            let billed = self.before(|last| last.billed);
            (billed + before_tax).percent(rate) - self.before(|last| last.tax)
        } else {
            before_tax.percent(rate)
        };
        BillTax {
            category: self.tax.category,
            rate,
            taxable: before_tax,
            amount,
            reason: self.tax.reason.clone(),
        }
    }

    fn application(&self, parts: &Parts, (billed, tax): (Amount, Amount)) -> Application {
        let sent = self.sent;
        let withheld: Amount = parts.allowances.iter().map(|held| held.amount).sum();
        let changed = |item: &&ApplicationItem| item.change == Some(true);
        let changes = self.items.iter().filter(changed).map(|item| item.scheduled);
        let mut application = Application {
            number: self.last.map_or(1, |last| last.number.saturating_add(1)),
            bill: sent.number.clone(),
            through: sent
                .period
                .as_ref()
                .map_or(sent.issue_date, |period| period.to),
            contract: self.contract,
            changes: self.zero() + changes.sum::<Amount>(),
            items: self.items.clone(),
            earned: self.earned(),
            retained: self.before(|last| last.retained) + withheld,
            released: self.before(|last| last.released) + parts.released,
            deposit: self.before(|last| last.deposit) + parts.deposit,
            deposit_applied: self.before(|last| last.deposit_applied) + parts.deposit_applied,
            back_charges: self.before(|last| last.back_charges) + parts.back_charges,
            credited: self.before(|last| last.credited),
            billed: self.before(|last| last.billed) + billed,
            tax: self.before(|last| last.tax) + tax,
            balance: self.zero(),
            tax_rate: Some(self.tax.rate),
        };
        application.balance = application.contract_sum() - application.earned + application.held();
        application
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

/// A bill says something, and asks for no less than nothing.
fn check_worth_sending(lines: &[BillLine], totals: &BillTotals, faults: &mut Faults) {
    if lines.is_empty() {
        let accepted =
            "progress beyond what was billed before, a deposit, a release or a back-charge";
        faults.push(Fault::new("/progress", "nothing to bill", accepted, None));
    } else if totals.with_tax < totals.with_tax - totals.with_tax {
        let found = format!("{} in all", totals.with_tax);
        let accepted = "a bill that asks for something; what is given back is a credit note";
        faults.push(Fault::new("", found, accepted, None));
    }
}
