//! The name of a request and of its caller: in the answer, in the log, in the audit.

use crate::answered::json_of;
use crate::launched::{Binary, Folder, KEY, Launched, client, command, output_of, problem};
use reqwest::Response;
use serde_json::{Value, json};

fn name(answer: &Response) -> String {
    let name = answer.headers()["x-request-id"].to_str();
    name.expect("ASCII").to_owned()
}

/// The lines of a log that tell of answers.
fn answered(log: &str) -> Vec<Value> {
    let lines = log
        .lines()
        .filter_map(|line| serde_json::from_str::<Value>(line).ok());
    lines.filter(|line| line["message"] == "answered").collect()
}

#[actix_web::test]
async fn the_name_sent_is_in_the_answer_the_log_and_the_audit() {
    let folder = Folder::new();
    let key = folder.file("key", KEY);
    let binary = Binary::serve(&["--first-key-file", key.to_str().expect("text")]);
    let base = format!("http://{}", binary.address());
    let put = client()
        .put(format!("{base}/v1/price-books/yard?x=hidden-word"))
        .header("X-Request-Id", "office-2026.11_a")
        .header("If-None-Match", "*")
        .bearer_auth(KEY)
        .json(&json!({"name": "Mill yard (invented)", "currency": "USD", "inherits": "demo"}));
    let answer = put.send().await.expect("an answer");
    assert_eq!(
        (answer.status().as_u16(), name(&answer).as_str()),
        (201, "office-2026.11_a")
    );
    let audit = client().get(format!("{base}/v1/audit")).bearer_auth(KEY);
    let audit: Value = json_of(audit).await;
    assert_eq!(audit["rows"][0]["request"], "office-2026.11_a");
    let log = binary.said();
    let lines = answered(&log);
    let line = lines
        .iter()
        .find(|line| line["span"]["id"] == "office-2026.11_a");
    let span = &line.expect("it was logged")["span"];
    assert_eq!(span["path"], "/v1/price-books/yard");
    assert_eq!(
        (&span["status"], &span["key"]),
        (&json!(201), &json!("first"))
    );
    assert_eq!(span["client"], "127.0.0.1");
    assert!(span["ms"].as_f64().is_some_and(|ms| ms > 0.0), "{span}");
    assert!(!log.contains("hidden-word"));
}

#[actix_web::test]
async fn a_name_that_could_forge_a_line_is_replaced() {
    let service = Launched::start().await;
    for hostile in ["a b", "\"}", "../../x", "x\u{e9}", "{}", &"y".repeat(65)] {
        let asked = service
            .get("/livez")
            .header("X-Request-Id", hostile.as_bytes());
        let answer = asked.send().await.expect("an answer");
        assert_ne!(name(&answer), hostile);
        assert_eq!(name(&answer).len(), 36, "a name that was made");
    }
    let one = name(&service.get("/livez").send().await.expect("an answer"));
    let other = name(&service.get("/livez").send().await.expect("an answer"));
    assert_ne!(one, other);
}

#[actix_web::test]
async fn health_is_asked_in_silence() {
    let binary = Binary::serve(&[]);
    let base = format!("http://{}", binary.address());
    for path in ["/livez", "/readyz", "/metrics", "/v1/rates"] {
        let answer = client().get(format!("{base}{path}")).send().await;
        assert_eq!(answer.expect("an answer").status(), 200);
    }
    let lines = answered(&binary.said());
    let paths: Vec<&Value> = lines.iter().map(|line| &line["span"]["path"]).collect();
    assert_eq!(paths, [&json!("/v1/rates")]);
}

/// The client that a log names for a call with this header.
async fn logged_client(words: &[&str], forwarded: &str) -> Value {
    let folder = Folder::new();
    let key = folder.file("key", KEY);
    let with_key = ["--first-key-file", key.to_str().expect("text")];
    let binary = Binary::serve(&[&with_key[..], words].concat());
    let base = format!("http://{}", binary.address());
    let asked = client()
        .get(format!("{base}/v1/rates"))
        .header("X-Forwarded-For", forwarded)
        .bearer_auth(KEY);
    assert_eq!(asked.send().await.expect("an answer").status(), 200);
    let lines = answered(&binary.said());
    lines.first().expect("a line")["span"]["client"].clone()
}

#[actix_web::test]
async fn only_a_named_proxy_says_who_calls() {
    let chain = "198.51.100.7, 203.0.113.9";
    assert_eq!(logged_client(&[], chain).await, "127.0.0.1");
    let named = ["--trusted-proxies", "10.0.0.0/8,127.0.0.1"];
    assert_eq!(logged_client(&named, chain).await, "203.0.113.9");
    let others = ["--trusted-proxies", "10.0.0.0/8"];
    assert_eq!(logged_client(&others, chain).await, "127.0.0.1");
}

#[actix_web::test]
async fn what_comes_through_a_proxy_needs_a_key_from_the_start() {
    let service = Launched::start().await;
    let open = service.get("/v1/rates").send().await.expect("an answer");
    assert_eq!(open.status(), 200);
    for (header, value) in [
        ("X-Forwarded-For", "203.0.113.9"),
        ("Forwarded", "for=203.0.113.9"),
        ("X-Forwarded-Host", "ramp.example"),
        ("X-Real-IP", "203.0.113.9"),
        ("Via", "1.1 proxy"),
    ] {
        let refused = problem(service.get("/v1/rates").header(header, value), 401).await;
        let detail = refused["detail"].as_str().expect("text");
        assert!(detail.contains("crossfall keys add"), "{detail}");
    }
}

#[test]
fn with_a_named_proxy_nothing_starts_without_a_key() {
    let home = Folder::new();
    let mut started = command(&home);
    started.args(["--trusted-proxies", "127.0.0.1", "--listen", "127.0.0.1:0"]);
    let ended = output_of(started);
    assert!(!ended.status.success() && ended.stdout.is_empty());
    let said = String::from_utf8_lossy(&ended.stderr).into_owned();
    assert!(said.contains("crossfall keys add"), "{said}");
}
