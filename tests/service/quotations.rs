//! Quotations and bills as XML, as other software asks for them.

use crate::answered::json_of;
use crate::launched::{Launched, problem, problem_of};
use reqwest::header::{ACCEPT, CONTENT_TYPE};
use serde_json::{Value, json};

const JOB: &str = include_str!("../../examples/straight.json");

/// A request for a paper of the example, from its answer as it came.
async fn asked(service: &Launched) -> Value {
    let job: Value = serde_json::from_str(JOB).expect("JSON");
    let answer = json_of(service.post("/v1/estimates").json(&job)).await;
    json!({
        "number": "Q-1", "issue_date": "2026-06-12", "estimate": answer, "due_date": "2026-07-12",
        "seller": {"name": "Gravel & Sons <invented>", "country": "US", "registration": "R-1"},
        "buyer": {"name": "مدرسة", "country": "US"}
    })
}

fn without(mut request: Value, at: &str) -> Value {
    let (above, field) = at.rsplit_once('/').expect("a pointer");
    let above = request.pointer_mut(above).and_then(Value::as_object_mut);
    above.expect("an object").shift_remove(field);
    request
}

#[actix_web::test]
async fn a_quotation_comes_as_json_xml_and_rows_with_one_total() {
    let service = Launched::start().await;
    let request = without(asked(&service).await, "/due_date");
    let total = request["estimate"]["price"]["total"].clone();
    let send = |accept: &'static str| service.post("/v1/quotations").header(ACCEPT, accept);
    let answer = send("*/*").json(&request).send().await.expect("an answer");
    assert_eq!(answer.status(), 200);
    let quotation: Value = answer.json().await.expect("JSON");
    assert_eq!(quotation["totals"]["total"], total);
    let total = total.as_str().expect("an amount");
    for (accept, wanted) in [
        (
            "application/xml",
            format!("<cbc:PayableAmount currencyID=\"USD\">{total}</cbc:PayableAmount>"),
        ),
        ("text/csv", format!(",{total},USD,")),
    ] {
        let answer = send(accept).json(&request).send().await.expect("an answer");
        assert_eq!(answer.status(), 200);
        let kind = answer.headers()[CONTENT_TYPE].to_str().expect("text");
        assert!(kind.starts_with(accept), "{kind}");
        assert_eq!(answer.headers()["vary"], "Accept");
        let text = answer.text().await.expect("text");
        assert!(text.contains(&wanted), "{text}");
    }
}

#[actix_web::test]
async fn a_quotation_comes_on_paper_with_its_price_and_a_mark_that_is_none_is_a_fault() {
    let service = Launched::start().await;
    let mut request = without(asked(&service).await, "/due_date");
    let html = service.post("/v1/quotations?format=html").json(&request);
    let html = html.send().await.expect("an answer").text().await;
    let html = html.expect("text");
    assert!(
        html.contains("Gravel &amp; Sons &lt;invented&gt;"),
        "{html}"
    );
    let total = request["estimate"]["price"]["total"].as_str().expect("one");
    let cents = total.rsplit('.').next().expect("decimals");
    assert!(html.contains(&format!(".{cents}")), "{total}: {html}");
    let pdf = service
        .post("/v1/quotations?format=pdf&paper=a4")
        .json(&request);
    let pdf = pdf
        .send()
        .await
        .expect("an answer")
        .bytes()
        .await
        .expect("bytes");
    assert!(pdf.starts_with(b"%PDF-"));
    request["logo"] = json!("no picture");
    request["number"] = json!("(");
    let refused = problem(
        service.post("/v1/quotations?format=pdf").json(&request),
        422,
    )
    .await;
    let errors = refused["errors"].as_array().expect("faults").iter();
    let at: Vec<&Value> = errors.map(|fault| &fault["pointer"]).collect();
    assert_eq!(at, ["/logo", "/number"]);
}

#[actix_web::test]
async fn a_bill_comes_as_xml_and_what_the_standard_asks_of_it_is_a_fault_in_the_request() {
    let service = Launched::start().await;
    let request = asked(&service).await;
    let send = |request: Value| {
        let post = service.post("/v1/invoices?format=xml").json(&request);
        async { post.send().await.expect("an answer") }
    };
    let answer = send(request.clone()).await;
    assert_eq!(answer.status(), 200);
    let text = answer.text().await.expect("text");
    assert!(text.contains("<cbc:InvoiceTypeCode>380</cbc:InvoiceTypeCode>"));
    assert!(
        text.contains("Gravel &amp; Sons &lt;invented&gt;"),
        "{text}"
    );
    for at in [
        "/seller/country",
        "/buyer/country",
        "/seller/registration",
        "/due_date",
    ] {
        let refused = problem_of(send(without(request.clone(), at)).await, 422).await;
        assert_eq!(refused["errors"][0]["pointer"], at, "{refused}");
    }
}

#[actix_web::test]
async fn a_credit_note_comes_as_xml_and_points_into_the_bill_that_was_sent() {
    let service = Launched::start().await;
    let request = asked(&service).await;
    let sent = service.post("/v1/invoices").json(&request).send().await;
    let bill: Value = sent.expect("an answer").json().await.expect("JSON");
    let credit =
        json!({"number": "CN-1", "issue_date": "2026-07-01", "bill": bill, "reason": "Not built"});
    let send = |request: Value| {
        let post = service.post("/v1/credit-notes?format=xml").json(&request);
        async { post.send().await.expect("an answer") }
    };
    let answer = send(credit.clone()).await;
    assert_eq!(answer.status(), 200);
    let text = answer.text().await.expect("text");
    assert!(text.contains("<cbc:CreditNoteTypeCode>381</cbc:CreditNoteTypeCode>"));
    assert!(text.contains("<cac:BillingReference>"), "{text}");
    // A bill that was altered on its way is another bill.
    let altered = send(without(credit.clone(), "/bill/buyer/country")).await;
    let refused = problem_of(altered, 422).await;
    assert_eq!(refused["errors"][0]["pointer"], "/bill/id");
    let request = without(request, "/buyer/country");
    let sent = service.post("/v1/invoices").json(&request).send().await;
    let mut credit = credit;
    credit["bill"] = sent.expect("an answer").json().await.expect("JSON");
    let refused = problem_of(send(credit).await, 422).await;
    assert_eq!(refused["errors"][0]["pointer"], "/bill/buyer/country");
}

#[actix_web::test]
async fn what_is_not_priced_or_not_offered_is_refused() {
    let service = Launched::start().await;
    let mut request = without(asked(&service).await, "/due_date");
    let drawn = service.post("/v1/quotations?format=svg").json(&request);
    problem(drawn, 406).await;
    request["estimate"]["price"]["total"] = Value::Null;
    request["estimate"]["price"]["unpriced"] =
        json!([{"code": "x", "description": "y", "why": "z"}]);
    let refused = problem(service.post("/v1/quotations").json(&request), 422).await;
    assert_eq!(refused["errors"][0]["pointer"], "/estimate/price/unpriced");
    assert_eq!(refused["errors"].as_array().map(Vec::len), Some(1));
}
