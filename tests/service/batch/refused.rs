//! What is refused as a whole, before the first byte of an answer, and what ends an answer early.

use super::{CSV, JSON, LINES, batch, cells};
use crate::launched::{Launched, problem};
use reqwest::header::{ACCEPT, CONTENT_ENCODING};
use std::io::{Read as _, Write as _};
use std::net::TcpStream;

#[actix_web::test]
async fn a_body_that_is_no_table_is_refused() {
    let service = Launched::start().await;
    let found = problem(batch(&service, "", "text/html").body("x"), 415).await;
    assert!(
        found["detail"]
            .as_str()
            .is_some_and(|detail| detail.contains("text/html"))
    );
    problem(batch(&service, "", CSV).body(""), 400).await;
    problem(batch(&service, "", JSON).body("[{]"), 400).await;
    problem(batch(&service, "", JSON).body("{\"rise_in\":28}"), 422).await;
    problem(
        batch(&service, "", CSV)
            .header(CONTENT_ENCODING, "zstd")
            .body("a\n"),
        415,
    )
    .await;
    problem(
        batch(&service, "", CSV)
            .header(CONTENT_ENCODING, "gzip")
            .body("a\n"),
        400,
    )
    .await;
    problem(
        batch(&service, "", LINES).header(ACCEPT, CSV).body("{}\n"),
        406,
    )
    .await;
}

#[actix_web::test]
async fn every_fault_of_a_query_is_told() {
    let service = Launched::start().await;
    let query = "?figures=totl,verdict&summary=col&least_per_visit=much&units=feet";
    let found = problem(batch(&service, query, CSV).body("rise_in\n28\n"), 422).await;
    let columns: Vec<&str> = found["errors"]
        .as_array()
        .expect("errors")
        .iter()
        .filter_map(|error| error["column"].as_str())
        .collect();
    assert_eq!(columns, ["figures", "least_per_visit", "summary", "units"]);
    let near = found["errors"][0]["accepted"].as_str().expect("text");
    assert!(near.contains("total"), "{near}");
    problem(
        batch(&service, "?figure=total", CSV).body("rise_in\n28\n"),
        400,
    )
    .await;
}

#[actix_web::test]
async fn an_array_is_held_only_up_to_its_bound() {
    let service = Launched::start().await;
    let body = format!("[\"{}\"]", "x".repeat(17 * 1024 * 1024));
    problem(batch(&service, "", JSON).body(body), 413).await;
}

/// What was answered stays answered, and the end is told apart from a whole one.
#[actix_web::test]
async fn a_body_that_cannot_be_unfolded_to_its_end_ends_the_answer() {
    let service = Launched::start().await;
    let mut gzip = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    let sent = format!("job,rise_in\n{}", "a,28\n".repeat(100));
    gzip.write_all(sent.as_bytes()).expect("memory takes it");
    let mut body = gzip.finish().expect("memory takes it");
    body.truncate(body.len() - 12);
    let request = batch(&service, "?figures=total", CSV)
        .header(CONTENT_ENCODING, "gzip")
        .body(body);
    let mut answer = request.send().await.expect("an answer begins");
    let mut text = Vec::new();
    let end = loop {
        match answer.chunk().await {
            Ok(Some(chunk)) => text.extend_from_slice(&chunk),
            Ok(None) => break true,
            Err(_) => break false,
        }
    };
    assert!(!end, "the connection is closed unfinished");
    let rows = cells(&String::from_utf8(text).expect("text"), b',');
    let last = rows.last().expect("a row");
    assert_eq!(last[2], "aborted");
    assert!(last[4].contains("broke off before its end"), "{last:?}");
    assert!(rows.len() > 2 && rows[1][2] == "ok", "{rows:?}");
}

/// Sends half of what it promised, and then no more.
#[actix_web::test]
async fn a_body_that_breaks_off_ends_the_answer() {
    let service = Launched::start().await;
    let address = service.base.trim_start_matches("http://").to_owned();
    let said = actix_web::web::block(move || {
        let mut stream = TcpStream::connect(&address).expect("it listens");
        let head = format!(
            "POST /v1/estimates/batch?figures=total HTTP/1.1\r\nHost: {address}\r\nContent-Type: text/csv\r\nContent-Length: 1000\r\n\r\n"
        );
        stream.write_all(head.as_bytes()).expect("sent");
        stream.write_all(b"rise_in\n28\n14\n").expect("sent");
        stream.shutdown(std::net::Shutdown::Write).expect("half closed");
        let mut said = String::new();
        // It may end without a proper end.
        drop(stream.read_to_string(&mut said));
        said
    })
    .await
    .expect("it ends");
    assert!(
        !said.contains("\r\n0\r\n\r\n"),
        "the answer says that it is whole: {said}"
    );
}
