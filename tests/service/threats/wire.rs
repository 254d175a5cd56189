//! Requests that two programs could read differently, sent byte by byte.
//!
//! Invariant: one request never becomes two, and what is ambiguous is refused and ends its connection.
//!
//! # Source
//! RFC 9112: sections 2.2 (line ends), 3.2 (targets and `Host`), 5 (fields), 6.1 to 6.3 (length of a body),
//! 7.1 (chunks); RFC 9110: 9.3.6 (CONNECT), 9.3.8 (TRACE).

use crate::launched::{Launched, client};
use std::{
    io::{Read as _, Write as _},
    net::TcpStream,
    time::{Duration, Instant},
};

/// A request that would be answered with 200, and closes its connection.
const LAST: &str = "GET /livez HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n";
/// The head of a request whose body is refused with 422 where it is read.
const POST: &str =
    "POST /v1/takeoff HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n";

/// All that comes back until the connection closes.
pub(super) async fn told(service: &Launched, sent: String) -> String {
    let address = service.base.replace("http://", "");
    let asking = actix_web::rt::task::spawn_blocking(move || {
        let mut stream = TcpStream::connect(address).expect("it listens");
        let patience = Some(Duration::from_secs(5));
        stream.set_read_timeout(patience).expect("settable");
        stream.write_all(sent.as_bytes()).expect("it reads");
        let mut all = Vec::new();
        // A connection that is reset has said what it had to say.
        let _ = stream.read_to_end(&mut all);
        String::from_utf8_lossy(&all).into_owned()
    });
    asking.await.expect("no panic")
}

/// The statuses of all answers.
async fn statuses(service: &Launched, sent: String) -> Vec<u16> {
    let told = told(service, sent).await;
    let answers = told.split("HTTP/1.1 ").skip(1);
    let status = |answer: &str| answer[..3].parse().expect("a status");
    answers.map(status).collect()
}

#[actix_web::test]
async fn a_body_of_doubtful_length_is_refused_and_ends_the_connection() {
    let service = Launched::start().await;
    for rest in [
        "Content-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
        "Transfer-Encoding: chunked\r\nContent-Length: 4\r\n\r\n0\r\n\r\n",
        "Content-Length: 2\r\nContent-Length: 0\r\n\r\n{}",
        "Content-Length: 2\r\nContent-Length: 2\r\n\r\n{}",
        "Content-Length: 2, 2\r\n\r\n{}",
        "Content-Length: +2\r\n\r\n{}",
        "Content-Length: -1\r\n\r\n{}",
        "Content-Length: 0x2\r\n\r\n{}",
        "Content-Length : 2\r\n\r\n{}",
        "Transfer-Encoding: chunked\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
        "Transfer-Encoding: xchunked\r\n\r\n0\r\n\r\n",
        "Transfer-Encoding: chunked, identity\r\n\r\n0\r\n\r\n",
        "Transfer-Encoding: \x0bchunked\r\n\r\n0\r\n\r\n",
        "Transfer-Encoding : chunked\r\n\r\n0\r\n\r\n",
        "Transfer-Encoding:\r\n chunked\r\n\r\n0\r\n\r\n",
        "Transfer-Encoding: chunked\r\n\r\n2\n{}\n0\n\n",
        "Transfer-Encoding: chunked\r\n\r\n10000000000000002\r\n{}\r\n0\r\n\r\n",
        "Transfer-Encoding: chunked\r\n\r\n-2\r\n{}\r\n0\r\n\r\n",
        "Transfer-Encoding: chunked\r\n\r\n2\r\n{}XX0\r\n\r\n",
    ] {
        let answered = statuses(&service, format!("{POST}{rest}{LAST}")).await;
        assert_eq!(answered, [400], "{rest:?}");
    }
}

#[actix_web::test]
async fn lines_that_could_be_read_as_two_are_refused() {
    let service = Launched::start().await;
    for head in [
        "GET /livez HTTP/1.1\r\nHost: localhost\r\nX-A: b\r\n c\r\n\r\n",
        "GET /livez HTTP/1.1\r\nHost: localhost\r\nX-A: b\rX-B: c\r\n\r\n",
        "GET /livez HTTP/1.1\r\nHost: localhost\r\nX-A: b\0c\r\n\r\n",
        "GET /livez HTTP/1.1\r\nHost: localhost\r\nX A: b\r\n\r\n",
        "GET /livez HTTP/1.1\r\n\r\n",
        "GET /livez HTTP/1.1\r\nHost: localhost\r\nHost: evil.example\r\n\r\n",
        "POST /v1/takeoff HTTP/1.0\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n",
        "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
    ] {
        let answered = statuses(&service, format!("{head}{LAST}")).await;
        assert_eq!(answered, [400], "{head:?}");
    }
}

#[actix_web::test]
async fn a_request_within_a_body_is_never_answered() {
    let service = Launched::start().await;
    let inner = "GET /v1/rates HTTP/1.1\r\nHost: localhost\r\n\r\n";
    let length = inner.len();
    for (head, first) in [
        ("GET /livez HTTP/1.1\r\nHost: localhost\r\n", 200),
        (
            "POST /v1/nothing HTTP/1.1\r\nHost: localhost\r\nExpect: 200-ok\r\n",
            404,
        ),
        ("DELETE /livez HTTP/1.1\r\nHost: localhost\r\n", 405),
        ("POST /v1/takeoff HTTP/1.1\r\nHost: evil.example\r\n", 403),
        (POST, 400),
    ] {
        let sent = format!("{head}Content-Length: {length}\r\n\r\n{inner}{LAST}");
        let answered = statuses(&service, sent).await;
        assert_eq!(answered, [first, 200], "{head:?}");
    }
    let chunked = format!(
        "{POST}Transfer-Encoding: chunked\r\n\r\n{length:x};a=b\r\n{inner}\r\n0\r\n\r\n{LAST}"
    );
    assert_eq!(statuses(&service, chunked).await, [400, 200]);
}

#[actix_web::test]
async fn nothing_is_passed_on_upgraded_or_sent_back() {
    let service = Launched::start().await;
    let began = Instant::now();
    let connect = "CONNECT evil.example:443 HTTP/1.1\r\nHost: localhost\r\n\r\n";
    let answered = statuses(&service, format!("{connect}{LAST}")).await;
    assert_eq!(answered, [400]);
    // Without a guard it is waited for a body that never ends.
    assert!(began.elapsed() < Duration::from_secs(4));
    let upgrade = "GET /livez HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade, HTTP2-Settings\r\n\
                   Upgrade: h2c\r\nHTTP2-Settings: AAMAAABkAARAAAAAAAIAAAAA\r\n\r\n";
    let answer = told(&service, upgrade.to_owned()).await;
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    let trace = "TRACE /livez HTTP/1.1\r\nHost: localhost\r\nX-API-Key: a-word-that-is-hidden\r\n\
                 Connection: close\r\n\r\n";
    let answer = told(&service, trace.to_owned()).await;
    assert!(answer.starts_with("HTTP/1.1 405"), "{answer}");
    assert!(!answer.contains("a-word-that-is-hidden"), "{answer}");
}

#[actix_web::test]
async fn a_foreign_name_is_refused_wherever_it_stands() {
    let service = Launched::start().await;
    for head in [
        "GET /livez HTTP/1.1\r\nHost: evil.example",
        "GET http://localhost:80@evil.example/livez HTTP/1.1\r\nHost: localhost",
        "GET http://evil.example/livez HTTP/1.1\r\nHost: localhost",
        "GET /livez HTTP/1.1\r\nHost: localhost:80@evil.example",
        "GET /livez HTTP/1.1\r\nX-Forwarded-Host: localhost\r\nHost: evil.example",
    ] {
        let sent = format!("{head}\r\nConnection: close\r\n\r\n");
        let answered = statuses(&service, sent).await;
        assert_eq!(answered, [403], "{head:?}");
    }
}

#[actix_web::test]
async fn no_header_changes_the_method() {
    let service = Launched::start().await;
    for name in [
        "X-HTTP-Method-Override",
        "X-HTTP-Method",
        "X-Method-Override",
    ] {
        let post = client().post(format!("{}/v1/rates", service.base));
        let answer = post.header(name, "GET").send().await.expect("an answer");
        assert_eq!(answer.status(), 405, "{name}");
        let get = service.get("/v1/price-books/demo/items/tie-wire");
        let answer = get.header(name, "PUT").header("If-None-Match", "*").send();
        let status = answer.await.expect("an answer").status();
        assert!(
            [200, 304, 404].contains(&status.as_u16()),
            "{name}: {status}"
        );
    }
}
