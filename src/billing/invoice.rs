//! An invoice, from what is asked and what was billed before.
//!
//! Invariants: every fault is found before anything is made; the tax of all bills together is that of their
//! sum, so that a job billed in parts and one billed at once come to the same cent. Absent: credit notes.

use super::application::{Application, ApplicationItem};
use super::bill::{Bill, BillLine, BillTax, BillTotals, sum_up};
use super::contract::{check_earlier, contract_sum, schedule};
use super::head::{attachments, check_head, notes};
use super::parts::Parts;
use super::progress::Progress;
use super::request::InvoiceRequest;
use super::terms::TaxTerms;
use crate::answered::Checked;
use crate::quantity::money::Amount;
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
pub(super) struct Making<'a> {
    pub(super) sent: &'a InvoiceRequest,
    pub(super) checked: &'a Checked,
    tax: TaxTerms,
    contract: Amount,
    pub(super) items: Vec<ApplicationItem>,
    last: Option<&'a Application>,
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

    pub(super) fn zero(&self) -> Amount {
        Amount::zero(&self.checked.currency)
    }

    /// What an earlier application came to, or nothing.
    pub(super) fn before(&self, pick: fn(&Application) -> Amount) -> Amount {
        self.last
            .map_or(self.zero(), |last| self.zero() + pick(last))
    }

    pub(super) fn earned_now(&self) -> Amount {
        self.zero() + self.items.iter().map(|item| item.now).sum::<Amount>()
    }

    pub(super) fn earned(&self) -> Amount {
        self.zero()
            + self
                .items
                .iter()
                .map(ApplicationItem::earned)
                .sum::<Amount>()
    }

    pub(super) fn contract_with_changes(&self) -> Amount {
        self.zero() + self.items.iter().map(|item| item.scheduled).sum::<Amount>()
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
        if faults.is_empty() {
            check_worth_sending(&parts.lines, &totals, faults);
        }
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

/// A bill says something, and asks for no less than nothing.
fn check_worth_sending(lines: &[BillLine], totals: &BillTotals, faults: &mut Faults) {
    if lines.is_empty() {
        let accepted =
            "progress beyond what was billed before, a deposit, a release or a back-charge";
        faults.push(Fault::new("/progress", "nothing to bill", accepted, None));
    } else if totals.with_tax.is_negative() {
        let found = format!("{} in all", totals.with_tax);
        let accepted = "a bill that asks for something; what is given back is a credit note";
        faults.push(Fault::new("", found, accepted, None));
    }
}
