//! Journals of invented jobs, balanced by hledger, by ledger and by beancount.
//!
//! Invariant: each program reads what we wrote for it, and reckons the balances that the journal's own figures give.

use super::ask;
use super::stories::{bills, currency, stories};
use crossfall::billing::{Journal, JournalRequest, make_journal};
use crossfall::documents::ledger::{write_beancount, write_ledger};
use crossfall::quantity::money::Amount;
use serde_json::{Value, json};
use std::collections::BTreeMap;

fn accounts() -> Value {
    json!({
        "receivable": "Assets:Receivable", "retainage": "Assets:Retainage", "income": "Income:Ramps",
        "tax": "Liabilities:Tax", "deposits": "Liabilities:Deposits", "back_charges": "Expenses:BackCharges",
        "cash": "Assets:Bank", "budget": "Equity:Budget",
        "cost": {"material": "Expenses:Material", "labour": "Expenses:Labour", "equipment": "Expenses:Equipment",
                 "fee": "Expenses:Fees", "sub": "Expenses:Subs"}
    })
}

/// Every bill, a payment of it, and the budget of each job.
fn journal() -> Journal {
    let mut entries = Vec::new();
    for seed in 0..stories() {
        let code = currency(seed);
        let (answer, bills) = bills(seed, &code);
        for bill in &bills {
            entries.push(json!({"bill": bill}));
            if !bill.is_credit() && !bill.totals.payable.is_zero() {
                entries.push(json!({"payment": {"bill": bill.number, "date": "2026-08-01", "amount": bill.totals.payable, "currency": code, "from": bill.buyer.name}}));
            }
        }
        entries.push(json!({"budget": {"date": "2026-05-04", "number": format!("B-{seed}"), "estimate": answer}}));
    }
    entries.truncate(1000);
    let sent = json!({"accounts": accounts(), "entries": entries});
    let sent: JournalRequest = serde_json::from_value(sent).expect("it can be read");
    make_journal(&sent).unwrap_or_else(|faults| panic!("{faults}"))
}

fn balances(journal: &Journal) -> Value {
    let mut sums: BTreeMap<(&str, &str), Amount> = BTreeMap::new();
    for entry in &journal.entries {
        for posting in &entry.postings {
            *sums
                .entry((&posting.account, entry.currency.code()))
                .or_default() += posting.signed();
        }
    }
    let mut told = json!({});
    for ((account, code), sum) in sums.iter().filter(|(_, sum)| !sum.is_zero()) {
        told[account][code] = json!(sum);
    }
    told
}

fn same(ours: &Value, theirs: &Value) -> bool {
    let flat = |value: &Value| -> BTreeMap<(String, String), Amount> {
        let accounts = value.as_object().expect("accounts").iter();
        accounts
            .flat_map(|(account, sums)| {
                let sums = sums.as_object().expect("currencies").iter();
                sums.map(|(code, sum)| {
                    let sum = Amount::parse(sum.as_str().expect("a text")).expect("an amount");
                    ((account.clone(), code.clone()), sum)
                })
            })
            .collect()
    };
    flat(ours) == flat(theirs)
}

#[test]
fn three_programs_balance_every_journal_alike() {
    let journal = journal();
    assert!(journal.entries.len() > 100);
    let ours = balances(&journal);
    let sent =
        json!({"ledger": write_ledger(&journal), "beancount": write_beancount(&journal, true)});
    let told = ask("ledgers.py", &sent);
    for program in ["hledger", "ledger", "beancount"] {
        let theirs = &told[program];
        assert!(
            theirs.get("refused").is_none(),
            "{program}: {}",
            theirs["refused"]
        );
        assert!(same(&ours, theirs), "{program}: {ours:#} is not {theirs:#}");
    }
}

#[test]
fn a_journal_that_does_not_balance_is_refused_by_all_three() {
    let mut journal = journal();
    journal.entries.truncate(1);
    let posting = &mut journal.entries[0].postings[0];
    let side = posting
        .debit
        .as_mut()
        .or(posting.credit.as_mut())
        .expect("a side");
    *side += Amount::parse("1").expect("an amount");
    let sent =
        json!({"ledger": write_ledger(&journal), "beancount": write_beancount(&journal, true)});
    let told = ask("ledgers.py", &sent);
    for program in ["hledger", "ledger", "beancount"] {
        assert!(told[program].get("refused").is_some(), "{program} took it");
    }
}
