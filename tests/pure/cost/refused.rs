//! What is refused, and where that is told.

use super::{estimate, tell};
use crossfall::cost::{JobCostRequest, tell_cost};
use serde_json::{Value, json};

fn bill(field: &str, value: Value) -> Value {
    let mut bill =
        json!({"code": "stone", "supplier": "Invented", "amount": "1.00", "document": "1"});
    bill[field] = value;
    json!({"bills": [bill]})
}

fn wrong() -> Vec<(&'static str, Value, Value, &'static str)> {
    let plain = json!({});
    let bills = |bills: Value| json!({"bills": bills});
    let one = bill("amount", json!("1.00"))["bills"][0].clone();
    vec![
        (
            "below nothing",
            bill("amount", json!("-1.00")),
            plain.clone(),
            "/actual/bills/0/amount",
        ),
        (
            "a tenth of a cent",
            bill("amount", json!("1.001")),
            plain.clone(),
            "/actual/bills/0/amount",
        ),
        (
            "a quantity below nothing",
            bill("quantity", json!("-1")),
            plain.clone(),
            "/actual/bills/0/quantity",
        ),
        (
            "nobody",
            bill("supplier", json!("")),
            plain.clone(),
            "/actual/bills/0/supplier",
        ),
        (
            "no number",
            bill("document", json!("\u{0}")),
            plain.clone(),
            "/actual/bills/0/document",
        ),
        (
            "code and class",
            bill("class", json!("fee")),
            plain.clone(),
            "/actual/bills/0",
        ),
        (
            "one bill twice",
            bills(json!([one, one])),
            plain.clone(),
            "/actual/bills/1",
        ),
        (
            "an unknown code",
            json!({"quantities": [{"code": "x", "quantity": "1"}]}),
            plain.clone(),
            "/actual/quantities/0",
        ),
        (
            "a place that is no line",
            json!({"quantities": [{"of": "/price/lines/9", "quantity": "1"}]}),
            plain.clone(),
            "/actual/quantities/0",
        ),
        (
            "two quantities",
            json!({"quantities": [{"code": "stone", "quantity": "1"}, {"of": "/price/lines/0", "quantity": "1"}]}),
            plain.clone(),
            "/actual/quantities/1",
        ),
        (
            "used below nothing",
            json!({"quantities": [{"code": "stone", "quantity": "-1"}]}),
            plain.clone(),
            "/actual/quantities/0/quantity",
        ),
        (
            "no hours",
            json!({"hours": [{"class": "finisher", "hours": "0 h"}]}),
            plain.clone(),
            "/actual/hours/0/hours",
        ),
        (
            "a wage below nothing",
            json!({"hours": [{"class": "finisher", "hours": "1 h", "paid": "-1"}]}),
            plain.clone(),
            "/actual/hours/0/paid",
        ),
        (
            "an hour nobody estimated",
            json!({"hours": [{"class": "labourer", "hours": "1 h"}]}),
            plain.clone(),
            "/actual/hours/0/paid",
        ),
        (
            "a visit that is none",
            json!({"hours": [{"visit": 3, "class": "finisher", "hours": "1 h"}]}),
            plain.clone(),
            "/actual/hours/0/visit",
        ),
        (
            "more than all",
            plain.clone(),
            json!({"percent_complete": "100.5 %"}),
            "/percent_complete",
        ),
        (
            "less than none",
            plain.clone(),
            json!({"percent_complete": "-1 %"}),
            "/percent_complete",
        ),
        (
            "billed below nothing",
            plain.clone(),
            json!({"billed": "-1.00"}),
            "/billed",
        ),
    ]
}

#[test]
fn every_fault_is_told_at_its_place() {
    for (name, actual, rest, pointer) in wrong() {
        let faults = tell(actual, rest).expect_err(name);
        let at: Vec<&str> = faults
            .0
            .iter()
            .map(|fault| fault.pointer.as_str())
            .collect();
        assert_eq!(at, [pointer], "{name}: {faults}");
    }
}

#[test]
fn an_estimate_that_does_not_add_up_is_refused() {
    let mut estimate = estimate();
    estimate["price"]["lines"][0]["extended"] = json!("121.00");
    let sent = json!({"estimate": estimate, "actual": {}});
    let sent: JobCostRequest = serde_json::from_value(sent).expect("a request");
    let faults = tell_cost(&sent).expect_err("it does not add up");
    assert_eq!(faults.0[0].pointer, "/estimate/price/lines/0/extended");
}
