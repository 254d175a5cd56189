//! Peers that are slow, and peers that stand still: the first are served, the second let go.
//!
//! The service runs in this process with little patience, so that nobody waits for a minute.

use super::caller::{Caller, address, request};
use crate::launched::Launched;
use crossfall::http::bounds::Bounds;
use std::time::Duration;

/// Longer than the patience of the service, by far.
const LONG: Duration = Duration::from_secs(20);

async fn hurried() -> Launched {
    let bounds = Bounds {
        for_call: Duration::from_secs(1),
        for_taking: Duration::from_secs(2),
        for_more: Duration::from_secs(2),
        ..Bounds::default()
    };
    Launched::start_within(bounds).await
}

async fn caller(service: &Launched) -> Caller {
    let opened = Caller::open(&address(&service.base)).await;
    opened.expect("a connection")
}

/// The start of a batch in pieces of its sender's choice.
fn batch(kind: &str) -> Vec<u8> {
    let head = "POST /v1/estimates/batch HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: chunked";
    format!("{head}\r\nContent-Type: {kind}\r\n\r\n").into_bytes()
}

/// A piece of a body.
fn piece(text: &str) -> Vec<u8> {
    format!("{:x}\r\n{text}\r\n", text.len()).into_bytes()
}

/// So many rows that are no job and large, which come back as they are.
fn large_rows(number: usize) -> String {
    let note = "x".repeat(30_000);
    let rows = format!("-1,{note}\n").repeat(number);
    format!("rise_in,remark\n{rows}")
}

#[actix_web::test]
async fn a_head_that_does_not_end_is_given_up_the_first_and_any_other() {
    let service = hurried().await;
    let mut caller_ = caller(&service).await;
    caller_
        .send(b"GET /livez HTTP/1.1\r\nHo")
        .await
        .expect("it is sent");
    let came = caller_.until_closed(LONG).await.expect("it is closed");
    assert!(came.is_empty(), "there is no call to answer");
    let mut second = caller(&service).await;
    let first = second.call(&request("GET /livez", "", b"")).await;
    assert_eq!(first.expect("an answer").status, 200);
    second
        .send(b"GET /livez HTTP/1.1\r\nHo")
        .await
        .expect("it is sent");
    let came = second.until_closed(LONG).await.expect("it is closed");
    assert!(came.is_empty());
}

#[actix_web::test]
async fn what_drips_in_after_a_refusal_keeps_no_connection() {
    let service = hurried().await;
    let mut caller = caller(&service).await;
    let start =
        "POST /v1/nothing HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: chunked\r\n\r\n";
    caller.send(start.as_bytes()).await.expect("it is sent");
    for _ in 0..400 {
        tokio::time::sleep(Duration::from_millis(50)).await;
        if caller.send(&piece("a")).await.is_err() {
            return;
        }
    }
    panic!("it still takes what drips in");
}

#[actix_web::test]
async fn a_batch_that_stands_still_is_broken_off() {
    let service = hurried().await;
    let mut caller = caller(&service).await;
    let rows = "rise_in,length_ft\n28,28\n";
    let start = [batch("text/csv"), piece(rows)].concat();
    caller.send(&start).await.expect("it is sent");
    let came = caller.until_closed(LONG).await.expect("it is closed");
    let came = String::from_utf8_lossy(&came);
    assert!(came.contains("aborted"), "{came}");
}

#[actix_web::test]
async fn a_batch_that_drips_is_broken_off() {
    let service = hurried().await;
    let mut caller = caller(&service).await;
    let start = [batch("text/csv"), piece("rise_in,length_ft\n28,")].concat();
    caller.send(&start).await.expect("it is sent");
    for _ in 0..400 {
        tokio::time::sleep(Duration::from_millis(50)).await;
        if caller.send(&piece("2")).await.is_err() {
            return;
        }
    }
    panic!("it still takes what drips in");
}

#[actix_web::test]
async fn a_batch_that_comes_slowly_is_answered_whole() {
    let service = hurried().await;
    let mut caller = caller(&service).await;
    let start = [batch("text/csv"), piece("rise_in,remark\n")].concat();
    caller.send(&start).await.expect("it is sent");
    let row = format!("-1,{}\n", "x".repeat(1_500));
    // Longer in all than a body that stands still is awaited.
    for _ in 0..8 {
        caller.send(&piece(&row)).await.expect("it is taken");
        tokio::time::sleep(Duration::from_millis(500)).await;
    }
    caller.send(b"0\r\n\r\n").await.expect("it is taken");
    let answer = caller.answer().await.expect("an answer");
    let body = String::from_utf8_lossy(&answer.body);
    assert_eq!(answer.status, 200);
    assert_eq!(body.matches(",error,").count(), 8, "{body}");
    assert!(!body.contains("aborted"));
}

/// A batch with a large answer, asked for by one who does not read yet.
async fn unread(service: &Launched) -> Caller {
    let opened = Caller::open_narrow(&address(&service.base)).await;
    let mut caller = opened.expect("a connection");
    let rows = large_rows(200);
    let sent = request(
        "POST /v1/estimates/batch",
        "Content-Type: text/csv\r\n",
        rows.as_bytes(),
    );
    caller.send(&sent).await.expect("it is taken in whole");
    caller
}

#[actix_web::test]
async fn a_reader_that_stops_is_cut_off() {
    let service = hurried().await;
    let mut caller = unread(&service).await;
    tokio::time::sleep(Duration::from_secs(6)).await;
    let came = caller.until_closed(LONG).await.expect("it is closed");
    assert!(came.starts_with(b"HTTP/1.1 200"), "it had begun");
    assert!(came.len() < 200 * 30_000, "{} bytes came", came.len());
}

#[actix_web::test]
async fn a_slow_reader_is_served_whole() {
    use tokio::io::AsyncReadExt as _;
    let service = hurried().await;
    let mut caller = unread(&service).await;
    let (mut bytes, mut some) = (Vec::new(), vec![0; 32 * 1024]);
    // Slower than the service by far, and longer in all than one is awaited who stands still.
    while !bytes.ends_with(b"0\r\n\r\n") {
        let read = caller.socket.read(&mut some).await.expect("it goes on");
        assert!(read > 0, "{} bytes came", bytes.len());
        bytes.extend_from_slice(&some[..read]);
        tokio::time::sleep(Duration::from_millis(25)).await;
    }
    assert!(bytes.len() > 200 * 30_000);
}
