//! Proposals, as they are asked for.

use crate::answered::json_of;
use crate::launched::{Launched, problem, typed};
use serde_json::{Value, json};

const STRAIGHT: &str = include_str!("../../examples/straight.json");
const PARTIES: &str = include_str!("../../examples/proposal-parties.json");

/// A request from the answer to a demo job.
async fn asked(service: &Launched) -> Value {
    let job: Value = serde_json::from_str(STRAIGHT).expect("an example");
    let answer = json_of(service.post("/v1/estimates?job=true").json(&job)).await;
    let mut request: Value = serde_json::from_str(PARTIES).expect("an example");
    request["estimate"] = answer;
    request
}

#[actix_web::test]
async fn a_proposal_comes_as_a_page_as_pdf_and_as_data() {
    let service = Launched::start().await;
    let request = asked(&service).await;
    let (kind, html) = typed(&service, "/v1/proposals", &request).await;
    assert_eq!(kind, "text/html; charset=utf-8");
    let html = String::from_utf8(html).expect("UTF-8");
    for part in [
        "USD 8,076.59",
        "7. Time",
        "<svg",
        "Three Rivers Building (invented)",
    ] {
        assert!(html.contains(part), "{part}");
    }
    let (kind, pdf) = typed(&service, "/v1/proposals?format=pdf", &request).await;
    assert_eq!(kind, "application/pdf");
    let text = String::from_utf8_lossy(&pdf);
    // Two pages of letter paper, upright, in points (8.5 by 11 inches).
    assert!(text.contains("/Count 2") && text.contains("[0 0 612 792]"));
    let (_, again) = typed(&service, "/v1/proposals?format=pdf", &request).await;
    assert!(again == pdf, "the same request gives the same bytes");
    let (_, a4) = typed(&service, "/v1/proposals?format=pdf&paper=a4", &request).await;
    assert!(String::from_utf8_lossy(&a4).contains("[0 0 595.27"));
    let (kind, data) = typed(&service, "/v1/proposals?format=json", &request).await;
    assert_eq!(kind, "application/json");
    let data: Value = serde_json::from_slice(&data).expect("JSON");
    assert_eq!(
        data["price"]["amount"],
        request["estimate"]["price"]["total"]
    );
    assert_eq!(data["sections"].as_array().map(Vec::len), Some(13));
}

#[actix_web::test]
async fn what_cannot_be_offered_is_refused_with_every_fault_at_its_place() {
    let service = Launched::start().await;
    let mut request = asked(&service).await;
    request["estimate"]["price"]["lines"][0]["extended"] = json!("1.00");
    request["logo"] = json!("R0lGODlhAQABAAAAACw=");
    request["buyer"]["name"] = json!("");
    let refusal = problem(service.post("/v1/proposals").json(&request), 422).await;
    let errors = refusal["errors"].as_array().expect("faults");
    let pointers: Vec<&str> = errors
        .iter()
        .filter_map(|error| error["pointer"].as_str())
        .collect();
    for pointer in ["/buyer/name", "/estimate/price/lines/0/extended", "/logo"] {
        assert!(pointers.contains(&pointer), "{pointer} in {pointers:?}");
    }
}

#[actix_web::test]
async fn unknown_fields_are_refused_and_those_of_the_answer_are_not() {
    let service = Launched::start().await;
    let mut request = asked(&service).await;
    request["estimate"]["of_a_later_version"] = json!(1);
    request["valid_for"] = json!(30);
    let refusal = problem(service.post("/v1/proposals").json(&request), 422).await;
    let errors = refusal["errors"].as_array().expect("faults");
    assert_eq!(errors.len(), 1, "{errors:?}");
    assert!(errors[0].to_string().contains("valid_for"), "{errors:?}");
}

#[actix_web::test]
async fn a_format_that_is_not_offered_is_told() {
    let service = Launched::start().await;
    let request = asked(&service).await;
    let wanted = service.post("/v1/proposals?format=xlsx").json(&request);
    problem(wanted, 406).await;
}
