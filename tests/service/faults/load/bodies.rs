//! Bodies made to hurt: unfolded without end, nested without end, with keys and columns without number.
//!
//! Invariants: each is answered, with a problem or with a row for each row; memory stays bounded.

use super::{
    caller::{ask, request},
    measured::Before,
};
use crate::{faults::process::Process, store::place::Place};
use std::io::Write as _;

/// Memory that the service may take for these, in MiB.
const MOST: usize = 400;

const JSON: &str = "Content-Type: application/json\r\n";
const LINES: &str = "Content-Type: application/x-ndjson\r\n";
const CSV: &str = "Content-Type: text/csv\r\n";
const SINGLE: &str = "POST /v1/estimates";
const BATCH: &str = "POST /v1/estimates/batch";

/// A request and the status that it should get.
struct Case {
    name: &'static str,
    start: &'static str,
    headers: String,
    body: Vec<u8>,
    status: u16,
}

fn case(name: &'static str, (start, headers): (&'static str, &str), body: Vec<u8>) -> Case {
    Case {
        name,
        start,
        headers: headers.to_owned(),
        body,
        status: 400,
    }
}

impl Case {
    fn gets(self, status: u16) -> Self {
        Self { status, ..self }
    }
}

/// Mebibytes of one letter, folded.
fn folded(letter: u8, mebibytes: usize) -> Vec<u8> {
    let mut gzip = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    let block = vec![letter; 1024 * 1024];
    for _ in 0..mebibytes {
        gzip.write_all(&block).expect("memory");
    }
    gzip.finish().expect("memory")
}

/// An object of so many keys; `same` for one key again and again.
fn object(keys: usize, same: bool) -> Vec<u8> {
    let key = |number: usize| if same { 0 } else { number };
    let members: Vec<String> = (0..keys).map(|n| format!("\"k{}\":1", key(n))).collect();
    format!("{{{}}}", members.join(",")).into_bytes()
}

fn columns(number: usize, same: bool) -> Vec<u8> {
    let names: Vec<String> = (0..number)
        .map(|n| {
            if same {
                "rise_in".into()
            } else {
                format!("c{n}")
            }
        })
        .collect();
    format!("{}\n1\n", names.join(",")).into_bytes()
}

fn cases() -> Vec<Case> {
    let folded_json = format!("{JSON}Content-Encoding: gzip\r\n");
    let folded_csv = format!("{CSV}Content-Encoding: gzip\r\n");
    let long_line = [object(7_000, false), b"\n".to_vec()].concat();
    let landings = vec![r#"{"kind":"landing"}"#; 50_000].join(",");
    let long_path = format!("{{\"ramp\":{{\"path\":[{landings}]}}}}");
    vec![
        case("folded, single", (SINGLE, &folded_json), folded(b' ', 17)).gets(415),
        case("folded, one row", (BATCH, &folded_csv), folded(b'0', 8)).gets(422),
        case("folded, an array", (BATCH, &folded_json), folded(b' ', 17)).gets(413),
        case("nested arrays", (SINGLE, JSON), vec![b'['; 100_000]),
        case(
            "nested objects",
            (SINGLE, JSON),
            br#"{"a":"#.repeat(100_000),
        ),
        case("nested, batch", (BATCH, JSON), vec![b'['; 100_000]),
        case("nested, lines", (BATCH, LINES), vec![b'['; 60_000]).gets(200),
        case("keys", (SINGLE, JSON), object(80_000, false)).gets(422),
        case("one key", (SINGLE, JSON), object(80_000, true)).gets(422),
        case("keys, a line", (BATCH, LINES), long_line).gets(200),
        case("a long path", (SINGLE, JSON), long_path.into_bytes()).gets(422),
        case("columns", (BATCH, CSV), columns(50_000, false)).gets(422),
        case("one column", (BATCH, CSV), columns(250, true)),
        case("a large body", (SINGLE, JSON), vec![b' '; 5 * 1024 * 1024]).gets(413),
    ]
}

/// An answer longer than this says more than anybody reads, in bytes.
const LONGEST_PROBLEM: usize = 1024 * 1024;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn bodies_made_to_hurt_are_refused_in_bounded_memory() {
    let place = Place::sqlite();
    let process = Process::start(&place.address);
    let before = Before::of(&process).await;
    let cases = cases();
    for case in &cases {
        let sent = request(case.start, &case.headers, &case.body);
        let came = ask(&process.base, &sent).await;
        let answer = came.unwrap_or_else(|error| panic!("{}: {error}", case.name));
        let (name, bytes) = (case.name, answer.body.len());
        let body = String::from_utf8_lossy(&answer.body);
        assert_eq!(answer.status, case.status, "{name}: {body:.300}");
        assert!(bytes < LONGEST_PROBLEM, "{name}: {bytes} bytes");
    }
    let what = format!("{} bodies made to hurt", cases.len());
    before.holds(MOST, &what).await;
    drop(process);
    place.remove().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn heads_made_to_hurt_are_refused() {
    let place = Place::sqlite();
    let process = Process::start(&place.address);
    let long = |bytes: usize| format!("X-Long: {}\r\n", "a".repeat(bytes));
    let target = format!("GET /livez?{}", "a".repeat(9 * 1024));
    for (start, headers, status) in [
        ("GET /livez", long(20 * 1024), 200),
        ("GET /livez", long(40 * 1024), 431),
        ("GET /livez", long(300 * 1024), 431),
        ("GET /livez", "X-Many: 1\r\n".repeat(80), 431),
        ("GET /livez", "X-Many: 1\r\n".repeat(5_000), 431),
        (target.as_str(), String::new(), 414),
    ] {
        let came = ask(&process.base, &request(start, &headers, b"")).await;
        let length = headers.len();
        assert_eq!(
            came.expect("an answer").status,
            status,
            "{start:.20}, {length}"
        );
    }
    drop(process);
    place.remove().await;
}
