//! Extra work on slips: worked by hand, and every fault at its place.

use crossfall::change::{ChangeOrder, CompareRequest, SideExtra, Slips};
use crossfall::quantity::Faults;
use crossfall::quantity::money::{Amount, Currency};
use serde_json::{Value, json};

fn request(rest: Value) -> CompareRequest {
    let mut body = json!({"before": {}, "after": {}});
    let fields = body.as_object_mut().expect("an object");
    fields.extend(rest.as_object().expect("an object").clone());
    serde_json::from_value(body).expect("a request")
}

fn read_in(rest: Value, currency: &Currency) -> Result<Slips, Faults> {
    ChangeOrder::read(&request(rest), &[], currency).map(|(_, slips)| slips)
}

fn read(rest: Value) -> Result<Slips, Faults> {
    read_in(rest, &Currency::USD)
}

fn rates() -> Value {
    json!([
        {"code": "hour-finisher", "unit": "h", "unit_price": "86.00"},
        {"code": "hour-labourer", "unit": "h", "unit_price": "61.50"},
        {"code": "stone-base", "unit": "ton", "unit_price": "38.40"},
    ])
}

/// A slip by a person who works.
fn slip(number: &str, signed: bool) -> Value {
    let mut slip = json!({
        "number": number, "date": "2026-07-08", "reason": "Soft ground under run 2, dug out and filled",
        "signed": signed,
        "people": [
            {"class": "finisher", "hours": "2.5 h", "count": 1},
            {"class": "labourer", "hours": "2.5 h", "count": 2},
        ],
        "materials": [{"code": "stone-base", "quantity": "1.35", "unit": "ton"}],
        "equipment": [{"description": "Plate compactor", "quantity": "1", "unit": "day", "unit_price": "72.00"}],
    });
    if signed {
        slip["agreed_by"] = json!({"name": "A. Invented", "date": "2026-07-08"});
    }
    slip
}

/// By hand: 2.5 h x 86.00 = 215.00; 2 people x 2.5 h x 61.50 = 307.50; 1.35 ton x 38.40 = 51.84; 72.00:
/// together 646.34.
#[test]
fn a_slip_is_its_lines_and_signed_ones_are_summed_apart() {
    let slips = read(
        json!({"extra_rates": rates(), "slips": [slip("7", true), slip("8", false), slip("9", true)]}),
    );
    let slips = slips.unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(slips.slips[0].total.to_string(), "646.34");
    assert_eq!(slips.signed.to_string(), "1292.68");
    assert_eq!(slips.unsigned.to_string(), "646.34");
    let from: Vec<_> = slips.slips[0]
        .lines
        .iter()
        .map(|line| line.price_from)
        .collect();
    assert_eq!(from, ["extra_rates", "extra_rates", "extra_rates", "slip"]);
}

/// ISO 4217 gives the yen no decimals and the dinar of Kuwait three: 1.35 x 38.40 is 51.84.
#[test]
fn a_line_is_rounded_to_the_currency_of_the_estimate() {
    let only = json!({"number": "1", "date": "2026-07-08", "reason": "Stone", "signed": false,
        "materials": [{"code": "stone-base", "quantity": "1.35", "unit": "ton"}]});
    for (code, total) in [("JPY", "52"), ("KWD", "51.840")] {
        let currency = Currency::of_code(code).expect("a code");
        let sent = json!({"extra_rates": rates(), "slips": [only]});
        let slips = read_in(sent, &currency).unwrap_or_else(|faults| panic!("{faults}"));
        assert_eq!(slips.unsigned.to_string(), total);
    }
}

/// A request with one thing wrong, and where that is told.
fn wrong() -> Vec<(&'static str, Value, &'static str)> {
    let with = |pointer: &str, value: Value| {
        let mut slip = slip("7", true);
        *slip.pointer_mut(pointer).expect("a place") = value;
        json!({"extra_rates": rates(), "slips": [slip]})
    };
    let without = |field: &str| {
        let mut slip = slip("7", true);
        slip.as_object_mut().expect("an object").remove(field);
        json!({"extra_rates": rates(), "slips": [slip]})
    };
    vec![
        (
            "no rate",
            json!({"slips": [slip("7", true)]}),
            "/slips/0/people/0",
        ),
        (
            "a unit without a rate",
            with("/materials/0/unit", json!("yd3")),
            "/slips/0/materials/0",
        ),
        (
            "a class without a rate",
            json!({"extra_rates": [rates()[0], rates()[2]], "slips": [slip("7", true)]}),
            "/slips/0/people/1",
        ),
        ("nobody agreed", without("agreed_by"), "/slips/0/agreed_by"),
        (
            "agreed and not signed",
            with("/signed", json!(false)),
            "/slips/0/agreed_by",
        ),
        (
            "agreed before the work",
            with("/agreed_by/date", json!("2026-07-07")),
            "/slips/0/agreed_by/date",
        ),
        (
            "below nothing",
            with("/materials/0/quantity", json!("-1")),
            "/slips/0/materials/0/quantity",
        ),
        (
            "a price below nothing",
            with("/equipment/0/unit_price", json!("-1")),
            "/slips/0/equipment/0/unit_price",
        ),
        (
            "more hours than a day",
            with("/people/0/hours", json!("25 h")),
            "/slips/0/people/0/hours",
        ),
        (
            "no people",
            with("/people/1/count", json!(0)),
            "/slips/0/people/1/count",
        ),
        (
            "a reason of nothing",
            with("/reason", json!(" ")),
            "/slips/0/reason",
        ),
        (
            "a number of nothing",
            with("/number", json!("")),
            "/slips/0/number",
        ),
        (
            "a name that breaks the line",
            with("/agreed_by/name", json!("A\nB")),
            "/slips/0/agreed_by/name",
        ),
        (
            "two slips of one number",
            json!({"extra_rates": rates(), "slips": [slip("7", true), slip("7", false)]}),
            "/slips/1/number",
        ),
        (
            "two rates of one code",
            json!({"extra_rates": [rates()[0], rates()[0]]}),
            "/extra_rates/1/code",
        ),
        (
            "a rate below nothing",
            json!({"extra_rates": [{"code": "x", "unit": "h", "unit_price": "-1"}]}),
            "/extra_rates/0/unit_price",
        ),
        (
            "an empty slip",
            json!({"slips": [{"number": "1", "date": "2026-07-08", "reason": "x", "signed": false}]}),
            "/slips/0",
        ),
        (
            "a slip after the change",
            json!({"date": "2026-07-07", "extra_rates": rates(), "slips": [slip("7", true)]}),
            "/slips/0/date",
        ),
        (
            "a seller without a name",
            json!({"seller": {"name": ""}}),
            "/seller/name",
        ),
        (
            "a number that breaks the line",
            json!({"number": "a\nb"}),
            "/number",
        ),
    ]
}

#[test]
fn every_fault_of_a_slip_is_told_at_its_place() {
    for (name, sent, pointer) in wrong() {
        let faults = read(sent).expect_err(name);
        let at: Vec<&str> = faults
            .0
            .iter()
            .map(|fault| fault.pointer.as_str())
            .collect();
        assert!(at.contains(&pointer), "{name}: {at:?}");
    }
}

#[test]
fn what_has_no_rate_is_named() {
    let faults = read(json!({"slips": [slip("7", true)]})).expect_err("no rates");
    let said = faults.to_string();
    for name in [
        "hour-finisher by h",
        "hour-labourer by h",
        "stone-base by ton",
    ] {
        assert!(said.contains(name), "{said}");
    }
}

/// What was not sent as a rate is that of the earlier estimate.
#[test]
fn a_rate_for_extras_of_the_earlier_estimate_is_taken_where_none_was_sent() {
    let extra = |code: &str, unit: &str, charged: &str| SideExtra {
        code: code.to_owned(),
        unit: unit.to_owned(),
        charged: Amount::parse(charged).expect("an amount"),
    };
    let extras = [
        extra("hour-finisher", "h", "79.10"),
        extra("hour-labourer", "h", "60.00"),
        extra("stone-base", "ton", "41.00"),
    ];
    let sent = request(json!({"extra_rates": [rates()[0]], "slips": [slip("7", true)]}));
    let read = ChangeOrder::read(&sent, &extras, &Currency::USD);
    let (_, slips) = read.unwrap_or_else(|faults| panic!("{faults}"));
    let lines = slips.slips[0].lines.iter();
    let from: Vec<_> = lines
        .map(|line| (line.price_from, line.unit_price.to_string()))
        .collect();
    let expected = [
        ("extra_rates", "86.00"),
        ("before", "60.00"),
        ("before", "41.00"),
        ("slip", "72.00"),
    ];
    assert_eq!(from, expected.map(|(from, price)| (from, price.to_owned())));
}
