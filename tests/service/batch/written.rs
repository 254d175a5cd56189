//! How a batch is written: dialects, marks, codings, formulas, sums.

use super::{CSV, LINES, answered, batch, cell, cells};
use crate::launched::Launched;
use reqwest::header::{ACCEPT, ACCEPT_ENCODING, CONTENT_ENCODING, CONTENT_TYPE, VARY};
use serde_json::Value;
use std::io::{Read as _, Write as _};

#[actix_web::test]
async fn the_answer_is_written_as_the_request_is() {
    let service = Launched::start().await;
    let sent = "\u{feff}job;rise_in;length_ft\r\n\"two\r\nlines\";28,5;30,25\r\n";
    let answer = answered(batch(&service, "?figures=total,slope", CSV).body(sent)).await;
    assert!(answer.starts_with('\u{feff}'), "{answer}");
    let rows = cells(&answer, b';');
    assert_eq!(rows[1][..3], ["two\r\nlines", "28,5", "30,25"]);
    assert_eq!(cell(&rows, 1, "status"), "ok");
    let total = cell(&rows, 1, "total");
    let (whole, cents) = total.split_once(',').expect("a decimal comma");
    assert!(whole.parse::<u32>().is_ok() && cents.len() == 2, "{total}");
    // A point is a mark that this dialect does not have.
    let pointed = "rise_in;length_ft\n28.5;30\n";
    let rows = cells(
        &answered(batch(&service, "?figures=total", CSV).body(pointed)).await,
        b';',
    );
    assert_eq!(cell(&rows, 1, "status"), "error");
}

#[actix_web::test]
async fn a_tab_parts_cells_as_well_and_other_charsets_are_read() {
    let service = Launched::start().await;
    let tabs = "job\trise_in\ncaf\u{e9}\t28\n";
    let kind = "text/tab-separated-values";
    let rows = cells(
        &answered(batch(&service, "?figures=total", kind).body(tabs)).await,
        b'\t',
    );
    assert_eq!(rows[1][0], "caf\u{e9}");
    let kind = "text/csv; charset=windows-1252";
    let latin = b"job,rise_in\ncaf\xE9,28\n".to_vec();
    let rows = cells(
        &answered(batch(&service, "?figures=total", kind).body(latin)).await,
        b',',
    );
    assert_eq!(rows[1][..3], ["caf\u{e9}", "28", "ok"]);
}

#[actix_web::test]
async fn what_a_spreadsheet_would_run_comes_back_guarded() {
    let service = Launched::start().await;
    let sent = "job,rise_in,drop\n=1+1,28,-2.5\n'@x,28,+3\n";
    let rows = cells(
        &answered(batch(&service, "?figures=total", CSV).body(sent)).await,
        b',',
    );
    assert_eq!(rows[1][..3], ["'=1+1", "28", "-2.5"]);
    assert_eq!(rows[2][..3], ["'@x", "28", "+3"]);
}

#[actix_web::test]
async fn bodies_come_folded_and_answers_go_folded() {
    let service = Launched::start().await;
    let sent = format!("job,rise_in\n{}", "a,28\n".repeat(300));
    let plain = answered(batch(&service, "?figures=total", CSV).body(sent.clone())).await;
    let mut gzip = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    gzip.write_all(sent.as_bytes()).expect("memory takes it");
    let mut br = brotli::CompressorReader::new(sent.as_bytes(), 4096, 4, 20);
    let mut brotli = Vec::new();
    br.read_to_end(&mut brotli).expect("memory takes it");
    let folded = [
        ("gzip", gzip.finish().expect("memory takes it")),
        ("br", brotli),
    ];
    for (coding, body) in folded {
        let request = batch(&service, "?figures=total", CSV)
            .header(CONTENT_ENCODING, coding)
            .header(ACCEPT_ENCODING, coding)
            .body(body);
        let answer = request.send().await.expect("an answer");
        assert_eq!(answer.headers()[CONTENT_ENCODING], coding);
        let bytes = answer.bytes().await.expect("a whole body");
        let mut text = String::new();
        let read = match coding {
            "gzip" => flate2::read::GzDecoder::new(&bytes[..]).read_to_string(&mut text),
            _ => brotli::Decompressor::new(&bytes[..], 4096).read_to_string(&mut text),
        };
        read.expect("it unfolds");
        assert_eq!(text, plain, "{coding}");
    }
}

#[actix_web::test]
async fn the_format_of_the_answer_can_be_chosen() {
    let service = Launched::start().await;
    let sent = "job,rise_in\na,28\n";
    for (query, accept, kind) in [
        ("", "*/*", "text/csv; charset=utf-8; header=present"),
        ("", LINES, LINES),
        ("?format=json", "text/csv", "application/json"),
        ("?format=ndjson", "*/*", LINES),
    ] {
        let request = batch(&service, query, CSV)
            .header(ACCEPT, accept)
            .body(sent);
        let answer = request.send().await.expect("an answer");
        assert_eq!(answer.headers()[CONTENT_TYPE], kind, "{query} {accept}");
        assert!(
            answer
                .headers()
                .get_all(VARY)
                .iter()
                .any(|vary| vary == "Accept")
        );
    }
}

#[actix_web::test]
async fn a_table_can_end_with_its_sums() {
    let service = Launched::start().await;
    let sent = "rise_in\n28\nx\n14\n";
    let rows = cells(
        &answered(batch(&service, "?summary=row", CSV).body(sent)).await,
        b',',
    );
    assert_eq!(rows.len(), 5);
    assert_eq!(cell(&rows, 4, "status"), "summary");
    let total = |row| {
        cell(&rows, row, "total")
            .parse::<rust_decimal::Decimal>()
            .expect("money")
    };
    assert_eq!(total(1) + total(3), total(4));
    assert!(cell(&rows, 4, "note").starts_with("3 rows: 2 priced, 0 incomplete, 1 with errors"));
}

#[actix_web::test]
async fn the_summary_tells_weeks_areas_orders_and_rows_under_the_least_price() {
    let service = Launched::start().await;
    // 2026-05-03 is a Sunday and 2026-05-04 a Monday: two weeks of ISO 8601.
    let sent = "rise_in,day,zone,start\n28,2026-05-03,north,\n28,2026-05-04,north,\n14,2026-05-08,north,\n14,,,\n14,,,2026-05-04\n";
    let query = "?format=json&least_per_visit=1300";
    let answer = answered(batch(&service, query, CSV).body(sent)).await;
    let answer: Value = serde_json::from_str(&answer).expect("JSON");
    let summary = &answer["summary"];
    let weeks: Vec<(&str, &str, u64)> = summary["weeks"]
        .as_array()
        .expect("weeks")
        .iter()
        .map(|week| {
            let text = |name: &str| week[name].as_str().expect("text");
            (
                text("week"),
                text("area"),
                week["jobs"].as_u64().expect("a count"),
            )
        })
        .collect();
    assert_eq!(weeks[..2], [("2026-W18", "north", 1), ("2026-W19", "", 1)]);
    assert_eq!(weeks[2], ("2026-W19", "north", 2));
    assert_eq!(summary["undated"], 1);
    let days = |at: usize| summary["weeks"][at]["crew_days"].as_f64().expect("days");
    assert!(days(2) > days(0));
    let orders = summary["to_order"].as_array().expect("orders");
    let silane = orders
        .iter()
        .find(|order| order["code"] == "silane-5gal")
        .expect("sealer");
    // Five jobs open five pails; together they need fewer.
    assert_eq!(silane["job_by_job"], 5.0);
    assert!(
        silane["order"].as_f64().is_some_and(|order| order < 4.0),
        "{silane}"
    );
    let concrete = orders
        .iter()
        .find(|order| order["code"] == "concrete-4500-air");
    let concrete = concrete.expect("concrete");
    assert_eq!(
        concrete["order"], concrete["job_by_job"],
        "each pour has its own truck"
    );
    let under = summary["under_least"]["rows"].as_array().expect("rows");
    let by_hand: Vec<u64> = answer["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .filter(|row| {
            let total: f64 = row["figures"]["total"]
                .as_str()
                .expect("money")
                .parse()
                .expect("money");
            total < 1300.0 * row["figures"]["visits"].as_f64().expect("visits")
        })
        .map(|row| row["row"].as_u64().expect("a number"))
        .collect();
    let under: Vec<u64> = under.iter().filter_map(Value::as_u64).collect();
    assert_eq!(under, by_hand);
    assert!(!under.is_empty() && under.len() < 5, "{under:?}");
    let row = &answer["rows"][under[0] as usize - 2];
    assert!(
        row["figures"]["note"]
            .as_str()
            .is_some_and(|note| note.contains("under the least"))
    );
}
