//! Bills of a round job, reckoned by hand.

use super::sent::{amount, bill, credit, places, refused, request, round};
use crossfall::billing::{Application, Bill, LineKind};
use serde_json::{Value, json};

pub(super) fn application(bill: &Bill) -> Value {
    serde_json::to_value(&bill.application).expect("written")
}

/// 10,000 before tax at 6 % by class: material 3,750, labour 6,250 (3 and 5 eighths of 10,000). 40 % and 20 % with
/// 200 of stored material: 1,500 + 200 + 1,250 = 2,950, less 10 % = 2,655, tax 159.30.
#[test]
fn a_first_bill_by_class() {
    let answer = round(Some(("600.00", 6.0)));
    let sent = request(
        &answer,
        "INV-1",
        json!({
            "schedule": {"by": "class"}, "retainage": "10 %",
            "progress": [{"item": "1", "percent": "40 %", "stored": "200.00"}, {"item": "2", "percent": "20 %"}],
            "checklist": [{"what": "Waiver", "with": "each"}, {"what": "Insurance", "with": "first"}, {"what": "Warranty", "with": "last"}]
        }),
    );
    let bill = bill(&sent);
    let amounts: Vec<String> = bill
        .lines
        .iter()
        .map(|line| line.amount.to_string())
        .collect();
    assert_eq!(amounts, ["1700.00", "1250.00"]);
    assert_eq!(bill.lines[0].description, "Materials: 45.33 % to date");
    assert_eq!(bill.totals.allowances, amount("295.00"));
    assert_eq!(bill.totals.before_tax, amount("2655.00"));
    assert_eq!(bill.totals.tax, amount("159.30"));
    assert_eq!(bill.totals.payable, amount("2814.30"));
    let after = bill.application.as_ref().expect("it follows a schedule");
    assert_eq!(
        (after.earned, after.held()),
        (amount("2950.00"), amount("295.00"))
    );
    // 10,000 less 2,950, and the 295 that are held.
    assert_eq!(after.balance, amount("7345.00"));
    let going = bill
        .attachments_needed
        .as_deref()
        .expect("a checklist was sent");
    assert_eq!(going, ["Waiver", "Insurance"]);
}

/// Deposit 1,000; half of it comes off with half of the work; retainage 5 % is 500 and is released
/// at the end; a change adds 400, a back-charge takes 85. All bills: 10,000 + 400 - 85 = 10,315, tax 6 % 618.90.
#[test]
fn a_job_from_deposit_to_release() {
    let answer = round(Some(("600.00", 6.0)));
    let first = bill(&request(
        &answer,
        "D-1",
        json!({"deposit": {"percent": "10 %"}}),
    ));
    assert_eq!(first.totals.with_tax, amount("1060.00"));
    let second = bill(&request(
        &answer,
        "INV-2",
        json!({
            "earlier": [application(&first)], "retainage": "5 %", "progress": [{"item": "all", "percent": "50 %"}]
        }),
    ));
    // 5,000 earned, 500 of the deposit off, 250 held.
    assert_eq!(second.totals.before_tax, amount("4250.00"));
    let third = bill(&request(
        &answer,
        "INV-3",
        json!({
            "earlier": [application(&first), application(&second)], "retainage": "5 %",
            "progress": [{"item": "all", "percent": "100 %"}],
            "changes": [{"number": "CO-1", "description": "One step more", "amount": "400.00"}],
            "back_charges": [{"reason": "Washed out on the lawn", "amount": "85.00"}]
        }),
    ));
    // 5,400 earned, 500 deposit off, 85 back, 270 held.
    assert_eq!(third.totals.before_tax, amount("4545.00"));
    assert_eq!(
        third.application.as_ref().map(Application::held),
        Some(amount("520.00"))
    );
    let last = bill(&request(
        &answer,
        "INV-4",
        json!({
            "earlier": [application(&first), application(&second), application(&third)],
            "changes": [{"number": "CO-1", "description": "One step more", "amount": "400.00"}],
            "release": {"all": true}
        }),
    ));
    assert_eq!(last.totals.before_tax, amount("520.00"));
    let after = last.application.as_ref().expect("it follows a schedule");
    assert_eq!(
        (after.billed, after.tax),
        (amount("10315.00"), amount("618.90"))
    );
    assert!(after.balance.is_zero() && after.deposit_left().is_zero());
}

#[test]
fn what_is_not_usual_is_refused_until_it_is_allowed() {
    let answer = round(None);
    let over = json!({"progress": [{"item": "1", "percent": "104 %"}]});
    assert_eq!(
        places(&refused(&request(&answer, "1", over)))[0],
        "/progress/0/percent"
    );
    let stored = json!({"progress": [{"item": "1", "percent": "100 %", "stored": "1.00"}]});
    assert_eq!(
        places(&refused(&request(&answer, "1", stored.clone()))),
        ["/progress/0"]
    );
    let mut allowed = stored;
    allowed["allow"] = json!(["over_100"]);
    assert_eq!(
        bill(&request(&answer, "1", allowed)).totals.lines,
        amount("10001.00")
    );
    let half = bill(&request(
        &answer,
        "1",
        json!({"progress": [{"item": "1", "percent": "50 %"}]}),
    ));
    let less = json!({
        "earlier": [application(&half)], "progress": [{"item": "1", "percent": "40 %"}],
        "back_charges": [], "deposit_applied": "0"
    });
    assert_eq!(
        places(&refused(&request(&answer, "2", less))),
        ["/progress/0"]
    );
    // Nothing said: nothing moves, and there is nothing to bill.
    let silent = json!({"earlier": [application(&half)]});
    assert_eq!(
        places(&refused(&request(&answer, "2", silent))),
        ["/progress"]
    );
    let release = json!({"earlier": [application(&half)], "release": {"amount": "1.00"}});
    assert_eq!(
        places(&refused(&request(&answer, "2", release))),
        ["/release/amount"]
    );
}

#[test]
fn an_altered_application_is_refused_where_it_was() {
    let answer = round(None);
    let half = bill(&request(
        &answer,
        "1",
        json!({"retainage": "10 %", "progress": [{"item": "1", "percent": "50 %"}]}),
    ));
    let whole = |application: Value| {
        let more =
            json!({"earlier": [application], "progress": [{"item": "1", "percent": "100 %"}]});
        request(&answer, "2", more)
    };
    let good = application(&half);
    assert_eq!(bill(&whole(good.clone())).totals.lines, amount("5000.00"));
    for (field, value) in [
        ("/contract", json!("9999.00")),
        ("/earned", json!("4999.00")),
        ("/billed", json!("4000.00")),
        ("/balance", json!("0.00")),
        ("/items/0/completed", json!("1.00")),
        ("/items/0/scheduled", json!("1.00")),
        ("/retained", json!("0.00")),
        ("/number", json!(0)),
        ("/bill", json!("2")),
    ] {
        let mut altered = good.clone();
        *altered.pointer_mut(field).expect("a field") = value;
        let faults = refused(&whole(altered));
        assert!(
            places(&faults)[0].starts_with("/earlier/0"),
            "{field}: {faults}"
        );
    }
}

/// A bill of 5,000 less 500 with 6 % tax, 270.00. Half of the work back: 2,500 less 250, tax 135; then the rest.
#[test]
fn credit_notes_give_back_a_bill_and_no_more() {
    let answer = round(Some(("600.00", 6.0)));
    let half = bill(&request(
        &answer,
        "1",
        json!({"retainage": "10 %", "progress": [{"item": "1", "percent": "50 %"}]}),
    ));
    assert_eq!(half.totals.with_tax, amount("4770.00"));
    let sent = |number: &str, more: Value| {
        let mut sent = json!({"number": number, "issue_date": "2026-07-01", "bill": half, "reason": "Billed too early"});
        for (field, value) in more.as_object().expect("an object") {
            sent[field] = value.clone();
        }
        sent
    };
    let first = credit(&sent(
        "C-1",
        json!({"lines": [{"line": "1", "percent": "50 %"}]}),
    ))
    .expect("half");
    assert_eq!(
        (first.totals.lines, first.totals.allowances),
        (amount("2500.00"), amount("250.00"))
    );
    assert_eq!(
        (first.totals.tax, first.totals.payable),
        (amount("135.00"), amount("2385.00"))
    );
    let after = first.application.as_ref().expect("a part was given back");
    assert_eq!(
        (after.billed, after.tax),
        (amount("2250.00"), amount("135.00"))
    );
    let rest = credit(&sent("C-2", json!({"earlier": [first]}))).expect("the rest");
    assert_eq!(
        first.totals.with_tax + rest.totals.with_tax,
        half.totals.with_tax
    );
    let after = rest.application.as_ref().expect("the job goes on");
    assert!(after.billed.is_zero() && after.tax.is_zero() && after.held().is_zero());
    assert_eq!(after.balance, amount("10000.00"));
    let none =
        credit(&sent("C-3", json!({"earlier": [first, rest]}))).expect_err("nothing is left");
    assert_eq!(places(&none), ["/lines"]);
    let over = json!({"earlier": [first], "lines": [{"line": "1", "amount": "2500.01"}]});
    assert_eq!(
        places(&credit(&sent("C-4", over)).expect_err("too much")),
        ["/lines/0"]
    );
    let again = json!({"bill": rest});
    assert_eq!(
        places(&credit(&sent("C-5", again)).expect_err("a credit note")),
        ["/bill/kind"]
    );
    // The next bill goes on from the credit note.
    let next = bill(&request(
        &answer,
        "2",
        json!({
            "issue_date": "2026-07-02",
            "earlier": [application(&half), application(&first)], "progress": [{"item": "1", "percent": "100 %"}]
        }),
    ));
    let after = next.application.as_ref().expect("it follows a schedule");
    // Nothing is held back of the second half.
    assert_eq!(after.billed, amount("9750.00"));
    assert_eq!(after.held(), amount("250.00"));
}

#[test]
fn a_tax_is_told_whole_or_not_at_all() {
    let answer = round(None);
    for (tax, place) in [
        (json!({"category": "S"}), "/tax/rate"),
        (json!({"category": "S", "rate": "0 %"}), "/tax/rate"),
        (json!({"category": "Z", "rate": "6 %"}), "/tax/rate"),
        (json!({"category": "E"}), "/tax/reason"),
        (json!({"category": "AE", "reason": " "}), "/tax/reason"),
    ] {
        let faults = refused(&request(&answer, "1", json!({"tax": tax})));
        assert_eq!(places(&faults), [place], "{tax}");
    }
    let taxed = request(
        &answer,
        "1",
        json!({"tax": {"category": "S", "rate": "6.25 %"}}),
    );
    assert_eq!(bill(&taxed).totals.with_tax, amount("10625.00"));
    // What the estimate charges is not left off and not doubled.
    let charged = round(Some(("600.00", 6.0)));
    let other = request(
        &charged,
        "1",
        json!({"tax": {"category": "S", "rate": "7 %"}}),
    );
    assert_eq!(places(&refused(&other)), ["/tax"]);
    let exempt = request(
        &charged,
        "1",
        json!({"tax": {"category": "E", "reason": "Certificate"}}),
    );
    assert_eq!(places(&refused(&exempt)), ["/tax"]);
}

#[test]
fn groups_take_every_line_once() {
    let answer = round(None);
    let by = |groups: Value| request(&answer, "1", json!({"schedule": {"groups": groups}}));
    let missing = by(json!([{"id": "A", "description": "Crew", "codes": ["labour"]}]));
    assert_eq!(places(&refused(&missing)), ["/schedule/groups"]);
    let stranger = by(json!([{"id": "A", "description": "x", "codes": ["steel"], "rest": true}]));
    assert_eq!(places(&refused(&stranger)), ["/schedule/groups/0/codes/0"]);
    let twice =
        by(json!([{"id": "A", "description": "x", "rest": true}, {"id": "A", "description": "y"}]));
    assert_eq!(places(&refused(&twice)), ["/schedule/groups/1/id"]);
    let good = bill(&by(json!([
        {"id": "A", "description": "Crew", "classes": ["labour"], "cost_code": "500"},
        {"id": "B", "description": "All else", "rest": true}
    ])));
    assert_eq!(good.lines[0].cost_code.as_deref(), Some("500"));
    assert_eq!(good.lines[1].amount, amount("3750.00"));
    assert!(good.lines.iter().all(|line| line.kind == LineKind::Work));
}

#[test]
fn an_agreed_sum_takes_the_place_of_the_price() {
    let answer = round(None);
    let agreed = request(
        &answer,
        "1",
        json!({"agreed": "9500.00", "schedule": {"by": "line"}}),
    );
    let bill = bill(&agreed);
    assert_eq!(bill.totals.payable, amount("9500.00"));
    assert_eq!(bill.lines[0].amount, amount("3562.50"));
    let none = request(&answer, "1", json!({"agreed": "0.00"}));
    assert_eq!(places(&refused(&none))[0], "/agreed");
    let parts = request(&answer, "1", json!({"agreed": "9500.001"}));
    assert_eq!(places(&refused(&parts))[0], "/agreed");
}

#[test]
fn every_fault_of_a_head_is_told_at_once() {
    let sent = request(
        &round(None),
        "(1)",
        json!({
            "due_date": "2026-06-01", "seller": {"name": " ", "country": "USA"},
            "buyer": {"name": "a\u{0}b"}, "notes": ["x\ny"],
            "paid": [{"date": "2026-06-01", "amount": "-1"}], "period": {"from": "2026-06-02", "to": "2026-06-01"}
        }),
    );
    let faults = refused(&sent);
    for place in [
        "/number",
        "/due_date",
        "/seller/name",
        "/seller/country",
        "/buyer/name",
        "/notes/0",
        "/paid/0/amount",
        "/period/to",
    ] {
        assert!(places(&faults).contains(&place), "{place}: {faults}");
    }
}

#[test]
fn no_text_of_a_bill_that_comes_back_breaks_its_line() {
    let bill = bill(&request(
        &round(None),
        "1",
        json!({
            "retainage": "10 %", "references": {"order": "PO"}, "notes": ["n"], "pay_to": {"terms": "t"},
            "tax": {"category": "E", "reason": "r"}, "paid": [{"date": "2026-06-01", "amount": "1.00", "reference": "x"}]
        }),
    ));
    let whole = serde_json::to_value(&bill).expect("written");
    for at in [
        "/id",
        "/number",
        "/job",
        "/seller/name",
        "/buyer/name",
        "/lines/0/description",
        "/lines/0/item",
        "/allowances/0/reason",
        "/tax/reason",
        "/references/order",
        "/notes/0",
        "/pay_to/terms",
        "/paid/0/reference",
        "/fingerprint",
    ] {
        let mut altered = whole.clone();
        *altered.pointer_mut(at).expect("a text") = json!("x\ny");
        let altered: Bill = serde_json::from_value(altered).expect("read");
        let faults = altered.check("/bill").expect_err(at);
        assert!(
            places(&faults).contains(&format!("/bill{at}").as_str()),
            "{at}: {faults}"
        );
    }
}
