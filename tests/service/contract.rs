//! The OpenAPI document: checked in, served, and sound.

use crate::launched::{Folder, Launched, command};
use serde_json::{Map, Value};
use std::collections::BTreeSet;

const CHECKED_IN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/openapi/openapi.json");

fn printed() -> String {
    let ended = command(&Folder::new())
        .arg("openapi")
        .output()
        .expect("it ends");
    assert!(ended.status.success());
    String::from_utf8(ended.stdout).expect("text")
}

fn document() -> Value {
    serde_json::from_str(&printed()).expect("the document is JSON")
}

/// Path, method and operation of everything in the document.
fn operations(document: &Value) -> Vec<(String, Value)> {
    let paths = document["paths"].as_object().expect("paths");
    let of = |(path, item): (&String, &Value)| -> Vec<(String, Value)> {
        let methods = item.as_object().expect("a path item").iter();
        methods
            .map(|(method, operation)| (format!("{method} {path}"), operation.clone()))
            .collect()
    };
    paths.iter().flat_map(of).collect()
}

#[test]
fn the_checked_in_document_is_the_generated_one() {
    let checked_in = std::fs::read_to_string(CHECKED_IN).expect("openapi/openapi.json is there");
    assert!(
        checked_in == printed(),
        "openapi/openapi.json is out of date; renew it with: cargo run --release -- openapi > openapi/openapi.json"
    );
}

#[actix_web::test]
async fn the_served_document_is_the_printed_one() {
    let service = Launched::start().await;
    let answer = service
        .get("/openapi.json")
        .send()
        .await
        .expect("an answer");
    assert_eq!(answer.headers()["content-type"], "application/json");
    assert_eq!(answer.text().await.expect("text"), printed());
}

#[test]
fn operations_have_camel_case_names_of_their_own_and_a_described_tag() {
    let document = document();
    let tags = document["tags"].as_array().expect("tags");
    let described: BTreeSet<&str> = tags
        .iter()
        .filter(|tag| tag["description"].is_string())
        .filter_map(|tag| tag["name"].as_str())
        .collect();
    let mut names = BTreeSet::new();
    for (at, operation) in operations(&document) {
        let name = operation["operationId"]
            .as_str()
            .expect("a name")
            .to_owned();
        assert!(
            name.chars().all(|c| c.is_ascii_alphanumeric()),
            "{at}: {name}"
        );
        assert!(
            name.starts_with(|c: char| c.is_ascii_lowercase()),
            "{at}: {name}"
        );
        assert!(names.insert(name), "{at} shares its name");
        let tag = operation["tags"]
            .as_array()
            .filter(|tags| tags.len() == 1)
            .and_then(|tags| tags[0].as_str());
        assert!(
            tag.is_some_and(|tag| described.contains(tag)),
            "{at}: {tag:?}"
        );
        assert!(operation["summary"].is_string(), "{at} has no summary");
    }
    assert!(names.contains("getLivez"));
}

#[test]
fn every_answer_is_described_and_every_refusal_is_a_problem() {
    for (at, operation) in operations(&document()) {
        for (status, answer) in operation["responses"].as_object().expect("responses") {
            assert!(
                answer["description"]
                    .as_str()
                    .is_some_and(|text| !text.is_empty()),
                "{at} {status}"
            );
            let refusal = status.starts_with('4') || status.starts_with('5');
            let schema = &answer["content"]["application/problem+json"]["schema"]["$ref"];
            assert_eq!(
                refusal,
                schema == "#/components/schemas/Problem",
                "{at} {status}"
            );
        }
    }
}

#[test]
fn only_the_open_calls_are_without_a_key() {
    let document = document();
    assert_eq!(
        document["security"],
        serde_json::json!([{"bearer": []}, {"key": []}])
    );
    for (at, operation) in operations(&document) {
        let open = operation.get("security") == Some(&serde_json::json!([{}]));
        let needs_key = at.contains(" /v1/") || at.ends_with(" /metrics");
        assert_eq!(open, !needs_key, "{at}");
    }
}

#[test]
fn every_reference_leads_somewhere_and_nothing_asks_the_impossible() {
    let document = document();
    let components = document["components"].as_object().expect("components");
    check_schemas(&document, components);
}

fn check_schemas(value: &Value, components: &Map<String, Value>) {
    match value {
        Value::Object(members) => {
            if let Some(reference) = members.get("$ref").and_then(Value::as_str) {
                assert!(
                    target(reference, components).is_some(),
                    "{reference} leads nowhere"
                );
            }
            for part in members
                .get("allOf")
                .and_then(Value::as_array)
                .into_iter()
                .flatten()
            {
                let named = part["$ref"]
                    .as_str()
                    .and_then(|reference| target(reference, components));
                let closed = named.unwrap_or(part)["additionalProperties"] == Value::Bool(false);
                assert!(
                    !closed
                        || members["allOf"]
                            .as_array()
                            .is_some_and(|all| all.len() == 1),
                    "a closed part of allOf refuses the other parts: {part}"
                );
            }
            members
                .values()
                .for_each(|member| check_schemas(member, components));
        }
        Value::Array(items) => items
            .iter()
            .for_each(|item| check_schemas(item, components)),
        _ => {}
    }
}

fn target<'a>(reference: &str, components: &'a Map<String, Value>) -> Option<&'a Value> {
    let (kind, name) = reference.strip_prefix("#/components/")?.split_once('/')?;
    components.get(kind)?.get(name)
}
