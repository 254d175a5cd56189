//! What a browser gets, and that it asks nothing of anybody else.

use crate::answered::text_of;
use crate::launched::Launched;

#[actix_web::test]
async fn the_documentation_asks_nothing_outside() {
    let service = Launched::start().await;
    let page = text_of(service.get("/docs/")).await;
    let start = text_of(service.get("/docs/swagger-initializer.js")).await;
    for part in [&page, &start] {
        assert!(
            !part.contains("http://") && !part.contains("https://"),
            "{part}"
        );
        assert!(
            !part.contains("src=\"//") && !part.contains("href=\"//"),
            "{part}"
        );
    }
    assert!(
        start.contains("\"validatorUrl\": \"none\""),
        "the badge that calls outside is off: {start}"
    );
    assert!(start.contains("../openapi.json"), "{start}");
    let answer = service.get("/docs/").send().await.expect("an answer");
    let policy = answer.headers()["content-security-policy"]
        .to_str()
        .expect("text");
    assert!(policy.starts_with("default-src 'self';"), "{policy}");
}

#[actix_web::test]
async fn every_part_the_page_names_is_served() {
    let service = Launched::start().await;
    let page = text_of(service.get("/docs/")).await;
    let named = page
        .split(['"', '\''])
        .filter_map(|part| part.strip_prefix("./"));
    let mut count = 0;
    for part in named {
        let answer = service
            .get(&format!("/docs/{part}"))
            .send()
            .await
            .expect("an answer");
        assert_eq!(answer.status(), 200, "{part}");
        count += 1;
    }
    assert!(count >= 4, "{page}");
}

#[actix_web::test]
async fn the_documentation_is_found_without_its_slash() {
    let service = Launched::start().await;
    let answer = service.get("/docs").send().await.expect("an answer");
    assert_eq!(
        (
            answer.status().as_u16(),
            answer.headers()["location"].to_str().expect("text")
        ),
        (308, "docs/")
    );
    assert!(text_of(service.get("/")).await.contains("docs/"));
}

#[actix_web::test]
async fn readiness_tells_the_state_of_the_database() {
    let service = Launched::start().await;
    let body: serde_json::Value =
        serde_json::from_str(&text_of(service.get("/readyz")).await).expect("JSON");
    assert_eq!(body["status"], "ready");
    assert!(
        body["database"]
            .as_str()
            .is_some_and(|text| !text.is_empty())
    );
    assert!(text_of(service.get("/livez")).await.contains("alive"));
}
