//! A quotation is the price, however it is divided, or it is refused.

use super::answer_of;
use crate::worked::DEMO_JOBS;
use crossfall::billing::{Quotation, make_quotation};
use crossfall::documents::ubl::write_quotation;
use crossfall::documents::write_quotation_lines;
use crossfall::quantity::Faults;
use crossfall::quantity::money::Amount;
use serde_json::{Value, json};

fn asked(answer: &Value, more: &Value) -> Result<Quotation, Faults> {
    let mut request = json!({
        "number": "Q-1", "issue_date": "2026-06-12", "estimate": answer,
        "seller": {"name": "=Gravel & Sons"}, "buyer": {"name": "School <invented>"}
    });
    let all = request.as_object_mut().expect("an object");
    all.extend(more.as_object().expect("an object").clone());
    make_quotation(&serde_json::from_value(request).expect("a request"))
}

fn quoted(answer: &Value, more: &Value) -> Quotation {
    asked(answer, more).unwrap_or_else(|faults| panic!("{faults}"))
}

#[track_caller]
fn refused(answer: &Value, more: &Value) -> Vec<String> {
    let faults = asked(answer, more).expect_err("a fault");
    faults.0.into_iter().map(|fault| fault.pointer).collect()
}

fn taxed() -> Value {
    let mut job: Value = serde_json::from_str(DEMO_JOBS[0].1).expect("JSON");
    job["price"] = json!({"sales_tax": {"rate": "6.25 %", "base": "price"}});
    answer_of(&job.to_string())
}

#[test]
fn lines_and_tax_are_the_price_however_it_is_divided() {
    let answers = DEMO_JOBS.iter().map(|(_, job)| answer_of(job));
    for answer in answers.chain([taxed()]) {
        let rest = json!({"groups": [{"id": "C", "description": "Concrete", "classes": ["material"]}, {"id": "R", "description": "Rest", "rest": true}]});
        for by in ["whole", "class", "line"]
            .map(|by| json!({ "by": by }))
            .into_iter()
            .chain([rest])
        {
            let quotation = quoted(&answer, &json!({ "schedule": by }));
            assert_eq!(json!(quotation.totals.total), answer["price"]["total"]);
            let lines: Amount = quotation.lines.iter().map(|line| line.amount).sum();
            assert_eq!(lines, quotation.totals.before_tax, "{by}");
            assert_eq!(lines + quotation.tax.amount, quotation.totals.total);
            let sent = serde_json::to_value(&quotation).expect("JSON");
            let back: Quotation = serde_json::from_value(sent).expect("it comes back");
            assert_eq!(back, quotation);
        }
    }
}

#[test]
fn the_tax_of_the_estimate_is_charged_and_no_other_beside_it() {
    let answer = taxed();
    let quotation = quoted(&answer, &json!({}));
    assert_eq!(quotation.tax.category.word(), "S");
    assert_eq!(quotation.tax.rate.to_string(), "6.25 %");
    let other = json!({"tax": {"category": "S", "rate": "7 %"}});
    assert_eq!(refused(&answer, &other), ["/tax"]);
    // An estimate without tax can be offered with one.
    let bare = answer_of(DEMO_JOBS[0].1);
    let quotation = quoted(&bare, &other);
    assert!(!quotation.tax.amount.is_zero());
    let whole = quotation.totals.before_tax + quotation.tax.amount;
    assert_eq!(quotation.totals.total, whole);
    assert_eq!(json!(quotation.totals.before_tax), bare["price"]["total"]);
}

#[test]
fn what_cannot_be_offered_is_refused_with_everything_that_is_wrong() {
    let answer = taxed();
    let wrong = json!({
        "number": "(", "valid_until": "2026-06-11", "notes": [""], "references": {"order": "\u{1}"},
        "seller": {"name": ""}, "schedule": {"by": "line", "groups": []}
    });
    let pointers = refused(&answer, &wrong);
    for at in [
        "number",
        "seller/name",
        "valid_until",
        "references/order",
        "notes/0",
        "schedule",
    ] {
        assert!(pointers.contains(&format!("/{at}")), "{at}: {pointers:?}");
    }
    let mut unpriced = answer.clone();
    unpriced["price"]["total"] = Value::Null;
    unpriced["price"]["unpriced"] = json!([{"code": "x", "description": "y", "why": "z"}]);
    assert_eq!(refused(&unpriced, &json!({})), ["/estimate/price/unpriced"]);
    let mut rateless = answer;
    let steps = rateless["price"]["build_up"].as_array_mut();
    for step in steps.expect("steps") {
        step.as_object_mut().expect("a step").shift_remove("rate");
    }
    assert_eq!(refused(&rateless, &json!({})), ["/estimate/price/build_up"]);
}

#[test]
fn a_quotation_is_named_by_what_it_says() {
    let answer = taxed();
    let (one, same) = (quoted(&answer, &json!({})), quoted(&answer, &json!({})));
    assert_eq!(one, same);
    let other = quoted(&answer, &json!({"number": "Q-2"}));
    assert_ne!(one.id, other.id);
    assert_ne!(write_quotation(&one), write_quotation(&other));
}

#[test]
fn its_rows_add_up_to_the_price_and_no_cell_is_a_formula() {
    let quotation = quoted(&taxed(), &json!({"schedule": {"by": "line"}}));
    let bytes = write_quotation_lines(&quotation).expect("rows");
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    let header = reader.headers().expect("a header").clone();
    let at = |name: &str| {
        header
            .iter()
            .position(|column| column == name)
            .expect("a column")
    };
    let (amount, buyer) = (at("amount"), at("buyer"));
    let mut sum = Amount::ZERO;
    for row in reader.records() {
        let row = row.expect("a row");
        sum += Amount::parse(&row[amount]).expect("an amount");
        assert_eq!(&row[buyer], "School <invented>");
        assert!(row.iter().all(|cell| !cell.starts_with(['=', '+', '@'])));
    }
    assert_eq!(sum, quotation.totals.total);
}
