//! What the document says of keys: which roles open a call, and how a call without one is refused.
//!
//! Invariants: the roles come from the function that the gate asks; a refusal that a handler
//! describes itself keeps its words. Absent: any list of paths.

use crate::{
    book::Role,
    http::roles::{Need, needed},
};
use actix_web::http::Method;
use serde_json::{Map, Value, json};

/// Writes keys into every operation of a document.
pub(super) fn describe_keys(document: &mut Value) {
    let paths = document.get_mut("paths").and_then(Value::as_object_mut);
    for (path, item) in paths.into_iter().flatten() {
        let operations = item.as_object_mut().into_iter().flatten();
        for (method, operation) in operations {
            let method = Method::from_bytes(method.to_ascii_uppercase().as_bytes());
            if let (Ok(method), Some(operation)) = (method, operation.as_object_mut()) {
                describe(operation, needed(&method, path));
            }
        }
    }
}

fn describe(operation: &mut Map<String, Value>, need: Need) {
    operation.insert("security".to_owned(), security(need));
    if need == Need::Open {
        return;
    }
    let responses = operation.get_mut("responses");
    let Some(responses) = responses.and_then(Value::as_object_mut) else {
        return;
    };
    for (status, refusal) in refusals(need) {
        responses.entry(status).or_insert(refusal);
    }
    // By status, as the rest of the document has it.
    responses.sort_keys();
}

/// The ways to bring a key. A requirement of OpenAPI 3.1 may list role names for any scheme.
fn security(need: Need) -> Value {
    let roles: Vec<&str> = match need {
        Need::Open => return json!([{}]),
        Need::AnyKey => Vec::new(),
        Need::OneOf(roles) => roles.iter().map(|role| role.word()).collect(),
    };
    let mut ways = vec![json!({"bearer": roles}), json!({"key": roles})];
    if need.allows(Role::Cell) {
        ways.push(json!({"cell_key": [Role::Cell.word()]}));
    }
    ways.into()
}

fn refusals(need: Need) -> Vec<(&'static str, Value)> {
    let mut all = vec![
        (
            "401",
            refusal("A key is needed, and none or a wrong or revoked one was sent."),
        ),
        (
            "429",
            after_a_while("The key has called as often as it may for the moment."),
        ),
        (
            "503",
            after_a_while("Not for the moment; `detail` says why."),
        ),
    ];
    if let Need::OneOf(_) = need {
        all.push((
            "403",
            refusal("The key's role does not open this call; `detail` names those that do."),
        ));
    }
    all
}

/// A problem as an answer.
pub(super) fn refusal(description: &str) -> Value {
    json!({
        "description": description,
        "content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}},
    })
}

fn after_a_while(description: &str) -> Value {
    let mut refusal = refusal(description);
    refusal["headers"] = json!({"Retry-After": {
        "description": "Seconds after which to ask again.",
        "schema": {"type": "integer", "format": "int32"},
    }});
    refusal
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_operation_says_its_roles_and_its_refusals() {
        let own = json!({"description": "own"});
        let mut document = json!({"paths": {
            "/livez": {"get": {"responses": {"200": {}}}},
            "/v1/figures": {"get": {"responses": {"200": {}}}},
            "/v1/price-books/{book}": {"put": {"responses": {"200": {}, "503": own}}},
        }});
        describe_keys(&mut document);
        let paths = &document["paths"];
        assert_eq!(
            paths["/livez"]["get"],
            json!({"security": [{}], "responses": {"200": {}}})
        );
        let ways = &paths["/v1/figures"]["get"]["security"];
        assert_eq!(ways[2], json!({"cell_key": ["cell"]}));
        let put = &paths["/v1/price-books/{book}"]["put"];
        assert_eq!(put["security"][0], json!({"bearer": ["prices", "admin"]}));
        assert_eq!(put["responses"]["503"], own);
        let statuses: Vec<&String> = put["responses"].as_object().expect("some").keys().collect();
        assert_eq!(statuses, ["200", "401", "403", "429", "503"]);
    }
}
