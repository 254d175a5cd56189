//! Status codes that tell of a failure stand in `http/problem.rs` alone.
//!
//! Invariants: a handler may say that it went well (200, 201, 204, a redirect); all else is an error
//! that the one place turns into a problem. Attributes that describe answers are no code of theirs.

use super::{Source, code, hold, planted, source};

/// The one place.
const PLACE: &str = "src/http/problem.rs";

/// What a handler may answer with its own hand.
const WENT_WELL: &[&str] = &[
    "Ok",
    "Created",
    "Accepted",
    "NoContent",
    "NotModified",
    "PermanentRedirect",
];

fn strayed(source: &Source) -> Vec<String> {
    if source.path == PLACE {
        return Vec::new();
    }
    let code = code::code(source);
    let tokens = code::tokens_outside_tests(source, &code);
    let mut found = Vec::new();
    for token in &tokens {
        if token.text == "StatusCode" {
            found.push((token.line, token.text));
        }
    }
    for path in code::paths(&tokens) {
        let name = path.names[path.names.len() - 1];
        let answers =
            path.holds("HttpResponse") && name != "HttpResponse" && !WENT_WELL.contains(&name);
        let types = name.starts_with(char::is_uppercase) || name == "build" || name == "new";
        let framework = path.holds("error")
            && path.holds("actix_web")
            && name.starts_with("Error")
            && name != "Error";
        if (answers && types) || framework {
            found.push((path.line, name));
        }
    }
    let say = |(line, name)| format!("{}:{line}: `{name}` belongs to {PLACE}", source.path);
    found.into_iter().map(say).collect()
}

#[test]
fn failures_have_one_place() {
    hold(&source::rust(), strayed);
}

#[test]
fn a_planted_status_is_found() {
    let found = |path, text| planted(strayed, path, text);
    assert_eq!(
        found(
            "src/http/ramps.rs",
            "fn a() { HttpResponse::BadRequest().finish() }"
        ),
        1
    );
    assert_eq!(
        found("src/http/ramps.rs", "use actix_web::http::StatusCode;"),
        1
    );
    assert_eq!(found("src/http/ramps.rs", "HttpResponse::build(status)"), 1);
    assert_eq!(
        found("src/http/ramps.rs", "actix_web::error::ErrorNotFound(a)"),
        1
    );
    assert_eq!(
        found(
            "src/book/sql.rs",
            "use actix_web::{HttpResponse, http::StatusCode};"
        ),
        1
    );
    assert_eq!(
        found(
            "src/http/ramps.rs",
            "use actix_web::HttpResponse; HttpResponse::Ok().json(a)"
        ),
        0
    );
    assert_eq!(
        found(
            "src/http/ramps.rs",
            "#[cfg(test)]\nmod tests { use actix_web::http::StatusCode; }"
        ),
        0
    );
    assert_eq!(found(PLACE, "StatusCode::NOT_FOUND"), 0);
}
