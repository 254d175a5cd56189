//! An invoice, from what is asked and what was billed before.
//!
//! Invariants: every fault is found before anything is made; the tax of all bills together is that of their
//! sum, so that a job billed in parts and one billed at once come to the same cent. Absent: credit notes.

use super::application::{Application, ApplicationItem, Sign};
use super::bill::{Bill, BillLine, BillTax, BillTotals, sum_up};
use super::contract::{check_earlier, contract_sum, schedule};
use super::head::{attachments, check_head, notes};
use super::parts::Parts;
use super::progress::Progress;
use super::request::InvoiceRequest;
use super::terms::TaxTerms;
use crate::answered::Checked;
use crate::job::Day;
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
        check_later(sent, last, faults);
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

    /// A sum in the decimals of the currency, also where it is nothing.
    pub(super) fn sum(&self, amounts: impl Iterator<Item = Amount>) -> Amount {
        amounts.sum::<Amount>().in_currency(&self.checked.currency)
    }

    /// What an earlier application came to, or nothing.
    pub(super) fn before(&self, pick: fn(&Application) -> Amount) -> Amount {
        self.sum(self.last.map(pick).into_iter())
    }

    pub(super) fn earned_now(&self) -> Amount {
        self.sum(self.items.iter().map(|item| item.now))
    }

    pub(super) fn earned(&self) -> Amount {
        self.sum(self.items.iter().map(ApplicationItem::earned))
    }

    pub(super) fn contract_with_changes(&self) -> Amount {
        self.sum(self.items.iter().map(|item| item.scheduled))
    }

    fn bill(&self, parts: Parts, faults: &mut Faults) -> Bill {
        let sent = self.sent;
        let before_tax = sum_up(&parts.lines, &parts.allowances, &self.checked.currency);
        let tax = self.tax_on(before_tax);
        let application = self.application(&parts, &tax);
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

    /// The tax of all bills so far at the same rate, less what was billed.
    fn tax_on(&self, before_tax: Amount) -> BillTax {
        let (category, rate) = (self.tax.category, self.tax.rate);
        let taxes = self.last.map_or(&[][..], |last| &last.taxes);
        BillTax {
            category,
            rate,
            taxable: before_tax,
            amount: Application::tax_on(taxes, (category, rate), before_tax),
            reason: self.tax.reason.clone(),
        }
    }

    fn application(&self, parts: &Parts, tax: &BillTax) -> Application {
        let sent = self.sent;
        let with = |pick: fn(&Application) -> Amount, now: Amount| {
            self.sum([self.before(pick), now].into_iter())
        };
        let withheld = parts.allowances.iter().map(|held| held.amount).sum();
        let changed = |item: &&ApplicationItem| item.change == Some(true);
        let changes = self.items.iter().filter(changed).map(|item| item.scheduled);
        let mut application = Application {
            number: self.last.map_or(1, |last| last.number.saturating_add(1)),
            bill: sent.number.clone(),
            through: through(sent),
            contract: self.contract,
            changes: self.sum(changes),
            items: self.items.clone(),
            earned: self.earned(),
            retained: with(|last| last.retained, withheld),
            released: with(|last| last.released, parts.released),
            deposit: with(|last| last.deposit, parts.deposit),
            deposit_applied: with(|last| last.deposit_applied, parts.deposit_applied),
            back_charges: with(|last| last.back_charges, parts.back_charges),
            billed: self.before(|last| last.billed),
            tax: self.before(|last| last.tax),
            taxes: self.last.map(|last| last.taxes.clone()).unwrap_or_default(),
            balance: self.zero(),
        };
        application.add_tax(tax, Sign::Billed);
        application.balance = self.sum([application.still_to_bill()].into_iter());
        application
    }
}

/// Adds a fault where the work of a bill ends before that of the one before it.
fn check_later(sent: &InvoiceRequest, last: Option<&Application>, faults: &mut Faults) {
    let Some(last) = last.filter(|last| through(sent) < last.through) else {
        return;
    };
    let at = match sent.period {
        Some(_) => "/period/to",
        None => "/issue_date",
    };
    let accepted = format!("{} or later, as the bill before it", last.through);
    faults.push(Fault::new(at, through(sent).to_string(), accepted, None));
}

/// Last day of the work in a bill.
fn through(sent: &InvoiceRequest) -> Day {
    let period = sent.period.as_ref();
    period.map_or(sent.issue_date, |period| period.to)
}

/// A bill says something, and asks for no less than nothing.
fn check_worth_sending(lines: &[BillLine], totals: &BillTotals, faults: &mut Faults) {
    if lines.is_empty() {
        let accepted =
            "progress beyond what was billed before, a deposit, a release or a back-charge";
        faults.push(Fault::new("/progress", "nothing to bill", accepted, None));
    } else if totals.with_tax.is_negative() {
        let found = format!("{} in all", totals.with_tax);
        let accepted = "a bill that asks for something; what an earlier bill charged too much, a deposit \
                        among it, is given back by a credit note for that bill";
        faults.push(Fault::new("", found, accepted, None));
    } else if totals.payable.is_negative() {
        let accepted = format!("at most the {} of this bill", totals.with_tax);
        faults.push(Fault::new("/paid", totals.paid.to_string(), accepted, None));
    }
}
