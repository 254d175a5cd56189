//! The OpenAPI 3.1 document: assembled here, once, for the served and the printed copy.
//!
//! Invariants: paths come from the same list of routes that the server runs; operation ids are
//! camelCase and the handlers' names; a body that the server would refuse for an unknown field is
//! refused by the document too; no name stands for two schemas. Absent: any path written by hand.

mod access;
mod alike;
mod spreadsheet;

use super::problem::Problem;
use super::routes::Routes;
use crate::quantity::Fault;
use actix_web::App;
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;
use utoipa::{
    PartialSchema as _, ToSchema as _,
    openapi::{
        Components, Info, InfoBuilder, License, OpenApi, OpenApiBuilder, Server,
        security::{
            ApiKey, ApiKeyValue, HttpAuthScheme, HttpBuilder, SecurityRequirement, SecurityScheme,
        },
        tag::{Tag, TagBuilder},
    },
};
use utoipa_actix_web::AppExt as _;

/// Every tag with what it gathers, in the order in which the page shows them.
const TAGS: [(&str, &str); 13] = [
    (
        "ramps",
        "Judge a ramp against rule sets: each rule with measured value, limit, margin and remedy.",
    ),
    (
        "takeoff",
        "Every material of a job, with order quantities, cut lists and the working.",
    ),
    (
        "loads",
        "Ready-mix loads shared between small pours: trucks, times, and what that saves.",
    ),
    ("crew", "Tasks, people, visits, hours on site and paid."),
    (
        "pour",
        "On which day to pour by its weather, and how that day goes, hour by hour.",
    ),
    ("estimates", "The whole job, priced."),
    (
        "documents",
        "What a priced answer becomes for the customer and the bookkeeper; nothing is priced again.",
    ),
    (
        "deliveries",
        "Documents sent to destinations that the operator has set, signed.",
    ),
    (
        "price books",
        "What things cost: the one thing that is kept.",
    ),
    (
        "rules",
        "Rule sets and crew rates as data, with their sources.",
    ),
    ("spreadsheets", "Figures for a cell, a row or a file."),
    ("access", "What was written by whom."),
    ("health", "Is the service there, and can it answer."),
];

const DESCRIPTION: &str = "\
Takes the taped measurements of an outdoor concrete access ramp and answers whether it meets \
published rules, what to buy, who works which hours, and a price that adds up. Every computing call \
takes the same job document, but for the load plan, which takes pours. The service keeps prices, never jobs.

**Quantities** are sent with their unit (`\"28 in\"`, `\"2'-4 1/2\\\"\"`, `\"711 mm\"`), never as bare \
numbers. **Money** is a decimal string.

**Refusals** are problem details (RFC 9457, `application/problem+json`) with a stable `type`; `errors` \
lists every fault at once, each with a JSON Pointer into the request. Outside of this stand requests \
that the HTTP parser itself refuses: a target beyond about 64 KiB, a header block beyond about 128 KiB \
or 95 lines, a missing `Host`, a bad `Content-Length`, bytes that are not HTTP. These get a bare status \
line without a body (400 or 431).

**Bounds**: a request target of 8 KiB, 64 header lines, 32 KiB of headers, a body of 1 MiB for a single \
call, nesting of 32, 10 s until the answer begins. A table to import and a batch have bounds of their own, \
which stand at their calls. A problem lists at most 1,000 faults.

**Load**: a replica that is too far behind, in which 4,096 connections stand, or in which too many bodies \
or answers lie, answers 503 of type `/problems/overloaded` with `Retry-After`; the call was not begun and may \
be sent again as it is. `/livez`, `/readyz` and `/metrics` are answered all the same. A connection is closed \
when no whole head of a call has come within 10 s of the last answer, and when nothing of an answer was taken \
for 60 s; who takes about 2 kB a second or more is awaited.

**Keys**: on a loopback address none is needed until the first key was made, but for what came through a \
proxy; from then on, and on any other address, every call outside `/livez`, `/readyz`, `/openapi.json`, `/docs` and `/` needs one. Each call names \
the roles that open it under `security`. A role has a rate a minute and a burst (`cell` 600 and 2,000, the \
others 1,200 and 300), unless the operator gave the key another rate; both hold for each replica by itself. \
On loopback the service answers only to a `Host` of localhost, 127.0.0.1, [::1] or a name the operator gave, \
and refuses a write from a page of a foreign origin.

Every answer names its request in `X-Request-Id`: by the name that was sent there (up to 64 letters, digits, \
`.`, `_` and `-`), else by the trace of a `traceparent`, else by a new one.

Outside of this document stand `/`, `/docs/` and `/openapi.json` (GET). Every GET answers to HEAD, every \
path to OPTIONS. Bodies are read uncompressed, a batch as it comes; answers are compressed on request.

A verdict here helps to prepare; the official decides.";

/// The document for a list of routes, as a JSON value.
pub fn document(routes: fn(&mut Routes<'_, '_>)) -> Value {
    let base = OpenApiBuilder::new()
        .info(info())
        .servers(Some([Server::new("/")]))
        .tags(Some(TAGS.map(tag)))
        .security(Some([need("bearer"), need("key")]))
        .components(Some(components()))
        .build();
    let (_, collected): (_, OpenApi) = App::new()
        .into_utoipa_app()
        .openapi(base)
        .configure(|config| routes(&mut Routes::Described(config)))
        .split_for_parts();
    // A document that cannot be written is empty, which the contract test refuses.
    let mut document = serde_json::to_value(collected).unwrap_or_default();
    name_operations(&mut document);
    close_tagged_bodies(&mut document);
    spreadsheet::describe_columns(&mut document);
    access::describe_keys(&mut document);
    alike::describe_alike(&mut document);
    document
}

/// The text of a document, as it is served and checked in.
pub fn print(document: &Value) -> String {
    format!("{document:#}\n")
}

fn info() -> Info {
    let mut license = License::new("Apache-2.0");
    license.identifier = Some("Apache-2.0".to_owned());
    InfoBuilder::new()
        .title("crossfall")
        .version(env!("CARGO_PKG_VERSION"))
        .description(Some(DESCRIPTION))
        .license(Some(license))
        .build()
}

fn tag((name, description): (&str, &str)) -> Tag {
    TagBuilder::new()
        .name(name)
        .description(Some(description))
        .build()
}

fn need(scheme: &str) -> SecurityRequirement {
    SecurityRequirement::new::<_, [&str; 0], &str>(scheme, [])
}

fn components() -> Components {
    let mut components = Components::new();
    components
        .schemas
        .insert(Problem::name().into(), Problem::schema());
    components
        .schemas
        .insert(Fault::name().into(), Fault::schema());
    let bearer = HttpBuilder::new()
        .scheme(HttpAuthScheme::Bearer)
        .description(Some("A key, as `Authorization: Bearer KEY`."))
        .build();
    components.add_security_scheme("bearer", SecurityScheme::Http(bearer));
    let key = ApiKeyValue::with_description("X-API-Key", "The same key in a header of its own.");
    components.add_security_scheme("key", SecurityScheme::ApiKey(ApiKey::Header(key)));
    let cell = ApiKeyValue::with_description(
        "key",
        "A key of role `cell` in the query, for a spreadsheet that sends no headers.",
    );
    components.add_security_scheme("cell_key", SecurityScheme::ApiKey(ApiKey::Query(cell)));
    components
}

/// Writes the handlers' names as camelCase operation ids.
fn name_operations(document: &mut Value) {
    let Some(paths) = document.get_mut("paths").and_then(Value::as_object_mut) else {
        return;
    };
    for item in paths.values_mut().filter_map(Value::as_object_mut) {
        for operation in item.values_mut().filter_map(Value::as_object_mut) {
            if let Some(Value::String(id)) = operation.get_mut("operationId") {
                *id = camel_case(id);
            }
        }
    }
}

fn camel_case(name: &str) -> String {
    let mut words = name.split('_');
    let first = words.next().unwrap_or_default().to_owned();
    words.fold(first, |all, word| {
        let (head, tail) = word.split_at(word.len().min(1));
        all + &head.to_ascii_uppercase() + tail
    })
}

/// Closes each variant of a tagged choice that a request body can hold.
///
/// The derive loses `deny_unknown_fields` on such choices, so that the document would allow what
/// the server refuses. Answers stay open: a field may be added to them later.
fn close_tagged_bodies(document: &mut Value) {
    let reached = schemas_of_bodies(document);
    let Some(schemas) = document
        .pointer_mut("/components/schemas")
        .and_then(Value::as_object_mut)
    else {
        return;
    };
    for (name, schema) in schemas {
        if reached.contains(name) {
            close_variants(schema);
        }
    }
}

/// Names of the schemas that request bodies refer to, directly or through others.
pub(super) fn schemas_of_bodies(document: &Value) -> BTreeSet<String> {
    let mut open = Vec::new();
    let paths = document.get("paths").and_then(Value::as_object);
    let operations = paths
        .into_iter()
        .flat_map(Map::values)
        .filter_map(Value::as_object)
        .flat_map(Map::values);
    for body in operations.filter_map(|operation| operation.get("requestBody")) {
        collect_references(body, &mut open);
    }
    let mut reached = BTreeSet::new();
    while let Some(name) = open.pop() {
        let schema = document
            .get("components")
            .and_then(|all| all.get("schemas"))
            .and_then(|all| all.get(&name));
        if let (Some(schema), true) = (schema, reached.insert(name)) {
            collect_references(schema, &mut open);
        }
    }
    reached
}

fn collect_references(value: &Value, into: &mut Vec<String>) {
    match value {
        Value::Object(members) => {
            if let Some(name) = members
                .get("$ref")
                .and_then(Value::as_str)
                .and_then(|r| r.strip_prefix("#/components/schemas/"))
            {
                into.push(name.to_owned());
            }
            members
                .values()
                .for_each(|member| collect_references(member, into));
        }
        Value::Array(items) => items.iter().for_each(|item| collect_references(item, into)),
        _ => {}
    }
}

/// Sets `additionalProperties: false` on each object variant below `schema` that says nothing of it.
fn close_variants(schema: &mut Value) {
    match schema {
        Value::Object(members) => {
            if let Some(Value::Array(variants)) = members.get_mut("oneOf") {
                variants
                    .iter_mut()
                    .filter_map(Value::as_object_mut)
                    .for_each(close);
            }
            members.values_mut().for_each(close_variants);
        }
        Value::Array(items) => items.iter_mut().for_each(close_variants),
        _ => {}
    }
}

fn close(variant: &mut Map<String, Value>) {
    if variant.contains_key("properties") && !variant.contains_key("additionalProperties") {
        variant.insert("additionalProperties".to_owned(), json!(false));
    }
}

/// Schemas with their names, in the order in which handlers bring them.
#[cfg(test)]
pub(super) type Gathered = Vec<(
    String,
    utoipa::openapi::RefOr<utoipa::openapi::schema::Schema>,
)>;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::http::routes;
    use std::collections::BTreeMap;

    /// Names that stand for more than one schema: the document would keep one of them and lie of the others.
    fn ambiguous(all: &Gathered) -> BTreeSet<&str> {
        let mut known = BTreeMap::new();
        let mut twice = BTreeSet::new();
        for (name, schema) in all {
            if known.entry(name).or_insert(schema) != &schema {
                twice.insert(name.as_str());
            }
        }
        twice
    }

    #[test]
    fn no_name_stands_for_two_schemas() {
        let mut all = Gathered::new();
        routes(&mut Routes::Gathered(&mut all));
        assert!(all.len() > 300, "{} schemas", all.len());
        assert_eq!(ambiguous(&all), BTreeSet::new());
        let (name, _) = all.first().cloned().expect("a schema");
        all.push((name.clone(), String::schema()));
        assert_eq!(ambiguous(&all), BTreeSet::from([name.as_str()]));
    }

    #[test]
    fn the_bounds_are_told_as_they_are() {
        let bounds = crate::http::bounds::Bounds::default();
        let (call, taking) = (bounds.for_call.as_secs(), bounds.for_taking.as_secs());
        for told in [
            format!("within {call} s of"),
            format!("for {taking} s;"),
            "in which 4,096 connections".to_owned(),
        ] {
            assert!(DESCRIPTION.contains(&told), "{told}");
        }
        assert_eq!(bounds.connections, 4_096);
        assert_eq!(bounds.for_more.as_secs(), 30, "the batch says so");
    }

    #[test]
    fn handler_names_become_camel_case() {
        assert_eq!(camel_case("post_ramps_check"), "postRampsCheck");
        assert_eq!(camel_case("livez"), "livez");
    }

    #[test]
    fn tagged_choices_are_closed_in_requests_and_open_in_answers() {
        let choice = json!({"oneOf": [{"type": "object", "properties": {"kind": {}}}, {"$ref": "#/components/schemas/C"}]});
        let mut document = json!({
            "paths": {"/x": {"post": {
                "requestBody": {"content": {"a": {"schema": {"$ref": "#/components/schemas/A"}}}},
                "responses": {"200": {"content": {"a": {"schema": {"$ref": "#/components/schemas/D"}}}}}
            }}},
            "components": {"schemas": {
                "A": {"properties": {"b": {"$ref": "#/components/schemas/B"}}},
                "B": choice.clone(), "C": {"type": "object", "properties": {}}, "D": choice,
            }}
        });
        close_tagged_bodies(&mut document);
        let closed = |at: &str| {
            document
                .pointer(at)
                .and_then(|v| v.get("additionalProperties"))
                .cloned()
        };
        assert_eq!(closed("/components/schemas/B/oneOf/0"), Some(json!(false)));
        assert_eq!(closed("/components/schemas/D/oneOf/0"), None);
        assert_eq!(closed("/components/schemas/C"), None);
    }
}
