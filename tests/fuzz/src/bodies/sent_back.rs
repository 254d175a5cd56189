//! Answers sent back with a wish for a document, and whatever else is read and told within one call.
//!
//! Invariants: a refusal has faults; a bill that is made adds up, is read again as itself, and is written.
//! The input is a letter for the call and its body.

use super::bill::on_paper;
use super::flow::{check_finite, demo_list, read};
use crossfall::billing::{
    Bill, CreditRequest, InvoiceRequest, JournalRequest, QuotationRequest, make_credit_note,
    make_invoice, make_journal, make_quotation,
};
use crossfall::cost::{JobCostRequest, tell_cost};
use crossfall::documents::drawing::Paper;
use crossfall::documents::ledger::{
    write_beancount, write_bill_lines, write_ledger, write_postings,
};
use crossfall::documents::ubl::{write_bill, write_quotation};
use crossfall::documents::{
    Drawn, compose_bill, compose_proposal, compose_quotation, write_job_cost, write_quotation_lines,
};
use crossfall::loads::{LoadPlanRequest, plan_loads, read_request};
use crossfall::proposal::{ProposalRequest, propose};
use crossfall::quantity::{Faults, System};

/// Trials of one plan of loads: fewer than the service's, so that an input ends soon.
const TRIALS: u64 = 20_000;

/// A letter and a body.
pub fn sent_back(bytes: &[u8]) {
    let Some((letter, body)) = bytes.split_first() else {
        return;
    };
    match letter {
        b'i' => invoice(body),
        b'c' => credit(body),
        b'j' => journal(body),
        b'q' => quotation(body),
        b'p' => proposal(body),
        b'k' => cost(body),
        b'l' => loads(body),
        _ => {}
    }
}

fn told<T>(made: Result<T, Faults>) -> Option<T> {
    match made {
        Ok(made) => Some(made),
        Err(faults) => {
            assert!(!faults.is_empty(), "a refusal without a fault");
            None
        }
    }
}

fn invoice(body: &[u8]) {
    if let Some(sent) = read::<InvoiceRequest>(body) {
        told(make_invoice(&sent)).inspect(check_bill);
    }
}

fn credit(body: &[u8]) {
    if let Some(sent) = read::<CreditRequest>(body) {
        told(make_credit_note(&sent)).inspect(check_bill);
    }
}

fn check_bill(bill: &Bill) {
    let faults = bill.check("").err().unwrap_or_default();
    assert!(faults.is_empty(), "our own bill does not add up: {faults}");
    let text = serde_json::to_string(bill).expect("a bill can be written");
    let again: Bill = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error}: {text}"));
    assert_eq!(&again, bill, "a bill comes back as another");
    if let Ok(xml) = write_bill(bill, "/bill") {
        super::papers::check_markup(&xml);
    }
    write_bill_lines(bill).expect("memory takes it");
    on_paper(&compose_bill(bill, None));
}

fn journal(body: &[u8]) {
    let Some(sent) = read::<JournalRequest>(body) else {
        return;
    };
    if let Some(journal) = told(make_journal(&sent)) {
        for posted in [write_ledger(&journal), write_beancount(&journal, true)] {
            assert!(!posted.contains('\r'));
        }
        write_postings(&journal).expect("memory takes it");
    }
}

fn quotation(body: &[u8]) {
    let Some(sent) = read::<QuotationRequest>(body) else {
        return;
    };
    if let Some(quotation) = told(make_quotation(&sent)) {
        super::papers::check_markup(&write_quotation(&quotation));
        write_quotation_lines(&quotation).expect("memory takes it");
        on_paper(&compose_quotation(&quotation, None));
    }
}

fn proposal(body: &[u8]) {
    let Some(sent) = read::<ProposalRequest>(body) else {
        return;
    };
    if let Some((proposal, site)) = told(propose(&sent)) {
        check_finite(&proposal);
        let drawn = Drawn {
            subject: None,
            system: System::Us,
            paper: Paper::Letter,
        };
        on_paper(&compose_proposal(&proposal, None, drawn));
        drop(site);
    }
}

fn cost(body: &[u8]) {
    if let Some(sent) = read::<JobCostRequest>(body)
        && let Some(told) = told(tell_cost(&sent))
    {
        check_finite(&told);
        write_job_cost(&told);
    }
}

fn loads(body: &[u8]) {
    if let Some(sent) = read::<LoadPlanRequest>(body)
        && let Some(read) = told(read_request(&sent, Some(demo_list())))
    {
        check_finite(&plan_loads(&read.asked, TRIALS));
    }
}
