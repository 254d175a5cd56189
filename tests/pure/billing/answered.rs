//! An answer comes back as it went out, and one that was altered is refused where it was.

use super::{answer_of, sent_back};
use crate::worked::DEMO_JOBS;
use serde_json::{Value, json};

#[test]
fn every_demo_answer_adds_up_when_it_comes_back() {
    for (name, job) in DEMO_JOBS {
        let answer = answer_of(job);
        let checked = sent_back(&answer).check("/estimate");
        let checked = checked.unwrap_or_else(|faults| panic!("{name}: {faults}"));
        assert_eq!(json!(checked.total()), answer["price"]["total"], "{name}");
        let printed = answer["price"]["lines"].as_array().expect("lines").len();
        assert_eq!(checked.lines.len(), printed, "{name}");
        assert!(checked.demo && checked.complete(), "{name}");
    }
}

/// Every amount, price and quantity of an answer, changed by itself, is found at its place or at the
/// sum that it belongs to.
#[test]
fn no_altered_figure_passes() {
    let answer = answer_of(DEMO_JOBS[0].1);
    let lines = answer["price"]["lines"].as_array().expect("lines").len();
    let steps = answer["price"]["build_up"].as_array().expect("steps").len();
    let of_lines = (0..lines).flat_map(|line| {
        let at = format!("/price/lines/{line}");
        ["extended", "unit_price", "quantity/value"].map(|field| format!("{at}/{field}"))
    });
    let of_steps = (0..steps).map(|step| format!("/price/build_up/{step}/amount"));
    for at in of_lines.chain(of_steps).chain(["/price/total".to_owned()]) {
        let mut altered = answer.clone();
        let figure = altered.pointer_mut(&at).expect("a figure");
        *figure = match &*figure {
            Value::String(text) => json!(format!("1{text}")),
            number => json!(number.as_f64().expect("a number") + 1000.0),
        };
        let faults = sent_back(&altered).check("/estimate").expect_err(&at);
        // A line is named itself, and the sums that no longer hold after it is set right are not.
        let line = at
            .rsplit_once("/lines/")
            .and_then(|(_, rest)| rest.split('/').next());
        let place = line.map_or(String::new(), |line| {
            format!("/estimate/price/lines/{line}/")
        });
        let named = faults
            .0
            .iter()
            .any(|fault| fault.pointer.starts_with(&place));
        assert!(named, "{at}: {faults}");
    }
}

#[test]
fn an_answer_without_a_price_says_so_when_it_comes_back() {
    let mut answer = answer_of(DEMO_JOBS[0].1);
    answer["price"]["unpriced"] = json!([{"code": "x", "description": "y", "of": "/", "why": "z"}]);
    let faults = sent_back(&answer)
        .check("")
        .expect_err("a total in spite of it");
    assert_eq!(faults.0[0].pointer, "/price/total");
    answer["price"]["total"] = Value::Null;
    let checked = sent_back(&answer).check("").expect("it adds up");
    assert!(!checked.complete());
    answer["price"]["unpriced"] = json!([]);
    let faults = sent_back(&answer)
        .check("")
        .expect_err("no total, and no reason");
    assert_eq!(faults.0[0].pointer, "/price/total");
}

/// A name that breaks its line would write entries of its own into a ledger.
#[test]
fn a_text_that_was_altered_on_its_way_is_refused_where_it_stands() {
    for at in [
        "/name",
        "/fingerprint",
        "/price/lines/0/code",
        "/price/lines/1/description",
        "/price/lines/0/quantity/unit",
    ] {
        let mut answer = answer_of(DEMO_JOBS[0].1);
        *answer.pointer_mut(at).expect("a text") = json!("x\n2026-01-01 * stolen");
        let faults = sent_back(&answer).check("/estimate").expect_err(at);
        assert_eq!(faults.0[0].pointer, format!("/estimate{at}"));
    }
}
