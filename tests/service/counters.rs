//! What the counters tell of real requests, where they are read, and what never gets into them.

use crate::launched::{Folder, KEY, Launched, client, problem};
use serde_json::json;
use std::collections::BTreeMap;

/// Every figure of a text by its name and labels.
fn figures(text: &str) -> BTreeMap<String, f64> {
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    let figure = |line: &str| {
        let (name, value) = line.rsplit_once(' ').expect("a name and a value");
        (name.to_owned(), value.parse().expect("a number"))
    };
    lines.map(figure).collect()
}

async fn read(service: &Launched) -> BTreeMap<String, f64> {
    let answer = service.get("/metrics").send().await.expect("an answer");
    assert_eq!(answer.status(), 200);
    let kind = answer.headers()["content-type"].clone();
    assert_eq!(kind, "text/plain; version=0.0.4; charset=utf-8");
    figures(&answer.text().await.expect("text"))
}

/// Sends jobs: one whole, two with a fault, one with a fault in a cell, three in a batch of which one has a fault, one in a cell.
async fn send_jobs(service: &Launched) {
    let path = json!([{"kind": "landing"}, {"kind": "run", "rise": "28 in", "length": "28 ft"}, {"kind": "landing"}]);
    let good = service
        .post("/v1/estimates")
        .json(&json!({"ramp": {"path": path}}));
    assert_eq!(good.send().await.expect("an answer").status(), 200);
    problem(
        service
            .post("/v1/estimates")
            .json(&json!({"ramp": {"path": []}})),
        422,
    )
    .await;
    problem(service.post("/v1/estimates").json(&json!({})), 422).await;
    let inline = service.get("/v1/cell/slope?rise_in=x&errors=inline");
    assert_eq!(inline.send().await.expect("an answer").status(), 200);
    let rows = "job,rise_in\nA,28\nB,x\nC,14\n";
    let batch = service
        .post("/v1/estimates/batch")
        .header("Content-Type", "text/csv")
        .body(rows);
    let answer = batch.send().await.expect("an answer");
    assert_eq!(answer.status(), 200);
    assert!(answer.text().await.expect("text").contains("error"));
    let cell = service.get("/v1/cell/slope?rise_in=28");
    assert_eq!(cell.send().await.expect("an answer").status(), 200);
    problem(service.get("/v1/nothing/at-all"), 404).await;
}

#[actix_web::test]
async fn requests_jobs_books_and_the_process_are_told() {
    let service = Launched::start().await;
    send_jobs(&service).await;
    let told = read(&service).await;
    let figure = |name: &str| {
        told.get(name)
            .copied()
            .unwrap_or_else(|| panic!("{name} in {told:#?}"))
    };
    let answers = |method: &str, route: &str, status: u16| {
        figure(&format!(
            "http_server_requests_total{{method=\"{method}\",route=\"{route}\",status=\"{status}\"}}"
        ))
    };
    assert_eq!(answers("POST", "/v1/estimates", 200), 1.0);
    assert_eq!(answers("POST", "/v1/estimates", 422), 2.0);
    assert_eq!(answers("POST", "/v1/estimates/batch", 200), 1.0);
    assert_eq!(answers("GET", "/v1/cell/{figure}", 200), 2.0);
    assert_eq!(answers("GET", "none", 404), 1.0);
    let timed =
        "http_server_request_duration_seconds_count{method=\"POST\",route=\"/v1/estimates\"}";
    assert_eq!(figure(timed), 3.0);
    // One estimate, two rows of the batch and a cell; the other estimates, the other cell and the other row.
    assert_eq!(figure("crossfall_jobs_total{outcome=\"ok\"}"), 4.0);
    assert_eq!(figure("crossfall_jobs_total{outcome=\"error\"}"), 4.0);
    assert_eq!(figure("crossfall_jobs_total{outcome=\"incomplete\"}"), 0.0);
    assert_eq!(figure("crossfall_ready"), 1.0);
    assert_eq!(figure("crossfall_price_book_revision{book=\"demo\"}"), 1.0);
    let items = figure("crossfall_price_book_items{book=\"demo\"}");
    assert!(
        (items - crate::launched::demo_items() as f64).abs() < 0.5,
        "{items}"
    );
    assert!((0.0..30.0).contains(&figure("crossfall_price_books_age_seconds")));
    assert!(figure("crossfall_database_connections_max") >= 1.0);
    assert!(
        told.keys()
            .any(|name| name.starts_with("crossfall_build_info{version="))
    );
    assert_eq!(figure("http_server_active_requests"), 1.0, "this very one");
}

#[actix_web::test]
async fn an_item_that_is_written_moves_revision_and_items() {
    let service = Launched::start().await;
    let before = read(&service).await;
    let put = service
        .client
        .put(format!("{}/v1/price-books/demo/items/watched", service.base))
        .header("If-None-Match", "*")
        .json(&json!({"description": "Watched (invented)", "class": "material", "sale_unit": "each", "order_step": "1", "charge": "bought_for_job"}));
    let answer = put.send().await.expect("an answer");
    assert_eq!(
        answer.status(),
        201,
        "{}",
        answer.text().await.expect("text")
    );
    let after = read(&service).await;
    for name in [
        "crossfall_price_book_revision{book=\"demo\"}",
        "crossfall_price_book_items{book=\"demo\"}",
    ] {
        assert_eq!(after[name], before[name] + 1.0, "{name}");
    }
}

#[actix_web::test]
async fn what_a_caller_writes_makes_no_label() {
    let service = Launched::start().await;
    for path in [
        "/v1/cell/hidden-word?key=hidden-word",
        "/hidden-word",
        "/docs/hidden-word",
    ] {
        let answer = service.get(path).header("X-Request-Id", "hidden-word");
        answer.send().await.expect("an answer");
    }
    let answer = service.get("/metrics").send().await.expect("an answer");
    let text = answer.text().await.expect("text");
    assert!(text.contains("/v1/cell/{figure}") && !text.contains("hidden-word"));
}

#[actix_web::test]
async fn with_a_key_the_counters_ask_for_any_and_alone_for_none() {
    let with_key = |config: &mut crossfall::config::Config, folder: &Folder| {
        config.first_key_file = Some(folder.file("key", KEY));
    };
    let service = Launched::start_with(with_key).await;
    problem(service.get("/metrics"), 401).await;
    let asked = service.get("/metrics").bearer_auth(KEY);
    assert_eq!(asked.send().await.expect("an answer").status(), 200);
    let alone = Launched::start_with(|config, folder| {
        with_key(config, folder);
        config.metrics_listen = Some(([127, 0, 0, 1], 0).into());
    })
    .await;
    problem(alone.get("/metrics").bearer_auth(KEY), 404).await;
    let counters = alone.counters.clone().expect("an address");
    let ask = |path: &str| client().get(format!("{counters}{path}"));
    let answer = ask("/metrics").send().await.expect("an answer");
    assert_eq!(answer.status(), 200);
    let text = answer.text().await.expect("text");
    assert!(text.contains("crossfall_ready 1"), "{text}");
    let elsewhere = ask("/v1/price-books").send().await.expect("an answer");
    assert_eq!(elsewhere.status(), 404);
    let foreign = ask("/metrics").header("Host", "evil.example");
    assert_eq!(foreign.send().await.expect("an answer").status(), 403);
}
