//! What one caller gets of another's.

use crate::launched::{Folder, Launched, problem_of, settings};
use crate::roles::add_key;
use crossfall::book::{Role, open_store};
use reqwest::Response;
use secrecy::ExposeSecret as _;

const TABLE: &str = "task,setup_min,low_min,likely_min,high_min\nstrike-off,6,0.4,0.54,0.9\n";

async fn import(service: &Launched, key: &str, revision: u32) -> Response {
    let request = service
        .post("/v1/price-books/demo/import?table=rates")
        .bearer_auth(key)
        .header("Content-Type", "text/csv")
        .header("If-Match", format!("\"{revision}\""))
        .header("Idempotency-Key", "the-same-for-both")
        .body(TABLE);
    request.send().await.expect("an answer")
}

/// RFC 9111, section 3.5: of a key in `Authorization` a cache knows, of one elsewhere it does not.
#[actix_web::test]
async fn no_cache_between_gives_an_answer_to_another() {
    let service = Launched::start().await;
    for path in [
        "/v1/price-books",
        "/v1/audit",
        "/v1/rates",
        "/metrics",
        "/v1/nothing",
    ] {
        let answer = service.get(path).send().await.expect("an answer");
        assert_eq!(
            answer.headers()["cache-control"],
            "private, no-cache",
            "{path}"
        );
    }
}

#[actix_web::test]
async fn an_answer_kept_for_one_caller_is_not_given_to_another() {
    let folder = Folder::new();
    let config = settings(&folder);
    let url = config.database_url.clone().expect("a database");
    let store = open_store(url.expose_secret()).await.expect("it opens");
    let (_, one) = add_key(&*store, Role::Prices, None).await;
    let (_, other) = add_key(&*store, Role::Prices, None).await;
    let service = Launched::start_on(config, folder).await;
    assert_eq!(import(&service, &one, 1).await.status(), 200);
    let again = import(&service, &one, 1).await;
    assert_eq!(again.headers()["idempotency-replayed"], "true");
    // The book has moved on: whoever asks for the first time is told so.
    let refused = import(&service, &other, 1).await;
    assert!(!refused.headers().contains_key("idempotency-replayed"));
    problem_of(refused, 412).await;
    let later = import(&service, &other, 2).await;
    assert_eq!(later.status(), 200);
    assert!(!later.headers().contains_key("idempotency-replayed"));
}
