//! What no proposal is made of: each with its place and what to do.

use super::{refused, request_of, small_request};
use crate::worked::DEMO_JOBS;
use serde_json::{Value, json};

fn check_refused(request: &Value, wanted: &[(&str, &str)]) {
    let faults = refused(request);
    let found: Vec<&str> = faults
        .0
        .iter()
        .map(|fault| fault.pointer.as_str())
        .collect();
    let pointers: Vec<&str> = wanted.iter().map(|(pointer, _)| *pointer).collect();
    assert_eq!(found, pointers, "{faults}");
    for (fault, (_, accepted)) in faults.0.iter().zip(wanted) {
        assert!(fault.accepted.contains(accepted), "{fault:?}");
    }
}

#[test]
fn no_lump_sum_leaves_a_line_out() {
    let mut request = small_request("USD", "100.00");
    let price = &mut request["estimate"]["price"];
    price["unpriced"] = json!([{"code": "brass-rail", "description": "A rail", "why": "no price"}]);
    price["total"] = Value::Null;
    check_refused(&request, &[("/estimate/price/unpriced", "`budget` true")]);
    let faults = refused(&request);
    assert_eq!(faults.0[0].found, "1 line without a price: brass-rail");
}

#[test]
fn a_drawing_asks_for_the_job() {
    let mut request = request_of(DEMO_JOBS[0].1);
    request["estimate"]
        .as_object_mut()
        .expect("an answer")
        .remove("job");
    check_refused(&request, &[("/estimate/job", "`?job=true`")]);
    request["drawing"] = json!(false);
    assert!(crossfall::proposal::propose(&super::read(&request)).is_ok());
}

#[test]
fn an_answer_that_does_not_add_up_is_no_offer() {
    let mut request = small_request("USD", "100.00");
    request["estimate"]["price"]["total"] = json!("100.01");
    check_refused(&request, &[("/estimate/price/total", "100.00")]);
}

#[test]
fn every_fault_is_told_at_once() {
    let mut request = small_request("JPY", "100");
    request["seller"]["name"] = json!(" ");
    request["number"] = json!("(7)");
    request["valid_days"] = json!(0);
    request["alternates"] = json!([{"description": "x", "amount": "1.50"}]);
    request["allowances"] = json!([{"description": "x", "amount": "-1"}]);
    request["payment"] = json!({"retained": "60 %", "billing_day": 32});
    request["terms"] = json!(["a\nb"]);
    check_refused(
        &request,
        &[
            ("/seller/name", "a text"),
            ("/number", "letters and digits"),
            ("/valid_days", "from 1 to 365"),
            ("/terms/0", "control characters"),
            ("/alternates/0/amount", "0 decimals"),
            ("/allowances/0/amount", "the price contains"),
            ("/payment/retained", "0 % to 50 %"),
            ("/payment/billing_day", "from 1 to 31"),
        ],
    );
}

#[test]
fn allowances_are_inside_the_price() {
    let mut request = small_request("USD", "100.00");
    request["allowances"] = json!([{"description": "x", "amount": "100.00"}]);
    assert!(crossfall::proposal::propose(&super::read(&request)).is_ok());
    request["allowances"][0]["amount"] = json!("100.01");
    check_refused(&request, &[("/allowances", "inside the price")]);
}

#[test]
fn an_alternate_changes_the_price_and_takes_off_no_more_than_it() {
    let mut request = small_request("USD", "100.00");
    request["alternates"] = json!([{"description": "x", "amount": "-100.00"}]);
    assert!(crossfall::proposal::propose(&super::read(&request)).is_ok());
    for (amount, accepted) in [
        ("-100.01", "no more than the price, 100.00"),
        ("0.00", "adds to the price"),
    ] {
        request["alternates"][0]["amount"] = json!(amount);
        check_refused(&request, &[("/alternates/0/amount", accepted)]);
    }
}

/// A job whose first day on site is 2026-05-11, at prices of 2026-05-04.
#[test]
fn a_proposal_is_made_before_the_work_and_after_its_papers() {
    let mut request = request_of(DEMO_JOBS[0].1);
    request["date"] = json!("2026-05-11");
    assert!(crossfall::proposal::propose(&super::read(&request)).is_ok());
    for late in ["2026-05-12", "2027-01-01", "9999-12-31"] {
        request["date"] = json!(late);
        check_refused(&request, &[("/date", "first day on site, 2026-05-11")]);
        assert_eq!(refused(&request).0[0].found, late);
    }
    // Without a date it is that of the prices.
    request["date"] = Value::Null;
    request["estimate"]["computed_with"]["as_of"] = json!("2026-05-12");
    check_refused(&request, &[("/date", "first day on site, 2026-05-11")]);
    assert!(refused(&request).0[0].found.contains("prices, 2026-05-12"));
    let mut request = small_request("USD", "100.00");
    request["documents"] = json!([
        {"name": "Of the day", "date": "2026-05-04"}, {"name": "Undated"},
        {"name": "Of the next", "date": "2026-05-05"},
    ]);
    check_refused(
        &request,
        &[("/documents/2/date", "date of the proposal, 2026-05-04")],
    );
    // Days without visits still have to be days that can be written.
    request["documents"] = json!([]);
    request["date"] = json!("9999-12-01");
    assert!(crossfall::proposal::propose(&super::read(&request)).is_ok());
    request["date"] = json!("9999-12-02");
    check_refused(&request, &[("/date", "before the year 9999")]);
}

#[test]
fn a_fault_of_the_job_is_told_where_it_stands() {
    let mut request = request_of(DEMO_JOBS[0].1);
    request["estimate"]["job"]["slab"]["thickness"] = json!("5 ft");
    let faults = refused(&request);
    assert!(
        faults.0[0].pointer.starts_with("/estimate/job/slab"),
        "{faults}"
    );
}
