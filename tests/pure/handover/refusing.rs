//! What a handover does not take, every fault at its place.

use super::{day, read, sent_with};
use serde_json::{Value, json};

/// Pointers of the faults of a request, in order.
fn faults(further: Value) -> Vec<String> {
    let found = read(&sent_with(further)).check(day("2026-07-01"));
    found.0.into_iter().map(|fault| fault.pointer).collect()
}

#[test]
fn days_out_of_their_order_are_faults() {
    let found = faults(json!({
        "sawn_on": "2026-05-17", "forms_off_on": "2026-06-21",
        "sealer": {"applied_on": "2025-06-16"}, "warranty": {"years": 1, "from": "2026-05-17"},
    }));
    assert_eq!(
        found,
        [
            "/forms_off_on",
            "/sawn_on",
            "/sealer/applied_on",
            "/warranty/from"
        ]
    );
    assert_eq!(faults(json!({"poured_on": "2026-06-21"})), ["/poured_on"]);
    // Both ends are days of the work.
    let ends = json!({"sawn_on": "2026-05-18", "forms_off_on": "2026-06-20"});
    assert!(faults(ends).is_empty());
    // Without a day of its own the handover is today.
    assert!(faults(json!({"poured_on": "2026-07-01", "handed_over_on": null})).is_empty());
    assert_eq!(
        faults(json!({"poured_on": "2026-07-02", "handed_over_on": null})),
        ["/poured_on"]
    );
}

#[test]
fn tickets_with_faults_are_all_told() {
    let good = json!({"number": "1", "plant": "a", "volume": "3 yd3"});
    let with = |field: &str, value: &str| {
        let mut one = good.clone();
        one["number"] = json!(format!("of {field} {}", value.len()));
        one[field] = json!(value);
        one
    };
    let late = json!({"number": "9", "volume": "3 yd3", "batched": "09:00", "emptied": "09:00"});
    let found = faults(json!({"tickets": [
        good, good, with("volume", "0.01 yd3"), with("volume", "21 yd3"), with("slump", "13 in"),
        with("air", "21 %"), with("temperature", "130 degF"), with("truck", "a\nb"), late,
        {"number": "1", "plant": "b", "volume": "3 yd3"}, {"number": " ", "volume": "3 yd3"},
    ]}));
    assert_eq!(
        found,
        [
            "/tickets/1/number",
            "/tickets/2/volume",
            "/tickets/3/volume",
            "/tickets/4/slump",
            "/tickets/5/air",
            "/tickets/6/temperature",
            "/tickets/7/truck",
            "/tickets/8/emptied",
            "/tickets/10/number",
        ]
    );
    let many: Vec<Value> = (0..61)
        .map(|n| json!({"number": n.to_string(), "volume": "3 yd3"}))
        .collect();
    assert_eq!(faults(json!({"tickets": many})), ["/tickets"]);
}

#[test]
fn texts_that_no_document_can_hold_are_faults() {
    let found = faults(json!({
        "number": "(7)", "seller": {"name": ""}, "customer": {"name": "a\u{202e}b"},
        "sealer": {"applied_on": "2026-06-16", "by": "x".repeat(81)},
        "mix": {"strength": "900 psi", "air": "21 %", "name": "\u{0}"},
        "warranty": {"years": 21},
    }));
    let mut sorted = found.clone();
    sorted.sort();
    assert_eq!(
        sorted,
        [
            "/customer/name",
            "/mix/air",
            "/mix/name",
            "/mix/strength",
            "/number",
            "/sealer/by",
            "/seller/name",
            "/warranty/years",
        ]
    );
}
