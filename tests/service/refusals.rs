//! What the framework would refuse by itself is a problem like any other.

use crate::launched::{Launched, problem, problem_of};
use reqwest::{
    Method,
    header::{ALLOW, HeaderMap, HeaderName, HeaderValue},
};

#[actix_web::test]
async fn an_unknown_path_is_a_problem() {
    let service = Launched::start().await;
    for path in ["/v1/nothing", "/livez/", "/docs/nothing.js", "/%"] {
        let refused = problem(service.get(path), 404).await;
        assert_eq!(refused["type"], "/problems/not-found", "{path}");
    }
    let sent = service
        .post("/v1/nothing")
        .header("content-type", "application/json")
        .body("{}");
    problem(sent, 404).await;
}

#[actix_web::test]
async fn a_wrong_method_is_a_problem_that_says_what_is_allowed() {
    let service = Launched::start().await;
    for path in [
        "/livez",
        "/readyz",
        "/",
        "/docs",
        "/docs/index.html",
        "/openapi.json",
    ] {
        for method in [Method::POST, Method::PUT, Method::DELETE, Method::TRACE] {
            let url = format!("{}{path}", service.base);
            let answer = service
                .client
                .request(method, url)
                .send()
                .await
                .expect("an answer");
            assert_eq!(answer.headers()[ALLOW], "GET, HEAD, OPTIONS", "{path}");
            problem_of(answer, 405).await;
        }
    }
}

#[actix_web::test]
async fn options_are_told_and_head_is_answered() {
    let service = Launched::start().await;
    for path in ["/livez", "/readyz", "/", "/openapi.json", "/docs/"] {
        let url = format!("{}{path}", service.base);
        let options = service
            .client
            .request(Method::OPTIONS, &url)
            .send()
            .await
            .expect("an answer");
        assert_eq!(
            (options.status().as_u16(), &options.headers()[ALLOW]),
            (204, &HeaderValue::from_static("GET, HEAD, OPTIONS"))
        );
        let head = service.client.head(&url).send().await.expect("an answer");
        assert_eq!(head.status(), 200, "{path}");
        assert_eq!(head.text().await.expect("text"), "");
    }
    let url = format!("{}/v1/nothing", service.base);
    let options = service
        .client
        .request(Method::OPTIONS, url)
        .send()
        .await
        .expect("an answer");
    problem_of(options, 404).await;
}

#[actix_web::test]
async fn a_target_of_eight_kibibytes_is_read_and_a_longer_one_refused() {
    let service = Launched::start().await;
    let target = |length: usize| format!("/livez?{}", "x".repeat(length - "/livez?".len()));
    let longest = service.get(&target(8192)).send().await.expect("an answer");
    assert_eq!(longest.status(), 200);
    let refused = problem(service.get(&target(8193)), 414).await;
    assert_eq!(refused["type"], "/problems/uri-too-long");
}

#[actix_web::test]
async fn too_many_or_too_long_headers_are_refused() {
    let service = Launched::start().await;
    let lines = |count: usize| -> HeaderMap {
        let name = |n| HeaderName::try_from(format!("x-line-{n}")).expect("a name");
        (0..count)
            .map(|n| (name(n), HeaderValue::from_static("1")))
            .collect()
    };
    // The client adds Host and Accept.
    let most = service
        .get("/livez")
        .headers(lines(62))
        .send()
        .await
        .expect("an answer");
    assert_eq!(most.status(), 200);
    problem(service.get("/livez").headers(lines(63)), 431).await;
    let long = service
        .get("/livez")
        .header("x-long", "x".repeat(33 * 1024));
    let refused = problem(long, 431).await;
    assert_eq!(refused["type"], "/problems/headers-too-large");
}

#[actix_web::test]
async fn a_coding_that_cannot_be_given_is_a_problem() {
    let service = Launched::start().await;
    let refused = service.get("/livez").header(
        "accept-encoding",
        "identity;q=0, br;q=0, gzip;q=0, deflate;q=0",
    );
    assert_eq!(
        problem(refused, 406).await["type"],
        "/problems/not-acceptable"
    );
}

#[actix_web::test]
async fn every_answer_has_the_standing_headers_and_an_id() {
    let service = Launched::start().await;
    for path in ["/livez", "/docs/", "/v1/nothing"] {
        let answer = service.get(path).send().await.expect("an answer");
        assert_eq!(
            answer.headers()["x-content-type-options"],
            "nosniff",
            "{path}"
        );
        assert!(answer.headers()["x-request-id"].len() > 30, "{path}");
    }
}
