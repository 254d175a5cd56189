//! Quantities and money in a body: both readers agree, and faults say where and how to mend them.

use super::for_every_quantity;
use crate::config;
use crossfall::quantity::money::{Amount, Currency, Decimal4, Percentage, UnitPrice};
use crossfall::quantity::{Citation, Fault, Faults, Length, Quantity, Slope, System};
use deserr::Deserr;
use proptest::prelude::*;
use serde_json::{Value, json};

/// A body with two places for faults.
#[derive(Debug, Deserr)]
#[deserr(error = Faults, deny_unknown_fields)]
struct Run {
    #[allow(dead_code, reason = "only whether it is read matters here")]
    rise: Length,
    #[allow(dead_code, reason = "only whether it is read matters here")]
    slope: Slope,
}

fn faults(body: Value) -> Vec<Fault> {
    deserr::deserialize::<Run, _, Faults>(body).map_or_else(|faults| faults.0, |_| Vec::new())
}

#[test]
fn a_bare_number_is_told_how_to_write_it_and_where_it_stands() {
    let found = faults(json!({"rise": 28, "slope": 0.083}));
    assert_eq!(found.len(), 2, "{found:?}");
    assert_eq!(found[0].pointer, "/rise");
    assert_eq!(found[0].found, "28");
    assert!(
        found[0]
            .accepted
            .contains("a length written with its unit (in, ft")
    );
    assert_eq!(found[0].example.as_deref(), Some("28 in"));
    assert_eq!(
        (found[1].pointer.as_str(), found[1].example.as_deref()),
        ("/slope", Some("1:12"))
    );
}

#[test]
fn an_object_of_value_and_unit_is_read() {
    let read = |body| serde_json::from_value::<Length>(body);
    assert!(read(json!({"value": 28, "unit": "in"})).is_ok_and(|l| l == Length::from_inches(28.0)));
    assert!(read(json!({"unit": "ft", "value": -2.5})).is_ok_and(|l| l == Length::from_feet(-2.5)));
    for body in [
        json!({"value": 28}),
        json!({"unit": "in"}),
        json!({"value": "28", "unit": "in"}),
        json!({"value": null, "unit": "in"}),
        json!({"value": 28, "unit": "lb"}),
        json!({"value": 28, "unit": "in", "note": "x"}),
        json!({"value": 1e13, "unit": "in"}),
        json!({}),
        json!([28, "in"]),
        json!(null),
        json!(true),
    ] {
        assert!(read(body.clone()).is_err(), "{body}");
        assert!(
            deserr::deserialize::<Length, _, Faults>(body.clone()).is_err(),
            "{body}"
        );
    }
}

#[test]
fn an_object_lists_each_of_its_faults_once() {
    let found = faults(json!({"rise": {"value": "28", "units": "in"}, "slope": "1:12"}));
    let places: Vec<&str> = found.iter().map(|fault| fault.pointer.as_str()).collect();
    assert_eq!(places, ["/rise/value", "/rise/units", "/rise/unit"]);
    let found = faults(json!({"rise": {"value": 28, "unit": "a|b"}, "slope": "1:12"}));
    assert_eq!(found.len(), 1);
    assert!(
        found[0]
            .accepted
            .starts_with("a length written with its unit"),
        "{found:?}"
    );
}

/// A job with an empty name of a rule set was told `found: ""`.
#[test]
fn what_was_found_is_never_blank_and_never_long() {
    let found = |text: &str| Fault::new("", text, "another", None).found;
    for (text, told) in [
        ("", "\"\""),
        (" ", "\" \""),
        ("x", "x"),
        ("nothing", "nothing"),
    ] {
        assert_eq!(found(text), told);
    }
    assert_eq!(found(&"ä".repeat(60)), "ä".repeat(60));
    assert_eq!(found(&"ä".repeat(61)), "ä".repeat(60) + "…");
    assert_eq!(found(&" ".repeat(99)), format!("{}…", " ".repeat(60)));
}

#[test]
fn money_is_text_and_never_a_number() {
    assert_eq!(
        serde_json::to_value(Amount::from_minor(84_550, &Currency::USD)).ok(),
        Some(json!("845.50"))
    );
    assert_eq!(
        serde_json::to_value(UnitPrice::from_ten_thousandths(1_780_000)).ok(),
        Some(json!("178.00"))
    );
    assert!(serde_json::from_value::<UnitPrice>(json!("178")).is_ok());
    assert!(serde_json::from_value::<Percentage>(json!("6.25 %")).is_ok());
    assert!(serde_json::from_value::<Currency>(json!("USD")).is_ok_and(|c| c == Currency::USD));
    assert!(serde_json::from_value::<UnitPrice>(json!(178)).is_err());
    assert!(serde_json::from_value::<Amount>(json!(845.5)).is_err());
    let fault = deserr::deserialize::<Decimal4, _, Faults>(json!(4.25))
        .expect_err("a number")
        .0;
    assert_eq!(
        (fault[0].found.as_str(), fault[0].example.as_deref()),
        ("4.25", Some("4.25"))
    );
}

#[test]
fn systems_and_citations_travel() {
    assert!(serde_json::from_value::<System>(json!("metric")).is_ok_and(|s| s == System::Metric));
    assert!(deserr::deserialize::<System, _, Faults>(json!("us")).is_ok_and(|s| s == System::Us));
    assert!(deserr::deserialize::<System, _, Faults>(json!("imperial")).is_err());
    let body = json!({"document": "d", "section": "405.2", "verified": "second_hand"});
    let strict = serde_json::from_value::<Citation>(body.clone());
    let listing = deserr::deserialize::<Citation, _, Faults>(body);
    assert!(matches!((strict, listing), (Ok(a), Ok(b)) if a == b));
}

/// Bodies of every shape, many of them nearly a quantity.
fn body() -> impl Strategy<Value = Value> {
    let number = prop_oneof![
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        (-100..100_i32).prop_map(Value::from)
    ];
    let text = prop_oneof![
        Just("28 in"),
        Just("1:12"),
        Just("28"),
        Just(""),
        Just("5 m2/L"),
        Just("2'-4\""),
        Just("in"),
        Just("ft"),
        Just("%"),
        Just("deg"),
        Just("kg"),
        Just("a|b|c"),
        Just("degF"),
    ]
    .prop_map(Value::from);
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        number,
        text
    ];
    let key = prop_oneof![4 => Just("value"), 4 => Just("unit"), 1 => Just("x")];
    let object = proptest::collection::vec((key, leaf.clone()), 0..4).prop_map(|pairs| {
        pairs
            .into_iter()
            .map(|(k, v)| (k.to_owned(), v))
            .collect::<Value>()
    });
    prop_oneof![1 => leaf.clone(), 3 => object,
        1 => proptest::collection::vec(leaf, 0..3).prop_map(Value::from)]
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn both_readers_give_the_same_verdict(body in body()) {
        for_every_quantity!(Q => {
            let strict = serde_json::from_value::<Q>(body.clone());
            let listing = deserr::deserialize::<Q, _, Faults>(body.clone());
            match (strict, listing) {
                (Ok(a), Ok(b)) => prop_assert!(a == b && a.si().is_finite()),
                (Err(_), Err(faults)) => {
                    prop_assert!(!faults.is_empty());
                    for fault in &faults.0 {
                        prop_assert!(!fault.found.is_empty() && !fault.accepted.is_empty());
                    }
                }
                (strict, listing) => prop_assert!(false, "{:?} and {:?}", strict, listing),
            }
        });
    }

    #[test]
    fn what_is_written_is_read(number in super::number()) {
        for_every_quantity!(Q => {
            let quantity = Q::from_si(number);
            let text = serde_json::to_string(&quantity).unwrap_or_default();
            let again = serde_json::from_str::<Q>(&text);
            prop_assert!(again.is_ok_and(|again| super::alike(again, quantity)), "{}", text);
        });
    }
}
