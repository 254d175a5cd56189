//! Random jobs, billed in random parts: nothing is lost or made.

use super::answer_of;
use super::sent::{credit, journal, request};
use crate::config;
use crate::worked::DEMO_JOBS;
use crossfall::billing::{Bill, make_journal};
use crossfall::quantity::money::{Amount, Currency};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::sync::LazyLock;

static ANSWERS: LazyLock<Vec<Value>> =
    LazyLock::new(|| DEMO_JOBS.iter().map(|(_, job)| answer_of(job)).collect());

/// A job billed in so many parts: shares to date, stored, retainage, deposit, change, back-charge.
#[derive(Debug, Clone)]
struct Story {
    answer: usize,
    by: &'static str,
    shares: Vec<u32>,
    stored: u32,
    retainage: u32,
    deposit: u32,
    change: i64,
    back: i64,
    tax: Option<u32>,
    agreed: Option<i64>,
    credits: Vec<u32>,
}

fn stories() -> impl Strategy<Value = Story> {
    let by = prop_oneof![Just("whole"), Just("class"), Just("line")];
    let first = (
        0..DEMO_JOBS.len(),
        by,
        prop::collection::vec(1..10_000_u32, 0..4),
    );
    let second = (
        0..5_000_u32,
        0..3_000_u32,
        0..4_000_u32,
        -50_000..90_000_i64,
    );
    let third = (
        0..5_000_i64,
        prop::option::of(1..2_500_u32),
        prop::option::of(100_000..9_000_000_i64),
        prop::collection::vec(0..10_000_u32, 0..3),
    );
    (first, second, third).prop_map(
        |(
            (answer, by, mut shares),
            (stored, retainage, deposit, change),
            (back, tax, agreed, credits),
        )| {
            shares.sort_unstable();
            Story {
                answer,
                by,
                shares,
                stored,
                retainage,
                deposit,
                change,
                back,
                tax,
                agreed,
                credits,
            }
        },
    )
}

fn percent(hundredths: u32) -> String {
    format!("{}.{:02} %", hundredths / 100, hundredths % 100)
}

fn cents(cents: i64) -> String {
    Amount::from_minor(cents, &Currency::USD).to_string()
}

impl Story {
    fn bills(&self) -> Vec<Bill> {
        let mut bills = Vec::new();
        if self.deposit > 0 {
            let more = json!({"deposit": {"percent": percent(self.deposit)}});
            self.add(&mut bills, more);
        }
        let shares = self.shares.iter().map(|share| (*share, false));
        for (share, last) in shares.chain([(10_000, true)]) {
            let mut progress = json!({"item": "all", "percent": percent(share)});
            // What is stored is in place with the next bill.
            if self.by == "whole" && !last && share < 9_000 {
                progress["stored"] = json!(cents(i64::from(self.stored) / 100));
            }
            let mut more = json!({"progress": [progress], "retainage": percent(self.retainage), "allow": ["less_than_before"]});
            if last {
                more["changes"] = json!([{"number": "CO-1", "description": "Found rock", "amount": cents(self.change)}]);
                more["back_charges"] =
                    json!([{"reason": "Clean-up", "amount": cents(self.back + 1)}]);
                more["release"] = json!({"all": true});
            }
            self.add(&mut bills, more);
        }
        bills
    }

    fn add(&self, bills: &mut Vec<Bill>, mut more: Value) {
        let earlier: Vec<&_> = bills
            .iter()
            .filter_map(|bill| bill.application.as_ref())
            .collect();
        more["earlier"] = json!(earlier);
        more["schedule"] = json!({"by": self.by});
        if let Some(rate) = self.tax {
            more["tax"] = json!({"category": "S", "rate": percent(rate)});
        }
        if let Some(agreed) = self.agreed {
            more["agreed"] = json!(cents(agreed));
        }
        let number = format!("INV-{}", bills.len() + 1);
        let sent = request(&ANSWERS[self.answer], &number, more);
        let made = crossfall::billing::make_invoice(&super::sent::read(&sent));
        // Parts that are too small for what comes off them are refused, and the story goes on without them.
        if let Ok(made) = made {
            bills.push(made);
            self.give_back(bills);
        }
    }

    /// Gives back a part of the first line of what was just billed, where the story says so.
    fn give_back(&self, bills: &mut Vec<Bill>) {
        let count = bills.iter().filter(|bill| !bill.is_credit()).count();
        let share = self.credits.get(count - 1).copied().unwrap_or_default();
        let Some(bill) = bills.last().filter(|_| share > 0) else {
            return;
        };
        let sent = json!({
            "number": format!("C-{count}"), "issue_date": "2026-06-30", "bill": bill, "reason": "Too early",
            "lines": [{"line": "1", "percent": percent(share)}]
        });
        if let Ok(made) = credit(&sent) {
            bills.push(made);
        }
    }
}

proptest! {
    #![proptest_config(config())]

    /// All bills of a job come to its contract sum with changes, less back-charges; their tax is that
    /// of their sum; each adds up; every journal comes to zero.
    #[test]
    fn bills_of_a_job_come_to_its_price(story in stories()) {
        let bills = story.bills();
        for bill in &bills {
            prop_assert!(bill.check("").is_ok());
            prop_assert!(bill.totals.with_tax >= Amount::ZERO);
            let again: Bill = serde_json::from_value(serde_json::to_value(bill).expect("written")).expect("read");
            prop_assert_eq!(&again, bill);
        }
        let last = bills.last().and_then(|bill| bill.application.clone()).expect("one at least");
        let billed: Amount = bills.iter().map(|bill| signed(bill, bill.totals.before_tax)).sum();
        let taxed: Amount = bills.iter().map(|bill| signed(bill, bill.totals.tax)).sum();
        prop_assert_eq!((billed, taxed), (last.billed, last.tax));
        if last.balance.is_zero() {
            let whole = last.contract_sum() - last.back_charges;
            prop_assert_eq!(billed, whole);
            let rate = last.taxes.first().map(|tax| tax.rate).unwrap_or_default();
            prop_assert_eq!(taxed, billed.percent(rate));
            if story.agreed.is_none() {
                let price = Amount::parse(ANSWERS[story.answer]["price"]["total"].as_str().expect("a total")).expect("an amount");
                prop_assert_eq!(last.contract, price);
            }
        }
        check_journal(&bills)?;
    }
}

/// A credit note gives back what it says.
fn signed(bill: &Bill, amount: Amount) -> Amount {
    if bill.is_credit() { -amount } else { amount }
}

fn check_journal(bills: &[Bill]) -> Result<(), TestCaseError> {
    let entries: Vec<Value> = bills.iter().map(|bill| json!({"bill": bill})).collect();
    let sent = json!({"accounts": {
        "receivable": "Assets:Receivable", "retainage": "Assets:Retainage", "income": "Income:Ramps",
        "tax": "Liabilities:Tax", "deposits": "Liabilities:Deposits", "back_charges": "Expenses:Back"
    }, "entries": entries});
    let made = make_journal(&journal(&sent)).expect("every account is named");
    let mut held = Amount::ZERO;
    for (entry, bill) in made.entries.iter().zip(bills) {
        let marked = entry
            .postings
            .iter()
            .filter(|posting| posting.tax_code.is_some() && posting.account != "Liabilities:Tax");
        let marked: Amount = marked.map(crossfall::billing::Posting::signed).sum();
        prop_assert_eq!(-marked, signed(bill, bill.tax.taxable));
        let sum: Amount = entry
            .postings
            .iter()
            .map(crossfall::billing::Posting::signed)
            .sum();
        prop_assert!(sum.is_zero());
        let one_side = |posting: &crossfall::billing::Posting| {
            posting.debit.is_some() != posting.credit.is_some() && !posting.signed().is_zero()
        };
        prop_assert!(entry.postings.iter().all(one_side));
        let retained = entry
            .postings
            .iter()
            .filter(|posting| posting.account == "Assets:Retainage");
        held += retained.map(crossfall::billing::Posting::signed).sum();
    }
    let last = bills
        .last()
        .and_then(|bill| bill.application.clone())
        .expect("one at least");
    prop_assert_eq!(held, last.held());
    Ok(())
}

/// A story by itself, so that a change of the generator does not leave the law without cases.
#[test]
fn a_job_is_billed_to_its_end() {
    let story = Story {
        answer: 0,
        by: "line",
        shares: vec![3_333, 6_667],
        stored: 0,
        retainage: 1_000,
        deposit: 1_000,
        change: 40_001,
        back: 84,
        tax: Some(725),
        agreed: None,
        credits: vec![0, 2_500, 5_000],
    };
    let bills = story.bills();
    assert_eq!(bills.len(), 6);
    let last = bills[5]
        .application
        .as_ref()
        .expect("it follows a schedule");
    assert!(last.balance.is_zero() && last.deposit_left().is_zero());
    assert_eq!(last.tax, last.billed.percent(last.taxes[0].rate));
}
