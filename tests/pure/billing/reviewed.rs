//! What a review found, each with the figures that it was found by.

use super::by_hand::application;
use super::sent::{amount, bill, credit, places, refused, request, round};
use crossfall::billing::{Bill, JournalRequest};
use crossfall::quantity::Faults;
use serde_json::{Value, json};

#[test]
fn a_rate_that_changes_midway_taxes_each_bill_once() {
    let answer = round(None);
    let taxed = |number: &str, category: Value, share: &str, earlier: &[&Bill]| {
        let earlier: Vec<Value> = earlier.iter().map(|bill| application(bill)).collect();
        bill(&request(
            &answer,
            number,
            json!({
                "agreed": "1000.00", "earlier": earlier, "tax": category, "progress": [{"item": "1", "percent": share}]
            }),
        ))
    };
    let at = |rate: &str| json!({"category": "S", "rate": rate});
    let first = taxed("1", at("5 %"), "30 %", &[]);
    let second = taxed("2", at("10 %"), "60 %", &[&first]);
    let third = taxed("3", at("10 %"), "100 %", &[&first, &second]);
    let taxes = [&first, &second, &third].map(|bill| bill.totals.tax.to_string());
    assert_eq!(taxes, ["15.00", "30.00", "40.00"]);
    let exempt = taxed(
        "2",
        json!({"category": "E", "reason": "Certificate"}),
        "60 %",
        &[&first],
    );
    let again = taxed(
        "3",
        json!({"category": "E", "reason": "Certificate"}),
        "100 %",
        &[&first, &exempt],
    );
    assert!(again.totals.tax.is_zero());
    let after = again.application.as_ref().expect("it follows a schedule");
    assert_eq!(after.tax, amount("15.00"));
}

/// 1,000 at 10 % held; all of it released; then 500 given back: nothing is held any more, so all 500 are.
#[test]
fn what_was_released_is_given_back_too() {
    let answer = round(None);
    let first = bill(&request(
        &answer,
        "1",
        json!({
            "agreed": "2000.00", "retainage": "10 %", "progress": [{"item": "1", "percent": "50 %"}]
        }),
    ));
    let second = bill(&request(
        &answer,
        "2",
        json!({
            "agreed": "2000.00", "earlier": [application(&first)], "release": {"all": true}
        }),
    ));
    let back = credit(&json!({
        "number": "C", "issue_date": "2026-07-01", "bill": first, "reason": "Too early",
        "after": application(&second), "lines": [{"line": "1", "amount": "500.00"}]
    }))
    .expect("it was billed");
    assert_eq!(back.totals.payable, amount("500.00"));
    let after = back.application.as_ref().expect("the job goes on");
    assert!(after.held().is_zero());
    assert_eq!(
        (after.billed, after.balance),
        (amount("500.00"), amount("1500.00"))
    );
}

#[test]
fn a_credit_note_rests_on_the_job_as_it_stands() {
    let answer = round(None);
    let first = bill(&request(
        &answer,
        "1",
        json!({"progress": [{"item": "1", "percent": "50 %"}]}),
    ));
    let deposit = bill(&request(
        &answer,
        "D",
        json!({"deposit": {"amount": "500.00"}}),
    ));
    let sent = |bill: &Bill, more: Value| {
        let mut sent =
            json!({"number": "C", "issue_date": "2026-07-01", "bill": bill, "reason": "Too early"});
        for (field, value) in more.as_object().expect("an object") {
            sent[field] = value.clone();
        }
        credit(&sent)
    };
    let placed = |bill: &Bill, more: Value| sent(bill, more).expect_err("it is refused");
    assert_eq!(places(&placed(&first, json!({"number": "1"}))), ["/number"]);
    let mut other = application(&first);
    other["billed"] = json!("1.00");
    assert!(places(&placed(&first, json!({"after": other}))).contains(&"/after"));
    let mut stranger = application(&deposit);
    stranger["number"] = json!(2);
    stranger["contract"] = json!("9000.00");
    assert!(places(&placed(&first, json!({"after": stranger}))).contains(&"/after"));
    // 300 of the deposit is taken off, so 200 can be given back.
    let next = bill(&request(
        &answer,
        "2",
        json!({
            "earlier": [application(&deposit)], "progress": [{"item": "1", "percent": "50 %"}], "deposit_applied": "300.00"
        }),
    ));
    let all = json!({"after": application(&next)});
    assert_eq!(places(&placed(&deposit, all)), ["/lines"]);
    let left = json!({"after": application(&next), "lines": [{"line": "1", "amount": "200.00"}]});
    assert_eq!(
        sent(&deposit, left).expect("it is left").totals.payable,
        amount("200.00")
    );
    // A bill of 5,000 less 4,000 charged back gives back 1,000 at most.
    let small = bill(&request(
        &answer,
        "3",
        json!({
            "progress": [{"item": "1", "percent": "50 %"}], "back_charges": [{"reason": "Clean-up", "amount": "4000.00"}]
        }),
    ));
    let line = json!({"lines": [{"line": "1"}]});
    assert_eq!(places(&placed(&small, line)), ["/lines"]);
}

#[test]
fn an_application_whose_tax_was_altered_is_refused() {
    let answer = round(Some(("600.00", 6.0)));
    let half = bill(&request(
        &answer,
        "1",
        json!({"progress": [{"item": "1", "percent": "50 %"}]}),
    ));
    for (field, value) in [
        ("/tax", "0.00"),
        ("/taxes/0/amount", "0.00"),
        ("/taxes/0/taxable", "1.00"),
    ] {
        let mut altered = application(&half);
        *altered.pointer_mut(field).expect("a field") = json!(value);
        let more = json!({"earlier": [altered], "progress": [{"item": "1", "percent": "100 %"}]});
        let faults = refused(&request(&answer, "2", more));
        assert!(
            places(&faults)[0].starts_with("/earlier/0/tax"),
            "{field}: {faults}"
        );
    }
}

/// 8.875 % of 7,949.40 is 705.51: a rate of three decimals comes back as it went out.
#[test]
fn a_rate_of_three_decimals_is_billed_to_the_cent() {
    for rate in ["8.875 %", "6.6255 %", "0.0004 %"] {
        let tax = json!({"sales_tax": {"rate": rate, "base": "price"}, "overhead": "12.345 %", "contingency": "3.3333 %"});
        let mut job: Value = serde_json::from_str(crate::worked::DEMO_JOBS[0].1).expect("JSON");
        job["price"] = tax;
        let answer = super::answer_of(&job.to_string());
        let whole = bill(&request(&answer, "1", json!({})));
        assert_eq!(
            json!(whole.totals.payable),
            answer["price"]["total"],
            "{rate}"
        );
    }
}

#[test]
fn a_bill_says_no_more_was_paid_than_it_asks_and_goes_forward_in_time() {
    let answer = round(None);
    let paid = json!({"paid": [{"date": "2026-06-01", "amount": "10000.01"}]});
    assert_eq!(places(&refused(&request(&answer, "1", paid))), ["/paid"]);
    let half = bill(&request(
        &answer,
        "1",
        json!({"progress": [{"item": "1", "percent": "50 %"}]}),
    ));
    let back = json!({"issue_date": "2026-06-29", "earlier": [application(&half)], "progress": [{"item": "1", "percent": "60 %"}]});
    assert_eq!(
        places(&refused(&request(&answer, "2", back))),
        ["/issue_date"]
    );
    // The last application is enough; nothing before it is needed.
    let more = |share: &str| json!({"earlier": [application(&half)], "progress": [{"item": "1", "percent": share}]});
    let second = bill(&request(&answer, "2", more("60 %")));
    let third =
        json!({"earlier": [application(&second)], "progress": [{"item": "1", "percent": "70 %"}]});
    assert_eq!(
        bill(&request(&answer, "3", third)).totals.lines,
        amount("1000.00")
    );
}

#[test]
fn a_job_without_a_name_is_billed_as_what_it_is() {
    let mut answer = round(None);
    answer["name"] = json!("");
    let bill = bill(&request(&answer, "1", json!({})));
    assert_eq!(
        (bill.job.as_str(), bill.lines[0].description.as_str()),
        ("Access ramp", "Access ramp")
    );
}

#[test]
fn money_is_said_of_one_item_at_a_time() {
    let answer = round(None);
    for field in ["amount", "stored"] {
        let all = |by: &str| {
            request(
                &answer,
                "1",
                json!({"schedule": {"by": by}, "progress": [{"item": "all", field: "10.00"}]}),
            )
        };
        assert_eq!(places(&refused(&all("class"))), ["/progress/0"]);
        assert_eq!(bill(&all("whole")).totals.lines, amount("10.00"));
    }
}

#[test]
fn a_line_without_a_price_is_billed_by_nobody() {
    let mut answer = round(None);
    answer["price"]["unpriced"] =
        json!([{"code": "steel", "description": "Bars", "why": "no price"}]);
    answer["price"]["total"] = Value::Null;
    let faults = refused(&request(&answer, "1", json!({})));
    assert_eq!(places(&faults), ["/estimate/price/unpriced"]);
    assert!(faults.0[0].found.contains("steel"));
}

/// The reading library's own map forgot what was wrong with its values.
#[test]
fn every_account_that_is_no_text_is_told() {
    let sent = json!({
        "accounts": {"cost": {"material": null}, "income_by": {"1": 4, "2": "Income:Ramps"}}, "entries": []
    });
    let faults = deserr::deserialize::<JournalRequest, _, Faults>(sent).expect_err("two faults");
    let wanted = ["/accounts/cost/material", "/accounts/income_by/1"];
    assert_eq!(places(&faults), wanted);
}
