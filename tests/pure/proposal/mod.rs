//! A priced estimate as an offer: its facts, its refusals, its money in words, its rates for extras.

mod extras;
mod in_words;
mod refusals;
mod sections;
mod wording;
mod work;

use crate::worked::priced;
use crossfall::http::answer::{EstimateAnswer, View};
use crossfall::proposal::{Proposal, ProposalRequest, ProposalSite, propose};
use crossfall::quantity::Faults;
use serde_json::{Value, json};

/// A request from the answer to a job, with the invented parties that the README shows.
fn request_of(job: &str) -> Value {
    let estimate = priced(job);
    let view = View {
        system: estimate.job.units,
        working: false,
    };
    let answer = EstimateAnswer::of(estimate, view, true);
    let parties = include_str!("../../../examples/proposal-parties.json");
    let mut request: Value = serde_json::from_str(parties).expect("an example");
    request["estimate"] = serde_json::to_value(answer).expect("an answer can be written");
    request
}

fn read(request: &Value) -> ProposalRequest {
    serde_json::from_str(&request.to_string()).unwrap_or_else(|error| panic!("{error}"))
}

fn proposed(request: &Value) -> (Proposal, Option<ProposalSite>) {
    propose(&read(request)).unwrap_or_else(|faults| panic!("{faults}"))
}

fn refused(request: &Value) -> Faults {
    propose(&read(request)).expect_err("a fault")
}

/// An answer with one line, as small as one may be sent back.
fn small_answer(currency: &str, amount: &str) -> Value {
    json!({
        "name": "A pad (invented)",
        "fingerprint": "sha256:00",
        "computed_with": {"as_of": "2026-05-04", "units": "us"},
        "price": {
            "currency": currency,
            "lines": [{
                "code": "x", "description": "All of it", "class": "material",
                "quantity": {"value": 1, "unit": "each"}, "unit_price": amount, "extended": amount,
            }],
            "unpriced": [],
            "build_up": [{"step": "direct", "amount": amount}],
            "total": amount,
        },
    })
}

fn small_request(currency: &str, amount: &str) -> Value {
    json!({
        "estimate": small_answer(currency, amount),
        "seller": {"name": "A crew (invented)"},
        "buyer": {"name": "An owner (invented)"},
        "drawing": false,
    })
}
