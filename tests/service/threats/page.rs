//! What a page of another origin, and whoever frames, sniffs or follows links, gets of us.

use crate::launched::{Launched, client};
use reqwest::{Method, Response};
use serde_json::json;

/// Every kind of answer: a page, its parts, data, a table, a picture, one figure, a refusal, nothing.
const CALLS: [(&str, &str); 12] = [
    ("GET", "/"),
    ("GET", "/docs"),
    ("GET", "/docs/"),
    ("GET", "/docs/swagger-ui.css"),
    ("GET", "/openapi.json"),
    ("GET", "/metrics"),
    ("GET", "/v1/rates"),
    ("GET", "/v1/cell/slope?rise_in=28"),
    ("GET", "/v1/row?rise_in=x&errors=inline&format=csv"),
    ("GET", "/v1/nothing"),
    ("OPTIONS", "/v1/estimates"),
    ("POST", "/v1/drawings?view=plan"),
];

async fn answer(service: &Launched, (method, path): (&str, &str)) -> Response {
    let method: Method = method.parse().expect("a method");
    let url = format!("{}{path}", service.base);
    let asked = client().request(method, url);
    let asked = match path.starts_with("/v1/drawings") {
        true => asked.json(&json!({"ramp": {"path": [{"kind": "landing"},
            {"kind": "run", "rise": "28 in", "length": "28 ft"}, {"kind": "landing"}]}})),
        // A page of another origin may ask; it may not read what is answered.
        false => asked
            .header("Origin", "https://evil.example")
            .header("Access-Control-Request-Method", "POST")
            .header("Access-Control-Request-Headers", "x-api-key"),
    };
    asked.send().await.expect("an answer")
}

#[actix_web::test]
async fn no_answer_may_be_read_by_a_page_of_another_origin() {
    let service = Launched::start().await;
    for call in CALLS {
        let answer = answer(&service, call).await;
        let opening = answer.headers().keys().find(|name| {
            let name = name.as_str();
            name.starts_with("access-control-") || name == "set-cookie"
        });
        assert_eq!(opening, None, "{call:?}");
    }
}

#[actix_web::test]
async fn no_answer_may_be_framed_sniffed_or_named_to_others() {
    let service = Launched::start().await;
    for call in CALLS {
        let answer = answer(&service, call).await;
        let status = answer.status().as_u16();
        assert!([200, 204, 308, 404].contains(&status), "{call:?}: {status}");
        let header = |name: &str| {
            let value = answer.headers().get(name);
            value.map_or("", |value| value.to_str().expect("ASCII"))
        };
        assert_eq!(header("x-content-type-options"), "nosniff", "{call:?}");
        assert_eq!(header("referrer-policy"), "no-referrer", "{call:?}");
        let policy = header("content-security-policy");
        for part in [
            "default-src 'self'",
            "frame-ancestors 'none'",
            "base-uri 'none'",
        ] {
            assert!(policy.contains(part), "{call:?}: {policy}");
        }
        let scripts = policy.contains("unsafe-eval") || policy.contains("script-src");
        assert!(!scripts && !policy.contains('*'), "{policy}");
        let typed = header("content-type").contains('/');
        assert!(typed || [204, 308].contains(&status), "{call:?}");
    }
}
