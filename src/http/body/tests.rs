//! How a body is refused, by the reader alone and behind the framework's test harness.

use super::*;
use actix_web::{App, http::StatusCode, test, web};
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Debug, Deserialize, deserr::Deserr, PartialEq)]
#[serde(deny_unknown_fields)]
#[deserr(error = Faults, deny_unknown_fields)]
struct Slab {
    name: String,
    bars: u32,
    #[serde(default)]
    #[deserr(default)]
    parts: Vec<Part>,
    #[serde(default)]
    #[deserr(default)]
    basis: BTreeMap<String, String>,
}

#[derive(Debug, Deserialize, deserr::Deserr, PartialEq)]
#[serde(deny_unknown_fields)]
#[deserr(error = Faults, deny_unknown_fields)]
struct Part {
    code: String,
}

fn faults(body: &str) -> Vec<(String, String)> {
    match parse_body::<Slab>(body.as_bytes()) {
        Err(ApiError::Faults(faults)) => {
            faults.0.into_iter().map(|f| (f.pointer, f.found)).collect()
        }
        other => panic!("faults were expected, not {other:?}"),
    }
}

fn unreadable(body: &[u8]) -> String {
    match parse_body::<Slab>(body) {
        Err(ApiError::Unreadable(detail)) => detail,
        other => panic!("unreadable was expected, not {other:?}"),
    }
}

#[core::prelude::v1::test]
fn a_list_does_not_stand_for_an_object() {
    for (body, pointer) in [
        (r#"["a", 2, [], {}]"#, ""),
        (r#"{"name": "a", "bars": 2, "parts": [["b"]]}"#, "/parts/0"),
    ] {
        let found = faults(body);
        assert!(
            found.iter().any(|(at, _)| at == pointer),
            "{body}: {found:?}"
        );
    }
    let fits = r#"{"name": "a", "bars": 2, "parts": [{"code": "b"}]}"#;
    assert_eq!(
        parse_body::<Slab>(fits.as_bytes())
            .expect("a slab")
            .parts
            .len(),
        1
    );
}

#[core::prelude::v1::test]
fn every_fault_is_listed_with_its_pointer() {
    let body =
        r#"{"name": 3, "bars": "two", "colour": 1, "parts": [{"code": "a"}, {"cod/e": "b"}]}"#;
    let found = faults(body);
    let pointers: Vec<&str> = found.iter().map(|(pointer, _)| pointer.as_str()).collect();
    for pointer in [
        "/name",
        "/bars",
        "/colour",
        "/parts/1/cod~1e",
        "/parts/1/code",
    ] {
        assert!(
            pointers.contains(&pointer),
            "{pointer} is missing in {pointers:?}"
        );
    }
    assert_eq!(pointers.len(), 5);
}

#[core::prelude::v1::test]
fn a_field_written_twice_is_a_fault_at_its_place() {
    let found = faults(r#"{"name": "a", "bars": 1, "parts": [{"code": "a", "code": "b"}]}"#);
    assert_eq!(
        found,
        [(
            "/parts/0/code".to_owned(),
            "the same field twice".to_owned()
        )]
    );
}

#[core::prelude::v1::test]
fn what_is_not_json_is_unreadable_with_line_and_column() {
    assert!(unreadable(b"{\n\"name\": \"a\",,").contains("line 2 column 13"));
    assert!(unreadable(b"{\"name\": 3, ").contains("line 1"));
    assert!(unreadable(b"{\"name\": NaN}").contains("line 1"));
    assert!(unreadable(b"{\"name\": \"\xff\"}").contains("line 1"));
    assert!(unreadable(b"{\"name\": \"a\", \"bars\": 1} x").contains("trailing"));
    assert!(unreadable(b" \n").contains("empty"));
}

#[core::prelude::v1::test]
fn nesting_is_bounded_before_anything_is_read() {
    let nested = |levels: usize| "[".repeat(levels) + &"]".repeat(levels);
    let body = |levels| {
        format!(
            r#"{{"name": "[[[[\"{{", "bars": 1, "x": {}}}"#,
            nested(levels)
        )
    };
    assert_eq!(faults(&body(31))[0].0, "/x");
    let found = faults(&body(32));
    assert_eq!(found, [(String::new(), "33 levels".to_owned())]);
    assert!(unreadable("[".repeat(100_000).as_bytes()).contains("EOF"));
    assert_eq!(faults(&nested(100_000))[0].1, "100000 levels");
}

#[core::prelude::v1::test]
fn a_mark_at_the_beginning_is_passed_over() {
    let read = parse_body::<Slab>(b"\xef\xbb\xbf{\"name\": \"a\", \"bars\": 1}");
    assert_eq!(read.expect("readable").bars, 1);
}

async fn name_of(slab: Sent<Slab>) -> String {
    slab.0.name
}

async fn status(request: test::TestRequest) -> StatusCode {
    let app = App::new().route("/", web::post().to(name_of));
    let app = test::init_service(app).await;
    test::call_service(&app, request.uri("/").to_request())
        .await
        .status()
}

fn sent(kind: &str, body: Vec<u8>) -> test::TestRequest {
    test::TestRequest::post()
        .insert_header(("content-type", kind))
        .set_payload(body)
}

#[actix_web::test]
async fn the_content_type_must_be_json() {
    let body = || br#"{"name": "a", "bars": 1}"#.to_vec();
    for kind in [
        "application/json",
        "Application/JSON; charset=utf-8",
        "application/vnd.job+json",
    ] {
        assert_eq!(status(sent(kind, body())).await, StatusCode::OK, "{kind}");
    }
    for kind in [
        "text/plain",
        "application/x-www-form-urlencoded",
        "application/jsonp",
        "text/x+json",
    ] {
        assert_eq!(
            status(sent(kind, body())).await,
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            "{kind}"
        );
    }
    let bare = test::TestRequest::post().set_payload(body());
    assert_eq!(status(bare).await, StatusCode::UNSUPPORTED_MEDIA_TYPE);
    let packed = sent("application/json", body()).insert_header(("content-encoding", "gzip"));
    assert_eq!(status(packed).await, StatusCode::UNSUPPORTED_MEDIA_TYPE);
}

#[actix_web::test]
async fn a_body_may_weigh_one_mebibyte_and_no_more() {
    let body = |size: usize| {
        let head = br#"{"name": "a", "bars": 1}"#.to_vec();
        let padding = vec![b' '; size - head.len()];
        [head, padding].concat()
    };
    let json = "application/json";
    assert_eq!(
        status(sent(json, body(limits::BODY_BYTES))).await,
        StatusCode::OK
    );
    assert_eq!(
        status(sent(json, body(limits::BODY_BYTES + 1))).await,
        StatusCode::PAYLOAD_TOO_LARGE
    );
    assert_eq!(
        status(sent(json, br#"{"name": 1}"#.to_vec())).await,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    assert_eq!(
        status(sent(json, b"{".to_vec())).await,
        StatusCode::BAD_REQUEST
    );
}
