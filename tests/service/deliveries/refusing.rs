//! What is not sent at all, and how that is said.
//!
//! Invariant: whatever is refused reaches nobody.

use super::receiver::Receiver;
use super::{invoice, ok, serve, serve_for};
use crate::launched::{Launched, problem};
use serde_json::{Value, json};

/// The faults of a request: pointer, and what is accepted.
async fn faults(service: &Launched, sent: &Value) -> Vec<(String, String)> {
    let refused = problem(service.post("/v1/deliveries").json(sent), 422).await;
    let text = |fault: &Value, name: &str| fault[name].as_str().expect("text").to_owned();
    let errors = refused["errors"].as_array().expect("faults");
    errors
        .iter()
        .map(|fault| (text(fault, "pointer"), text(fault, "accepted")))
        .collect()
}

#[actix_web::test]
async fn an_unknown_destination_names_the_known_ones_beside_the_other_faults() {
    let receiver = Receiver::start(vec![ok()]);
    let service = serve_for(&receiver, 1).await;
    let sent =
        json!({"destination": "https://10.0.0.1/", "document": {"text": "", "media_type": "x"}});
    let found = faults(&service, &sent).await;
    assert_eq!(
        found[0],
        ("/destination".to_owned(), "archive, books".to_owned())
    );
    let rest: Vec<&str> = found[1..].iter().map(|(at, _)| at.as_str()).collect();
    assert_eq!(rest, ["/document/media_type", "/document/text"]);
    let none = Launched::start().await;
    let found = faults(&none, &invoice()).await;
    assert!(found[0].1.contains("no destination"), "{found:?}");
    assert_eq!(receiver.calls(), 0);
}

#[actix_web::test]
async fn a_document_that_is_none_is_refused() {
    let receiver = Receiver::start(vec![ok()]);
    let service = serve_for(&receiver, 1).await;
    for (document, at) in [
        (json!({}), "/document"),
        (json!([1]), "/document"),
        (json!("text"), "/document"),
        (json!(null), "/document"),
        (json!({"text": "a"}), "/document/media_type"),
        (json!({"media_type": "text/csv"}), "/document/text"),
        (
            json!({"text": 7, "media_type": "text/csv"}),
            "/document/text",
        ),
        (
            json!({"text": "a", "media_type": "application/pdf"}),
            "/document/media_type",
        ),
    ] {
        let sent = json!({"destination": "books", "document": document});
        let found = faults(&service, &sent).await;
        assert_eq!(found.len(), 1, "{document}: {found:?}");
        assert_eq!(found[0].0, at, "{document}");
    }
    let found = faults(&service, &json!({"address": "x", "document": 1})).await;
    let mut pointers: Vec<&str> = found.iter().map(|(at, _)| at.as_str()).collect();
    pointers.sort_unstable();
    assert_eq!(pointers, ["/address", "/destination", "/document"]);
    assert_eq!(receiver.calls(), 0);
}

/// Of two readers one may take the first and one the second.
#[actix_web::test]
async fn a_field_that_stands_twice_is_refused() {
    let receiver = Receiver::start(vec![ok()]);
    let service = serve_for(&receiver, 1).await;
    let body = r#"{"destination": "books", "document": {"lines": [{"total": "1.00", "total": "2.00"}], "a": 1}}"#;
    let post = service.post("/v1/deliveries");
    let post = post.header("Content-Type", "application/json").body(body);
    let refused = problem(post, 422).await;
    assert_eq!(
        refused["errors"][0]["pointer"], "/document/lines/0/total",
        "{refused}"
    );
    assert_eq!(receiver.calls(), 0);
}

#[actix_web::test]
async fn a_destination_gets_only_what_it_takes() {
    let receiver = Receiver::start(vec![ok()]);
    let further = "allow_private = true\nmedia_types = [\"text/csv\", \"application/json\"]\n";
    let service = serve(&receiver.address(), further).await;
    let document = json!({"text": "<a/>", "media_type": "application/xml"});
    let found = faults(
        &service,
        &json!({"destination": "books", "document": document}),
    )
    .await;
    assert_eq!(found[0].0, "/document/media_type");
    assert!(
        found[0].1.ends_with("text/csv, application/json"),
        "{found:?}"
    );
    assert_eq!(receiver.calls(), 0);
    let answer = service.post("/v1/deliveries").json(&invoice()).send().await;
    assert_eq!(answer.expect("an answer").status(), 200);
    assert_eq!(receiver.calls(), 1);
}

#[actix_web::test]
async fn a_key_that_cannot_be_passed_on_is_refused() {
    let receiver = Receiver::start(vec![ok()]);
    let service = serve_for(&receiver, 1).await;
    let long = "k".repeat(256);
    for keys in [
        vec![""],
        vec![long.as_str()],
        vec!["a", "b"],
        vec!["\u{fc}"],
    ] {
        let mut post = service.post("/v1/deliveries").json(&invoice());
        for key in &keys {
            post = post.header("Idempotency-Key", *key);
        }
        let refused = problem(post, 400).await;
        assert!(
            refused["detail"]
                .as_str()
                .is_some_and(|text| text.contains("Idempotency-Key"))
        );
    }
    assert_eq!(receiver.calls(), 0);
}
