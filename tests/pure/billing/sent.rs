//! Requests for bills, put together piece by piece.

use crossfall::billing::{
    Bill, CreditRequest, InvoiceRequest, JournalRequest, make_credit_note, make_invoice,
};
use crossfall::quantity::Faults;
use crossfall::quantity::money::Amount;
use serde_json::{Value, json};

/// A request for an answer's bill, with more fields in it.
pub(super) fn request(answer: &Value, number: &str, more: Value) -> Value {
    let mut sent = json!({
        "number": number, "issue_date": "2026-06-30",
        "seller": {"name": "Mill Ramp Crew (invented)"},
        "buyer": {"name": "Weir & Sons <builders> (invented)"},
        "estimate": answer,
    });
    let fields = sent.as_object_mut().expect("an object");
    for (field, value) in more.as_object().expect("an object") {
        fields.insert(field.clone(), value.clone());
    }
    sent
}

pub(super) fn read(sent: &Value) -> InvoiceRequest {
    serde_json::from_value(sent.clone()).expect("it can be read")
}

pub(super) fn bill(sent: &Value) -> Bill {
    make_invoice(&read(sent)).unwrap_or_else(|faults| panic!("{faults}"))
}

pub(super) fn refused(sent: &Value) -> Faults {
    make_invoice(&read(sent)).expect_err("it is refused")
}

/// Where faults stand.
pub(super) fn places(faults: &Faults) -> Vec<&str> {
    faults
        .0
        .iter()
        .map(|fault| fault.pointer.as_str())
        .collect()
}

pub(super) fn credit(sent: &Value) -> Result<Bill, Faults> {
    let sent: CreditRequest = serde_json::from_value(sent.clone()).expect("it can be read");
    make_credit_note(&sent)
}

pub(super) fn journal(sent: &Value) -> JournalRequest {
    serde_json::from_value(sent.clone()).expect("it can be read")
}

pub(super) fn amount(text: &str) -> Amount {
    Amount::parse(text).expect("an amount")
}

/// An answer with round figures, so that a bill can be reckoned by hand: 8,000 direct, 1,000 overhead, 1,000
/// profit, tax as it is given; material 3,000, labour 5,000.
pub(super) fn round(tax: Option<(&str, f64)>) -> Value {
    let mut steps = vec![
        json!({"step": "direct", "of": "lines", "amount": "8000.00"}),
        json!({"step": "overhead", "of": "direct", "rate": {"value": 12.5, "unit": "%"}, "base": "8000.00", "amount": "1000.00"}),
        json!({"step": "profit", "of": "so far", "rate": {"value": 10, "unit": "%"}, "basis": "margin", "base": "9000.00", "amount": "1000.00"}),
    ];
    let mut total = amount("10000.00");
    if let Some((charged, rate)) = tax {
        steps.push(json!({"step": "tax_charged", "of": "price", "rate": {"value": rate, "unit": "%"}, "base": "10000.00", "amount": charged}));
        total += amount(charged);
    }
    json!({
        "name": "Round entrance (invented)", "fingerprint": "sha256:0",
        "computed_with": {"as_of": "2026-05-04", "units": "us"},
        "price": {
            "currency": "USD", "unpriced": [], "total": total, "build_up": steps,
            "lines": [
                {"code": "concrete", "description": "Concrete", "class": "material", "quantity": {"value": 10, "unit": "yd3"}, "unit_price": "300.00", "extended": "3000.00"},
                {"code": "labour", "description": "Crew", "class": "labour", "quantity": {"value": 100, "unit": "h"}, "unit_price": "50.00", "extended": "5000.00"}
            ]
        }
    })
}
