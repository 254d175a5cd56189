//! From what was sent to what happened, line by line, with every fault.
//!
//! Invariants: a bill that no line takes is kept under what was not estimated; a quantity or an hour
//! that no line takes and that has no price of its own is a fault. Absent: what follows of it.

use super::line::Account;
use super::sent::{ActualRequest, BillRequest, UsedRequest, WorkedRequest};
use crate::answered::Checked;
use crate::billing::check_text;
use crate::catalog::Class;
use crate::quantity::money::{Amount, Currency, Decimal4, extend};
use crate::quantity::{Bounds, CountBounds, Fault, Faults, Span};
use serde::Serialize;
use std::collections::BTreeSet;

const ROWS: CountBounds = CountBounds::new("rows", 0, 5000);
const HOURS: Bounds<Span> = Bounds::new(
    "hours",
    Span::from_minutes(1.0),
    Span::from_minutes(600_000.0),
)
.usually(Span::from_minutes(60.0), Span::from_minutes(3000.0));
const TEXT_AT_MOST: usize = 200;
/// Codes that a message lists, at most.
const CODES_AT_MOST: usize = 40;

/// A cost that no line of the estimate takes.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct NotEstimated {
    /// JSON Pointer into the request.
    pub of: String,
    /// Item code, where one was sent.
    pub code: Option<String>,
    /// Class, where it is known.
    pub class: Option<Class>,
    /// Who sent the bill; null for hours.
    pub supplier: Option<String>,
    /// Number of the bill; null for hours.
    pub document: Option<String>,
    /// What it cost.
    pub amount: Amount,
    /// Why no line takes it.
    pub why: String,
}

/// What happened.
pub(super) struct Happened {
    pub(super) accounts: Vec<Account>,
    pub(super) not_estimated: Vec<NotEstimated>,
}

pub(super) struct Reader<'a> {
    currency: Currency,
    happened: Happened,
    /// To which account each line of the answer belongs.
    account_of: Vec<usize>,
    faults: &'a mut Faults,
}

/// Reads what was sent into the lines of a checked answer.
pub(super) fn read_actual(sent: &ActualRequest, answer: &Checked, faults: &mut Faults) -> Happened {
    let mut reader = Reader::of(answer, faults);
    let used = sent.quantities.as_deref().unwrap_or_default();
    let worked = sent.hours.as_deref().unwrap_or_default();
    let bills = sent.bills.as_deref().unwrap_or_default();
    for (name, rows) in [
        ("quantities", used.len()),
        ("hours", worked.len()),
        ("bills", bills.len()),
    ] {
        let many = u32::try_from(rows).unwrap_or(u32::MAX);
        let fault = ROWS.check(many, format!("/actual/{name}")).err();
        reader.faults.0.extend(fault);
    }
    let most = ROWS.most as usize;
    for (index, used) in used.iter().take(most).enumerate() {
        reader.take_used(used, &format!("/actual/quantities/{index}"));
    }
    for (index, worked) in worked.iter().take(most).enumerate() {
        reader.take_worked(worked, &format!("/actual/hours/{index}"));
    }
    let mut seen = BTreeSet::new();
    for (index, bill) in bills.iter().take(most).enumerate() {
        if !seen.insert(position_of(bill)) {
            let accepted = "each position of a bill once; the sum of those that are alike";
            reader.fault(format!("/actual/bills/{index}"), &bill.document, accepted);
        }
        reader.take_bill(bill, &format!("/actual/bills/{index}"));
    }
    reader.happened
}

/// What tells one position of a bill from another.
fn position_of(bill: &BillRequest) -> impl Ord {
    let what = (bill.code.clone(), bill.class, bill.quantity);
    (
        bill.supplier.clone(),
        bill.document.clone(),
        what,
        bill.amount,
    )
}

impl<'a> Reader<'a> {
    fn of(answer: &Checked, faults: &'a mut Faults) -> Self {
        let mut accounts: Vec<Account> = Vec::new();
        let mut account_of = Vec::new();
        for line in &answer.lines {
            let known = accounts.iter().position(|account| account.takes(line));
            if let Some(account) = known.and_then(|at| accounts.get_mut(at)) {
                account.quantity = account.quantity + line.quantity;
                account.estimated += line.extended;
            }
            account_of.push(known.unwrap_or(accounts.len()));
            if known.is_none() {
                accounts.push(Account::of(line));
            }
        }
        Self {
            currency: answer.currency,
            happened: Happened {
                accounts,
                not_estimated: Vec::new(),
            },
            account_of,
            faults,
        }
    }

    fn fault(&mut self, at: String, found: &str, accepted: &str) {
        self.faults.push(Fault::new(at, found, accepted, None));
    }

    fn by_code(&mut self, code: &str) -> Option<&mut Account> {
        let mut accounts = self.happened.accounts.iter_mut();
        accounts.find(|account| account.code == code)
    }

    /// The account of a line of the answer.
    fn by_pointer(&mut self, of: &str) -> Option<&mut Account> {
        let index: usize = of.strip_prefix("/price/lines/")?.parse().ok()?;
        let account = *self.account_of.get(index)?;
        self.happened.accounts.get_mut(account)
    }

    fn codes(&self) -> String {
        let accounts = self.happened.accounts.iter().take(CODES_AT_MOST);
        let codes: Vec<&str> = accounts.map(|account| account.code.as_str()).collect();
        codes.join(", ")
    }

    fn take_used(&mut self, used: &UsedRequest, at: &str) {
        if used.quantity < Decimal4::ZERO {
            let found = used.quantity.to_string();
            self.fault(
                format!("{at}/quantity"),
                &found,
                "a quantity of zero or more",
            );
        }
        let account = match (&used.code, &used.of) {
            (Some(code), None) => self.by_code(code),
            (None, Some(of)) => self.by_pointer(of),
            _ => return self.fault(at.to_owned(), "both or neither", "one of `code` and `of`"),
        };
        match account {
            Some(account) if account.used.is_none() => account.used = Some(used.quantity),
            Some(_) => self.fault(
                at.to_owned(),
                "a second quantity of the line",
                "one for a line",
            ),
            None => {
                let found = used.code.as_ref().or(used.of.as_ref());
                let found = found.cloned().unwrap_or_default();
                let accepted = format!("a price line of the estimate: {}", self.codes());
                self.fault(at.to_owned(), &found, &accepted);
            }
        }
    }

    fn take_worked(&mut self, worked: &WorkedRequest, at: &str) {
        if let Err(fault) = HOURS.check(worked.hours, format!("{at}/hours")) {
            return self.faults.push(fault);
        }
        // Within the bounds this is never none.
        let hours = Decimal4::nearest(worked.hours.hours(), 4).unwrap_or_default();
        if let Some(paid) = worked.paid.filter(|paid| paid.ten_thousandths() < 0) {
            let found = paid.to_string();
            return self.fault(format!("{at}/paid"), &found, "a price of zero or more");
        }
        let class = worked.class.as_str();
        let code = format!("labour-{class}");
        let currency = self.currency;
        if let Some(account) = self.by_code(&code) {
            let rate = worked.paid.unwrap_or(account.unit_price);
            account.hours.push((hours, extend(hours, rate, &currency)));
            return;
        }
        let Some(paid) = worked.paid else {
            let accepted = format!("`paid`, since the estimate has no hour of {class}");
            return self.fault(format!("{at}/paid"), "nothing", &accepted);
        };
        self.happened.not_estimated.push(NotEstimated {
            of: at.to_owned(),
            code: Some(code),
            class: Some(Class::Labour),
            supplier: None,
            document: None,
            amount: extend(hours, paid, &currency),
            why: "the estimate has no such hour".to_owned(),
        });
    }

    fn take_bill(&mut self, bill: &BillRequest, at: &str) {
        for (field, text) in [("supplier", &bill.supplier), ("document", &bill.document)] {
            check_text(text, TEXT_AT_MOST, (&format!("{at}/{field}"), self.faults));
        }
        self.check_amount(bill.amount, &format!("{at}/amount"));
        if let Some(quantity) = bill.quantity.filter(|quantity| *quantity < Decimal4::ZERO) {
            let found = quantity.to_string();
            self.fault(
                format!("{at}/quantity"),
                &found,
                "a quantity of zero or more",
            );
        }
        let amount = Amount::zero(&self.currency) + bill.amount.in_currency(&self.currency);
        let why = match (&bill.code, bill.class) {
            (Some(code), None) => match self.by_code(code) {
                Some(account) => return account.bills.push((amount, bill.quantity)),
                None => "the estimate has no line of this code",
            },
            (None, Some(_)) => "the bill names a class and no line",
            _ => {
                return self.fault(
                    at.to_owned(),
                    "both or neither",
                    "one of `code` and `class`",
                );
            }
        };
        self.happened.not_estimated.push(NotEstimated {
            of: at.to_owned(),
            code: bill.code.clone(),
            class: bill.class,
            supplier: Some(bill.supplier.clone()),
            document: Some(bill.document.clone()),
            amount,
            why: why.to_owned(),
        });
    }

    fn check_amount(&mut self, amount: Amount, at: &str) {
        if let Some(fault) = amount_fault(amount, &self.currency, at) {
            self.faults.push(fault);
        }
    }
}

/// What is wrong with an amount that was sent.
pub(super) fn amount_fault(amount: Amount, currency: &Currency, at: &str) -> Option<Fault> {
    let places = currency.exponent();
    let below = amount < Amount::ZERO;
    if !below && amount.in_currency(currency) == amount {
        return None;
    }
    let accepted =
        format!("an amount of zero or more, with at most {places} decimals, as {currency} has");
    Some(Fault::new(at, amount.to_string(), accepted, None))
}
