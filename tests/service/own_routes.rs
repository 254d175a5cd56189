//! The layers of the real application around routes made for the tests: what a body, a late
//! handler or a panic comes to. The product has no such routes.

use crate::launched::{client, problem, problem_of};
use actix_web::{HttpServer, get, post, web};
use crossfall::http::{
    self, Routes, Surroundings,
    body::Sent,
    gate::Gate,
    health::{Readiness, StoreState},
    today::Today,
};
use reqwest::{Client, Method};
use serde_json::{Value, json};
use std::{
    io::{Read as _, Write as _},
    net::TcpStream,
    sync::Arc,
    time::Duration,
};

#[utoipa::path(responses((status = 200, description = "The body.")))]
#[post("/echo")]
async fn post_echo(body: Sent<Value>) -> web::Json<Value> {
    web::Json(body.0)
}

#[derive(serde::Deserialize)]
struct Wanted {
    count: u32,
}

#[utoipa::path(responses((status = 200, description = "The number.")))]
#[get("/number/{number}")]
async fn get_number(number: web::Path<u32>, wanted: web::Query<Wanted>) -> String {
    format!("{number} {}", wanted.count)
}

#[utoipa::path(responses((status = 200, description = "Never.")))]
#[get("/panic")]
async fn get_panic() -> String {
    panic!("on purpose")
}

#[utoipa::path(responses((status = 200, description = "Too late.")))]
#[get("/late")]
async fn get_late() -> &'static str {
    tokio::time::sleep(Duration::from_secs(60)).await;
    "late"
}

fn routes(config: &mut Routes<'_, '_>) {
    config
        .service(post_echo)
        .service(get_number)
        .service(get_panic)
        .service(get_late);
}

/// Serves the routes and gives the address.
fn serve() -> String {
    let ready = || StoreState {
        ready: false,
        database: "away".to_owned(),
    };
    let today = Today::fixed(chrono::NaiveDate::default());
    let with = Surroundings::new(
        routes,
        Gate::default(),
        Readiness::new(Arc::new(ready)),
        today,
    );
    let server = HttpServer::new(move || http::app(&with))
        .workers(1)
        .disable_signals();
    let server = server.bind("127.0.0.1:0").expect("a free port");
    let address = server.addrs()[0].to_string();
    actix_web::rt::spawn(server.run());
    address
}

fn ask(client: &Client, method: Method, address: &str, path: &str) -> reqwest::RequestBuilder {
    client.request(method, format!("http://{address}{path}"))
}

#[actix_web::test]
async fn a_body_is_refused_for_what_is_wrong_with_it() {
    let (address, client) = (serve(), client());
    let sent = |kind: &str, body: String| {
        ask(&client, Method::POST, &address, "/echo")
            .header("Content-Type", kind)
            .body(body)
    };
    let json = "application/json";
    let unreadable = problem(sent(json, "{\n\"a\": ".to_owned()), 400).await;
    assert!(
        unreadable["detail"]
            .as_str()
            .expect("text")
            .contains("line 2"),
        "{unreadable}"
    );
    assert_eq!(unreadable["type"], "/problems/unreadable");
    problem(sent(json, String::new()), 400).await;
    problem(sent("text/plain", "{}".to_owned()), 415).await;
    let deep = problem(sent(json, "[".repeat(40) + &"]".repeat(40)), 422).await;
    assert_eq!(deep["errors"][0]["found"], "40 levels");
    let answer = sent(json, "{\"b\": 1, \"a\": 2}".to_owned())
        .send()
        .await
        .expect("an answer");
    assert_eq!(
        answer.json::<Value>().await.expect("JSON"),
        json!({"b": 1, "a": 2})
    );
}

#[actix_web::test]
async fn five_megabytes_are_refused_and_the_connection_stays_usable() {
    let address = serve();
    let answers = actix_web::rt::task::spawn_blocking(move || {
        let mut stream = TcpStream::connect(address).expect("it listens");
        stream
            .set_read_timeout(Some(Duration::from_secs(20)))
            .expect("settable");
        let size = 5 * 1024 * 1024;
        let head = format!(
            "POST /echo HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: {size}\r\n\r\n"
        );
        stream.write_all(head.as_bytes()).expect("it reads");
        stream
            .write_all(&vec![b' '; size])
            .expect("it reads all of it");
        stream
            .write_all(b"GET /number/7?count=2 HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
            .expect("it still reads");
        let mut all = String::new();
        stream.read_to_string(&mut all).expect("both answers come");
        all
    });
    let answers = answers.await.expect("the caller does not panic");
    assert!(answers.starts_with("HTTP/1.1 413"), "{answers}");
    assert!(
        answers.contains("/problems/too-large") && answers.ends_with("7 2"),
        "{answers}"
    );
}

#[actix_web::test]
async fn a_path_or_a_query_that_cannot_be_read_is_a_problem() {
    let (address, client) = (serve(), client());
    let get = |path: &str| ask(&client, Method::GET, &address, path);
    assert_eq!(
        problem(get("/number/seven?count=1"), 400).await["type"],
        "/problems/bad-path"
    );
    assert_eq!(
        problem(get("/number/7"), 400).await["type"],
        "/problems/bad-query"
    );
    assert_eq!(
        problem(get("/number/7?count=x"), 400).await["type"],
        "/problems/bad-query"
    );
}

#[actix_web::test]
async fn a_panic_ends_one_request_and_not_the_service() {
    let (address, client) = (serve(), client());
    let get = |path: &str| ask(&client, Method::GET, &address, path);
    let refused = problem(get("/panic"), 500).await;
    assert!(!refused.to_string().contains("on purpose"), "{refused}");
    assert!(
        get("/number/7?count=2")
            .send()
            .await
            .expect("an answer")
            .status()
            .is_success()
    );
}

#[actix_web::test]
async fn a_late_handler_is_503_and_a_late_body_is_408() {
    let (address, client) = (serve(), client());
    let late = actix_web::rt::spawn(ask(&client, Method::GET, &address, "/late").send());
    let body = actix_web::rt::task::spawn_blocking(move || {
        let mut stream = TcpStream::connect(address).expect("it listens");
        let head = "POST /echo HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 9\r\n\r\n{";
        stream.write_all(head.as_bytes()).expect("it reads");
        let mut start = [0; 12];
        stream.read_exact(&mut start).expect("an answer comes");
        String::from_utf8_lossy(&start).into_owned()
    });
    let late = late.await.expect("no panic").expect("an answer");
    assert_eq!(late.headers()["retry-after"], "5");
    problem_of(late, 503).await;
    assert_eq!(body.await.expect("no panic"), "HTTP/1.1 408");
}

#[actix_web::test]
async fn head_is_answered_like_get_without_a_body() {
    let (address, client) = (serve(), client());
    let head = ask(&client, Method::HEAD, &address, "/number/7?count=2");
    let answer = head.send().await.expect("an answer");
    assert_eq!(
        (
            answer.status().as_u16(),
            &answer.headers()["content-length"]
        ),
        (200, &"3".parse().expect("a value"))
    );
    assert_eq!(answer.text().await.expect("a body"), "");
    let refused = ask(&client, Method::HEAD, &address, "/echo")
        .send()
        .await
        .expect("an answer");
    assert_eq!(refused.status(), 405);
}
