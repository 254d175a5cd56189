//! What the document says of every call alike: the words that `format` takes, headers and queries that are
//! never null, the job that stands as an example, bytes that are no JSON, and how a body of a wrong kind or size is refused.
//!
//! Invariants: the words come from the media types that the call answers in; a refusal that a handler
//! describes itself keeps its words. Absent: any list of paths.

use super::access::refusal;
use crate::http::format::Format;
use serde_json::{Map, Value, json};

/// The body whose example others borrow.
const LENDER: &str = "/paths/~1v1~1estimates/post/requestBody/content/application~1json";

/// Writes it into every operation of a document.
pub(super) fn describe_alike(document: &mut Value) {
    let lent = document.pointer(LENDER).cloned().unwrap_or_default();
    let paths = document.get_mut("paths").and_then(Value::as_object_mut);
    let items = paths.into_iter().flatten().map(|(_, item)| item);
    let operations = items.filter_map(Value::as_object_mut).flatten();
    for operation in operations.filter_map(|(_, operation)| operation.as_object_mut()) {
        let words = words_of_format(operation);
        for parameter in parameters(operation) {
            never_null(parameter);
            if parameter["name"] == "format" {
                parameter["schema"] = json!({"type": "string", "enum": words});
            }
        }
        borrow_example(operation, &lent);
        operation.values_mut().for_each(bare_bytes);
        refuse(operation);
    }
}

/// Gives a call that takes what the lender takes, and shows none, the lender's example.
fn borrow_example(operation: &mut Map<String, Value>, lent: &Value) {
    let body = operation.get_mut("requestBody");
    let body = body.and_then(|body| body.pointer_mut("/content/application~1json"));
    if let Some(body) = body.and_then(Value::as_object_mut)
        && body
            .get("schema")
            .is_some_and(|schema| *schema == lent["schema"])
        && !body.contains_key("example")
    {
        let example = || lent["examples"].clone();
        body.entry("examples").or_insert_with(example);
    }
}

fn parameters(operation: &mut Map<String, Value>) -> impl Iterator<Item = &mut Value> {
    let all = operation
        .get_mut("parameters")
        .and_then(Value::as_array_mut);
    all.into_iter().flatten()
}

/// What `format` may ask for: the media types of a good answer, by their words.
fn words_of_format(operation: &Map<String, Value>) -> Vec<&'static str> {
    let good = operation
        .get("responses")
        .and_then(|responses| responses.pointer("/200/content"))
        .and_then(Value::as_object);
    let offered = |format: &Format| good.is_some_and(|good| good.contains_key(format.media_type()));
    let offered = Format::ALL.into_iter().filter(offered);
    offered.map(Format::name).collect()
}

/// A header or a part of a query is text that is there or is not: what the handler may go without is no null.
fn never_null(parameter: &mut Value) {
    if let Some(kinds) = parameter.pointer_mut("/schema/type")
        && let Some([kind]) = kinds.as_array().map(|all| without_null(all)).as_deref()
    {
        *kinds = kind.clone();
    }
}

/// Says of pages and workbooks that they are bytes: the derive takes them for a list of numbers in JSON.
fn bare_bytes(part: &mut Value) {
    match part {
        Value::Object(members) => {
            for format in [Format::Xlsx, Format::Pdf] {
                if let Some(content) = members.get_mut(format.media_type()) {
                    content["schema"] = json!({"type": "string", "format": "binary"});
                }
            }
            members.values_mut().for_each(bare_bytes);
        }
        Value::Array(items) => items.iter_mut().for_each(bare_bytes),
        _ => {}
    }
}

fn without_null(kinds: &[Value]) -> Vec<Value> {
    let said = kinds.iter().filter(|kind| *kind != "null");
    said.cloned().collect()
}

fn refuse(operation: &mut Map<String, Value>) {
    let takes_a_body = operation.contains_key("requestBody");
    let asks_for_a_format = parameters(operation).any(|parameter| parameter["name"] == "format");
    let Some(responses) = operation
        .get_mut("responses")
        .and_then(Value::as_object_mut)
    else {
        return;
    };
    let refusals = [
        (
            asks_for_a_format,
            "406",
            "None of the accepted formats can be given.",
        ),
        (takes_a_body, "413", "The body is too large."),
        (
            takes_a_body,
            "415",
            "The body is sent as something else than what is read here.",
        ),
    ];
    for (_, status, says) in refusals.into_iter().filter(|(holds, ..)| *holds) {
        responses.entry(status).or_insert_with(|| refusal(says));
    }
    // By status, as the rest of the document has it.
    responses.sort_keys();
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_operation_says_its_formats_and_its_refusals() {
        let format = json!({"name": "format", "in": "query", "schema": {"type": "string"}});
        let header =
            json!({"name": "If-Match", "in": "header", "schema": {"type": ["string", "null"]}});
        let numbers = json!({"schema": {"type": "array"}});
        let good = json!({"content": {"application/pdf": numbers, "application/json": {}}});
        let own = json!({"description": "own"});
        let mut document = json!({"paths": {
            "/a": {"post": {"parameters": [format, header], "requestBody": {}, "responses": {"200": good, "415": own}}},
            "/b": {"get": {"responses": {"200": {}}}},
            "/c": {"post": {"requestBody": {"content": {"application/json": {"schema": "job"}}}, "responses": {}}},
            "/v1/estimates": {"post": {"requestBody": {"content": {"application/json": {"schema": "job", "examples": "one"}}}, "responses": {}}},
        }});
        describe_alike(&mut document);
        let call = &document["paths"]["/a"]["post"];
        let words = json!({"type": "string", "enum": ["json", "pdf"]});
        assert_eq!(call["parameters"][0]["schema"], words);
        assert_eq!(call["parameters"][1]["schema"], json!({"type": "string"}));
        assert_eq!(call["responses"]["415"], own);
        let page = &call["responses"]["200"]["content"]["application/pdf"];
        assert_eq!(page["schema"]["format"], "binary");
        let responses = call["responses"].as_object().expect("some");
        let statuses: Vec<&String> = responses.keys().collect();
        assert_eq!(statuses, ["200", "406", "413", "415"]);
        let borrowed = &document["paths"]["/c"]["post"]["requestBody"]["content"];
        assert_eq!(borrowed["application/json"]["examples"], "one");
        assert_eq!(
            document["paths"]["/b"],
            json!({"get": {"responses": {"200": {}}}})
        );
    }
}
