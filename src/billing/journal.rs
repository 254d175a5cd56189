//! Journals: bills, payments and budgets as postings to the caller's accounts.
//!
//! Invariants: the debits of an entry are its credits; no posting is empty, negative or on both sides. Absent: how a ledger
//! writes it, and what was posted before.

use super::account::{AccountsRequest, Role};
use super::bill::{Bill, BillLine, LineKind};
use super::invoice::check_complete;
use super::posting::{
    BudgetRequest, Entry, EntryRequest, Journal, JournalRequest, PaymentRequest, Posting,
};
use crate::answered::AnsweredStepName;
use crate::answered::held;
use crate::answered::{LINE_AT_MOST, check_number, check_text};
use crate::catalog::Class;
use crate::quantity::money::{Amount, Currency};
use crate::quantity::{Fault, Faults};

/// Most entries of a journal.
const ENTRIES_AT_MOST: usize = 1000;

/// The journal that is asked for.
///
/// # Errors
/// Everything that is wrong with what was sent, accounts that are posted to and not named among it.
pub fn make_journal(sent: &JournalRequest) -> Result<Journal, Faults> {
    let mut faults = Faults::default();
    sent.accounts.check(&mut faults);
    let count = sent.entries.len();
    if count == 0 || count > ENTRIES_AT_MOST {
        let accepted = format!("1 to {ENTRIES_AT_MOST} entries");
        faults.push(Fault::new("/entries", count.to_string(), accepted, None));
    }
    let mut entries: Vec<Entry> = Vec::new();
    for (index, asked) in sent.entries.iter().enumerate().take(ENTRIES_AT_MOST) {
        let at = format!("/entries/{index}");
        let Some(entry) = make_entry(asked, &sent.accounts, (&at, &mut faults)) else {
            continue;
        };
        let number = |asked: &EntryRequest| asked.bill.as_ref().map(|bill| bill.number.clone());
        let own = number(asked);
        let mut before = sent.entries.iter().take(index);
        let again = own.is_some() && before.any(|other| number(other) == own);
        if again || entries.iter().any(|other| other.id == entry.id) {
            let accepted = "each document once, and each number";
            faults.push(Fault::new(at, &entry.document, accepted, None));
        }
        entries.push(entry);
    }
    faults.or(Journal { entries })
}

fn make_entry(
    asked: &EntryRequest,
    accounts: &AccountsRequest,
    (at, faults): (&str, &mut Faults),
) -> Option<Entry> {
    match (&asked.bill, &asked.payment, &asked.budget) {
        (Some(bill), None, None) => post_bill(bill, accounts, (&format!("{at}/bill"), faults)),
        (None, Some(payment), None) => Some(post_payment(
            payment,
            accounts,
            (&format!("{at}/payment"), faults),
        )),
        (None, None, Some(budget)) => {
            post_budget(budget, accounts, (&format!("{at}/budget"), faults))
        }
        _ => {
            let accepted = "one of `bill`, `payment` and `budget`";
            faults.push(Fault::new(at, "none or several", accepted, None));
            None
        }
    }
}

/// Postings of one entry, as they come together.
struct Sides {
    postings: Vec<Posting>,
    /// Turned around for a credit note.
    turned: bool,
}

impl Sides {
    fn debit(&mut self, account: String, description: &str, amount: Amount) {
        let amount = if self.turned { -amount } else { amount };
        if amount.is_zero() {
            return;
        }
        let (debit, credit) = if !amount.is_negative() {
            (Some(amount), None)
        } else {
            (None, Some(-amount))
        };
        self.postings.push(Posting {
            account,
            description: description.to_owned(),
            debit,
            credit,
            tax_code: None,
            cost_code: None,
        });
    }

    fn credit(&mut self, account: String, description: &str, amount: Amount) {
        self.debit(account, description, -amount);
    }

    /// Marks what was posted last.
    fn mark(&mut self, tax_code: Option<&str>, cost_code: Option<&String>) {
        if let Some(last) = self.postings.last_mut() {
            last.tax_code = tax_code.map(str::to_owned);
            last.cost_code = cost_code.cloned();
        }
    }

    fn sum(&self, currency: &Currency) -> Amount {
        let debits = self.postings.iter().filter_map(|posting| posting.debit);
        debits.sum::<Amount>().in_currency(currency)
    }
}

fn post_bill(
    bill: &Bill,
    accounts: &AccountsRequest,
    (at, faults): (&str, &mut Faults),
) -> Option<Entry> {
    if let Err(more) = bill.check_returned(at) {
        faults.0.extend(more.0);
        return None;
    }
    let description = describe(bill);
    let sides = sides_of(bill, (accounts, &description), faults);
    Some(Entry {
        id: bill.id.clone(),
        date: bill.issue_date,
        payee: bill.buyer.name.clone(),
        description,
        document: bill.number.clone(),
        job: bill.job.clone(),
        currency: bill.currency,
        sum: sides.sum(&bill.currency),
        postings: sides.postings,
    })
}

fn sides_of(
    bill: &Bill,
    (accounts, description): (&AccountsRequest, &str),
    faults: &mut Faults,
) -> Sides {
    let mut sides = Sides {
        postings: Vec::new(),
        turned: bill.is_credit(),
    };
    let receivable = accounts.of(Role::Receivable, faults);
    sides.debit(receivable, description, bill.totals.with_tax);
    let category = bill.tax.category.word();
    for held in bill.allowances.iter().filter(|held| !held.amount.is_zero()) {
        let retainage = accounts.of(Role::Retainage, faults);
        sides.debit(retainage, &held.reason, held.amount);
        // So that what is marked comes to what the tax is reckoned on.
        sides.mark(Some(category), None);
    }
    for line in bill.lines.iter().filter(|line| !line.amount.is_zero()) {
        let account = account_of(line, accounts, faults);
        sides.credit(account, &line.description, line.amount);
        sides.mark(Some(category), line.cost_code.as_ref());
    }
    if !bill.tax.amount.is_zero() {
        let tax = format!("Tax, {}", bill.tax.rate);
        sides.credit(accounts.of(Role::Tax, faults), &tax, bill.tax.amount);
        sides.mark(Some(category), None);
    }
    sides
}

fn account_of(line: &BillLine, accounts: &AccountsRequest, faults: &mut Faults) -> String {
    match line.kind {
        LineKind::Work | LineKind::Change => {
            let words = [line.item.as_deref(), line.cost_code.as_deref()];
            accounts.income_of(words, faults)
        }
        LineKind::BackCharge => accounts.of(Role::BackCharges, faults),
        LineKind::Deposit | LineKind::DepositApplied => accounts.of(Role::Deposits, faults),
        LineKind::RetainageReleased => accounts.of(Role::Retainage, faults),
    }
}

fn describe(bill: &Bill) -> String {
    let what = match bill.kind {
        super::BillKind::Invoice => "Invoice",
        super::BillKind::Deposit => "Deposit",
        super::BillKind::CreditNote => "Credit note",
    };
    format!("{what} {}, {}", bill.number, bill.job)
}

fn post_payment(
    payment: &PaymentRequest,
    accounts: &AccountsRequest,
    (at, faults): (&str, &mut Faults),
) -> Entry {
    let amount = check_payment(payment, (at, faults));
    let mut sides = Sides {
        postings: Vec::new(),
        turned: false,
    };
    let reference = payment.reference.as_deref().unwrap_or_default();
    let description = format!("Payment of {} {reference}", payment.bill);
    let description = description.trim_end().to_owned();
    sides.debit(accounts.of(Role::Cash, faults), &description, amount);
    sides.credit(accounts.of(Role::Receivable, faults), &description, amount);
    let id = [
        &payment.bill,
        &payment.date.to_string(),
        &amount.to_string(),
        reference,
    ]
    .join(" ");
    Entry {
        id: format!("payment {id}").trim_end().replace(' ', "-"),
        date: payment.date,
        payee: payment.from.clone().unwrap_or_default(),
        description,
        document: payment.bill.clone(),
        job: payment.job.clone().unwrap_or_default(),
        currency: payment.currency,
        sum: amount,
        postings: sides.postings,
    }
}

/// The amount of a payment whose texts can be written.
fn check_payment(payment: &PaymentRequest, (at, faults): (&str, &mut Faults)) -> Amount {
    check_number(&payment.bill, (&format!("{at}/bill"), faults));
    for (field, text) in [
        ("reference", &payment.reference),
        ("job", &payment.job),
        ("from", &payment.from),
    ] {
        if let Some(text) = text {
            check_text(text, LINE_AT_MOST, (&format!("{at}/{field}"), faults));
        }
    }
    let place = format!("{at}/amount");
    let amount = held(payment.amount, &payment.currency, (&place, faults));
    if amount.minor() <= 0 {
        let found = amount.to_string();
        faults.push(Fault::new(
            place,
            found,
            "a positive amount",
            Some("500.00"),
        ));
    }
    amount
}

fn post_budget(
    budget: &BudgetRequest,
    accounts: &AccountsRequest,
    (at, faults): (&str, &mut Faults),
) -> Option<Entry> {
    check_number(&budget.number, (&format!("{at}/number"), faults));
    let estimate = format!("{at}/estimate");
    let checked = match budget.estimate.check(&estimate) {
        Ok(checked) => checked,
        Err(more) => {
            faults.0.extend(more.0);
            return None;
        }
    };
    check_complete(&checked, &estimate, faults);
    let mut sides = Sides {
        postings: Vec::new(),
        turned: false,
    };
    for line in checked.lines.iter().filter(|line| !line.extended.is_zero()) {
        let account = accounts.cost_of(line.class, faults);
        sides.debit(account, &line.description, line.extended);
        sides.mark(None, Some(&line.code));
    }
    let tax = checked.step(AnsweredStepName::TaxPaid);
    if !tax.is_zero() {
        sides.debit(
            accounts.cost_of(Class::Material, faults),
            "Sales tax on materials",
            tax,
        );
    }
    let cost = checked.step(AnsweredStepName::Direct) + tax;
    sides.credit(accounts.of(Role::Budget, faults), "Budgeted cost", cost);
    Some(Entry {
        id: format!("budget-{}-{}", budget.number, checked.fingerprint).replace(' ', "-"),
        date: budget.date,
        payee: String::new(),
        description: format!("Budget of {}", checked.name),
        document: budget.number.clone(),
        job: checked.name.clone(),
        currency: checked.currency,
        sum: sides.sum(&checked.currency),
        postings: sides.postings,
    })
}
