//! Bad input: one clear problem that names every fault, where it is, and what to write instead.

use crate::computing::STRAIGHT;
use crate::launched::{Launched, problem};
use reqwest::header::CONTENT_TYPE;
use serde_json::{Value, json};

const CALLS: [&str; 4] = [
    "/v1/ramps/check",
    "/v1/takeoff",
    "/v1/crew-hours",
    "/v1/estimates",
];

async fn refused(service: &Launched, path: &str, body: String, status: u16) -> Value {
    problem(
        service
            .post(path)
            .header(CONTENT_TYPE, "application/json")
            .body(body),
        status,
    )
    .await
}

fn job(change: impl FnOnce(&mut Value)) -> String {
    let mut body: Value = serde_json::from_str(STRAIGHT).expect("JSON");
    change(&mut body);
    body.to_string()
}

/// Every fault has a place, what was found and what is accepted.
fn pointers(problem: &Value) -> Vec<String> {
    let errors = problem["errors"].as_array().expect("errors");
    for error in errors {
        assert!(
            error["found"].as_str().is_some_and(|text| !text.is_empty()),
            "{error}"
        );
        assert!(
            error["accepted"]
                .as_str()
                .is_some_and(|text| !text.is_empty()),
            "{error}"
        );
    }
    errors
        .iter()
        .map(|error| error["pointer"].as_str().expect("a pointer").to_owned())
        .collect()
}

#[actix_web::test]
async fn what_is_not_json_is_unreadable_on_every_call() {
    let service = Launched::start().await;
    for path in CALLS {
        for body in ["", "{", "[1, 2", "ramp=1"] {
            refused(&service, path, body.to_owned(), 400).await;
        }
        let request = service
            .post(path)
            .header(CONTENT_TYPE, "text/plain")
            .body(STRAIGHT);
        problem(request, 415).await;
    }
}

#[actix_web::test]
async fn a_body_of_five_megabytes_is_too_large() {
    let service = Launched::start().await;
    refused(
        &service,
        CALLS[3],
        job(|body| body["name"] = json!("x".repeat(5_000_000))),
        413,
    )
    .await;
}

#[actix_web::test]
async fn faults_of_shape_are_all_named_at_once() {
    let service = Launched::start().await;
    let body = job(|body| {
        body["ramp"]["path"][1]["rise"] = json!(24);
        body["ramp"]["path"][1]["length"] = json!("26 litres");
        body["slab"] = json!({"thickness": "NaN in", "colour": "red"});
        body["crew"] = json!({"members": [{"class": "painter", "count": 1}]});
        body["roof"] = json!({});
    });
    for path in CALLS {
        let answer = refused(&service, path, body.clone(), 422).await;
        let found = pointers(&answer);
        for pointer in [
            "/ramp/path/1/rise",
            "/ramp/path/1/length",
            "/slab/thickness",
            "/slab/colour",
            "/crew/members/0/class",
            "/roof",
        ] {
            assert!(
                found.iter().any(|place| place == pointer),
                "{pointer} is not in {found:?}"
            );
        }
    }
    let answer = refused(&service, CALLS[0], body, 422).await;
    let errors = answer["errors"].as_array().expect("errors");
    let bare = errors
        .iter()
        .find(|error| error["pointer"] == "/ramp/path/1/rise");
    let example = bare.expect("the bare number")["example"]
        .as_str()
        .expect("an example");
    assert!(
        example.contains("in") || example.contains("ft"),
        "shows how to write it: {example}"
    );
}

#[actix_web::test]
async fn faults_of_value_are_all_named_at_once_with_those_of_the_book() {
    let service = Launched::start().await;
    let body = job(|body| {
        body["ramp"]["width"] = json!("90 ft");
        body["ramp"]["path"][1] = json!({"kind": "run", "rise": "24 in", "slope": "0 %"});
        body["slab"] = json!({"thickness": "1 in"});
        body["book"] = json!({"code": "attic"});
    });
    let answer = refused(&service, CALLS[3], body, 422).await;
    let found = pointers(&answer);
    for pointer in [
        "/ramp/width",
        "/ramp/path/1/slope",
        "/slab/thickness",
        "/book/code",
    ] {
        assert!(
            found.iter().any(|place| place == pointer),
            "{pointer} is not in {found:?}"
        );
    }
}

#[actix_web::test]
async fn a_path_must_begin_with_a_landing_have_a_run_and_end() {
    let service = Launched::start().await;
    let run = json!({"kind": "run", "rise": "1 in", "length": "1 ft"});
    for path in [
        json!([]),
        json!([{"kind": "landing"}]),
        json!([run, {"kind": "landing"}]),
        Value::Array(vec![run.clone(); 10_000]),
    ] {
        let answer = refused(
            &service,
            CALLS[0],
            job(|body| body["ramp"]["path"] = path),
            422,
        )
        .await;
        assert!(pointers(&answer)[0].starts_with("/ramp/path"), "{answer}");
    }
}

#[actix_web::test]
async fn unknown_sets_revisions_and_kinds_are_named() {
    let service = Launched::start().await;
    let body = job(|body| body["site"]["rule_sets"] = json!(["ada-2010", "moon-2099"]));
    let answer = refused(&service, CALLS[0], body, 422).await;
    assert_eq!(pointers(&answer), ["/site/rule_sets/1"]);
    let body = job(|body| body["book"] = json!({"revision": 999}));
    let answer = refused(&service, CALLS[3], body, 422).await;
    assert_eq!(pointers(&answer), ["/book/revision"]);
    let body = job(|body| body["ramp"]["path"][0]["kind"] = json!("staircase"));
    let answer = refused(&service, CALLS[3], body, 422).await;
    assert!(pointers(&answer)[0].starts_with("/ramp/path/0"), "{answer}");
    problem(
        service
            .post("/v1/estimates?colour=red")
            .header(CONTENT_TYPE, "application/json")
            .body(STRAIGHT),
        400,
    )
    .await;
}

#[actix_web::test]
async fn a_query_that_cannot_be_read_is_told_with_what_it_holds() {
    let service = Launched::start().await;
    for (path, held) in [
        (
            "/v1/price-books/demo/items?limit=x&key=hidden-word",
            "the query holds limit=x.",
        ),
        (
            "/v1/price-books/demo/import?dry_run=true&dry_run=false",
            "dry_run may stand once.",
        ),
    ] {
        let request = match path.contains("import") {
            true => service
                .post(path)
                .header("Content-Type", "text/csv")
                .body("item\n"),
            false => service.get(path),
        };
        let refused = problem(request, 400).await;
        let detail = refused["detail"].as_str().expect("a detail");
        assert!(detail.ends_with(held), "{detail}");
    }
    let sent = service.post("/v1/estimates?working=maybe").json(&json!({}));
    let refused = problem(sent, 400).await;
    assert!(
        refused["detail"]
            .as_str()
            .is_some_and(|text| text.contains("working=maybe"))
    );
}

#[actix_web::test]
async fn the_two_readers_agree() {
    // Whatever is refused by the quick reader is explained by the careful one: never an empty list.
    let service = Launched::start().await;
    for change in [
        json!({"ramp": {"path": "none"}}),
        json!({"ramp": []}),
        json!({"ramp": {"path": [{"kind": "landing", "rise": "1 in"}]}}),
        json!({"ramp": {"path": [{"length": "5 ft"}]}}),
        json!({"ramp": {"path": [null]}}),
        json!([1, 2, 3]),
        json!("text"),
        json!(null),
    ] {
        let answer = refused(&service, CALLS[0], change.to_string(), 422).await;
        assert!(!pointers(&answer).is_empty(), "{change}");
    }
}
