//! What a job really cost: worked by hand, laws over random costs, every fault at its place.

mod laws;
mod refused;
mod worked;

use crossfall::cost::{CostCause, JobCost, JobCostRequest, tell_cost};
use crossfall::quantity::Faults;
use serde_json::{Value, json};

/// An invented answer, small enough to add up on paper: 1000.00 direct, 10 % overhead, 15 % profit.
fn estimate() -> Value {
    let line = |code: &str, class: &str, [quantity, unit, price, extended]: [&str; 4]| {
        let quantity: f64 = quantity.parse().expect("a number");
        json!({"code": code, "description": code, "class": class, "of": "/takeoff/lines/0",
            "quantity": {"value": quantity, "unit": unit}, "unit_price": price, "extended": extended})
    };
    json!({
        "name": "Paper ramp (invented)",
        "fingerprint": "sha256:0",
        "computed_with": {"as_of": "2026-05-04", "units": "us"},
        "price": {
            "currency": "USD",
            "lines": [
                line("stone", "material", ["5", "ton", "24.00", "120.00"]),
                line("concrete", "material", ["2", "yd3", "180.00", "360.00"]),
                line("labour-finisher", "labour", ["8", "h", "50.00", "400.00"]),
                line("delivery", "fee", ["1", "each", "60.00", "60.00"]),
                line("delivery", "fee", ["1", "each", "60.00", "60.00"]),
            ],
            "unpriced": [],
            "build_up": [
                {"step": "direct", "amount": "1000.00"},
                {"step": "overhead", "rate": {"value": 10, "unit": "%"}, "base": "1000.00", "amount": "100.00"},
                {"step": "profit", "rate": {"value": 15, "unit": "%"}, "basis": "markup",
                 "base": "1100.00", "amount": "165.00"},
            ],
            "total": "1265.00",
        },
        "crew_hours": {
            "totals": {"task_hours": {"value": 6, "unit": "h"}, "paid_hours": {"value": 8, "unit": "h"}},
            "tasks": [{"visit": 1, "code": "place-barrow", "quantity": {"value": 4, "unit": "yd3"}, "hours": {"value": 6, "unit": "h"}}],
            "visits": [
                {"visit": 1, "day": 1, "description": "Pour", "task_hours": {"value": 6, "unit": "h"},
                 "paid_hours": {"value": 5, "unit": "h"}},
                {"visit": 2, "day": 3, "description": "Strip", "paid_hours": {"value": 3, "unit": "h"}},
            ],
        },
    })
}

fn tell(actual: Value, rest: Value) -> Result<JobCost, Faults> {
    let mut body = json!({"estimate": estimate(), "actual": actual});
    let fields = body.as_object_mut().expect("an object");
    fields.extend(rest.as_object().expect("an object").clone());
    let sent: JobCostRequest = serde_json::from_value(body).expect("a request");
    tell_cost(&sent)
}

fn told(actual: Value) -> JobCost {
    tell(actual, json!({})).unwrap_or_else(|faults| panic!("{faults}"))
}

fn cause(told: &JobCost, cause: CostCause) -> String {
    let found = told.causes.iter().find(|of| of.cause == cause);
    found.map_or_else(String::new, |of| of.amount.to_string())
}
