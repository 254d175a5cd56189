//! The process told to stop in the middle of an open stream of requests.
//!
//! Invariants: whoever was let in is answered in full; readiness turns before the door closes; what
//! was answered as written is there after a restart, and nothing else. Absent: kills, which `killed`
//! tests; two replicas behind a proxy, which `replaced` tests.

use super::{
    asking::{book, new_items},
    process::{Process, serving},
    wire::{Wire, request},
};
use crate::launched::{Folder, demo_items};
use crate::store::place::Place;
use std::{
    fmt::Write as _,
    io::{self, Read as _, Write as _},
    net::TcpStream,
    time::{Duration, Instant},
};
use tokio::task::spawn_blocking;

both!(a_stop_under_an_open_stream_loses_nothing);

/// New items of one import.
const ITEMS: i64 = 50;

/// What came of the requests of one kind.
#[derive(Debug, Default)]
struct Outcome {
    answered: usize,
    /// Of those, after which the connection was closed.
    closed: usize,
    lost: Vec<io::Error>,
}

impl Outcome {
    fn add(&mut self, other: Self) {
        self.answered += other.answered;
        self.closed += other.closed;
        self.lost.extend(other.lost);
    }
}

/// A service with settings of its own for the stop.
fn start(place: &Place, settings: &[&str]) -> Process {
    let folder = Folder::new();
    let mut command = serving(&folder, &place.address);
    command.args(settings);
    Process::begin(command, folder).expect("it serves")
}

/// A table of jobs for a batch.
pub(super) fn jobs(rows: usize) -> String {
    let mut table = String::from("job,rise_in,width_in,as_of,revision\n");
    for row in 0..rows {
        let (rise, width) = (8 + row % 20, 48 + row % 3 * 6);
        writeln!(table, "entrance {row},{rise},{width},2026-05-04,1")
            .expect("writing to a text cannot fail");
    }
    table
}

/// Every kind of request that computes.
fn computing() -> Vec<Vec<u8>> {
    const LINE: &str = "rise_in=28&length_ft=28&runs=2&turn=left&as_of=2026-05-04&revision=1";
    const JOB: &str = r#"{"book": {"code": "demo", "as_of": "2026-05-04", "revision": 1}, "ramp": {"path": [
        {"kind": "landing"}, {"kind": "run", "rise": "24 in", "length": "27 ft"}, {"kind": "landing"}]}}"#;
    let get = |path: &str| request(&format!("GET {path}?{LINE}"), "", "");
    let json = "Content-Type: application/json\r\n";
    let csv = "Content-Type: text/csv\r\nAccept: text/csv\r\n";
    vec![
        get("/v1/cell/total"),
        get("/v1/row"),
        request("POST /v1/estimates", json, JOB),
        request("POST /v1/estimates/batch", csv, &jobs(10)),
    ]
}

/// Asks again and again, on a connection that is kept for as long as the service keeps it, until
/// nobody opens any more. `next` makes a request of a number and `check` holds its answer.
fn until_closed(
    base: &str,
    mut next: impl FnMut(usize) -> Vec<u8>,
    mut check: impl FnMut(Vec<u8>),
) -> Outcome {
    let (mut outcome, mut kept) = (Outcome::default(), None);
    for number in 0.. {
        let Some(mut wire) = kept.take().or_else(|| Wire::open(base).ok()) else {
            break;
        };
        match wire.ask(&next(number)) {
            Err(error) => outcome.lost.push(error),
            Ok(told) => {
                let text = String::from_utf8_lossy(&told.body);
                assert_eq!(told.status, 200, "{text}");
                check(told.body);
                outcome.answered += 1;
                outcome.closed += usize::from(told.closes);
                kept = (!told.closes).then_some(wire);
            }
        }
    }
    outcome
}

/// Imports one table after the other; the number of those that were accepted.
fn keep_importing(base: &str) -> (Outcome, i64) {
    let mut accepted = 0;
    let outcome = until_closed(
        base,
        |number| {
            let head = format!(
                "Content-Type: text/csv\r\nIf-Match: \"{}\"\r\nIdempotency-Key: stop-{number}\r\n",
                number + 1
            );
            let table = new_items(ITEMS as usize, &format!("stop-{number}"));
            request(
                "POST /v1/price-books/demo/import?table=prices",
                &head,
                &table,
            )
        },
        |_| accepted += 1,
    );
    (outcome, accepted)
}

/// The statuses of `/readyz` until nobody opens any more, each on a connection of its own.
fn watch_readiness(base: &str) -> Vec<u16> {
    let mut seen = Vec::new();
    while let Ok(mut wire) = Wire::open(base) {
        let told = wire.ask(&request("GET /readyz", "", ""));
        seen.push(told.expect("an answer of whoever was let in").status);
        std::thread::sleep(Duration::from_millis(20));
    }
    seen
}

async fn a_stop_under_an_open_stream_loses_nothing(place: &Place) {
    let mut running = start(place, &["--stop-notice", "1s", "--stop-limit", "5m"]);
    let mut asking = Vec::new();
    for asked in computing() {
        let mut wire = Wire::open(&running.base).expect("it listens");
        let first = wire.ask(&asked).expect("an answer").body;
        let base = running.base.clone();
        let same = move |body| assert!(body == first, "every answer is the first one");
        asking.push(spawn_blocking(move || {
            until_closed(&base, |_| asked.clone(), same)
        }));
    }
    let base = running.base.clone();
    let importing = spawn_blocking(move || keep_importing(&base));
    let base = running.base.clone();
    let readiness = spawn_blocking(move || watch_readiness(&base));
    tokio::time::sleep(Duration::from_secs(2)).await;
    running.signal("TERM");
    let mut all = Outcome::default();
    for caller in asking {
        all.add(caller.await.expect("the caller ends"));
    }
    let (imports, accepted) = importing.await.expect("the writer ends");
    let seen = readiness.await.expect("the watcher ends");
    assert!(running.ended(), "the exit code is 0");
    println!("stopped under a stream: {all:?}; imports {imports:?}");
    let log = running.log();
    assert!(all.lost.is_empty() && imports.lost.is_empty(), "{log}");
    assert!(all.closed > 0, "requests came during the notice");
    let turned = seen.iter().position(|status| *status == 503);
    let turned = turned.expect("it says that it is not ready before the door closes");
    assert!(turned > 0 && seen[..turned].iter().all(|status| *status == 200));
    assert!(seen[turned..].iter().all(|status| *status == 503));
    let later = start(place, &[]);
    let kept = (1 + accepted, demo_items() + ITEMS * accepted);
    assert!(accepted > 0);
    assert_eq!(book(&later.base).await, kept, "what was answered is there");
}

/// Sends a batch that takes long, and comes back when its first row was answered; then everything of
/// its answer until the connection ends.
fn send_long_batch(base: &str) -> std::thread::JoinHandle<String> {
    let csv = "Content-Type: text/csv\r\nAccept: text/csv\r\n";
    let asked = request("POST /v1/estimates/batch", csv, &jobs(200_000));
    let mut stream = TcpStream::connect(base.trim_start_matches("http://")).expect("it listens");
    let mut sending = stream.try_clone().expect("a second hold on it");
    // It is not all read where the answer is broken off.
    std::thread::spawn(move || sending.write_all(&asked));
    let (mut answer, mut piece) = (Vec::new(), [0; 65536]);
    let begun = |answer: &[u8]| String::from_utf8_lossy(answer).contains("entrance 0,");
    while !begun(&answer) {
        let read = stream.read(&mut piece).expect("an answer begins");
        assert!(read > 0, "{}", String::from_utf8_lossy(&answer));
        answer.extend_from_slice(&piece[..read]);
    }
    std::thread::spawn(move || {
        while let Ok(read @ 1..) = stream.read(&mut piece) {
            answer.extend_from_slice(&piece[..read]);
        }
        String::from_utf8_lossy(&answer).into_owned()
    })
}

#[test]
fn a_batch_that_outlasts_the_limit_says_that_it_was_broken_off() {
    let place = Place::sqlite();
    let mut running = start(&place, &["--stop-limit", "3s"]);
    let batch = send_long_batch(&running.base);
    running.signal("INT");
    let begun = Instant::now();
    assert!(running.ended(), "the exit code is 0");
    let took = begun.elapsed();
    assert!((2..6).contains(&took.as_secs()), "{took:?}");
    let answer = batch.join().expect("it reads");
    let end: String = answer.chars().rev().take(400).collect();
    let end: String = end.chars().rev().collect();
    assert!(answer.starts_with("HTTP/1.1 200"));
    assert!(end.contains("aborted"), "{end}");
    assert!(!answer.ends_with("\r\n0\r\n\r\n"), "it is not finished");
}

/// The head of its answer kept the connection, and nobody can take that back.
#[test]
fn who_began_before_the_stop_may_ask_again_after_it() {
    let mut running = start(&Place::sqlite(), &[]);
    let mut wire = Wire::open(&running.base).expect("it listens");
    // An array is read whole before it is answered, and so much is not sent while nobody takes it.
    let sent = format!(
        "[{}]",
        [r#"{"rise_in": 28, "length_ft": 28}"#; 1000].join(",")
    );
    let batch = "POST /v1/estimates/batch?job=true&format=ndjson";
    let batch = request(batch, "Content-Type: application/json\r\n", &sent);
    wire.send(&batch).expect("it reads");
    let head = wire.head().expect("the first rows are answered");
    assert!(!head.closes);
    running.signal("INT");
    // Longer than nothing may be under way before idle connections are closed.
    std::thread::sleep(Duration::from_millis(2500));
    let told = wire.rest(&head).expect("all rows are answered");
    let lines = told.body.iter().filter(|byte| **byte == b'\n').count();
    assert_eq!(lines, 1001, "the rows and the summary");
    let again = wire.ask(&request("GET /livez", "", ""));
    let again = again.expect("who was let in is answered");
    assert!(again.status == 200 && again.closes);
    assert!(running.ended(), "the exit code is 0");
}

#[test]
fn a_second_signal_ends_it_at_once() {
    let place = Place::sqlite();
    let mut running = start(&place, &[]);
    let batch = send_long_batch(&running.base);
    running.signal("INT");
    std::thread::sleep(Duration::from_secs(2));
    assert!(running.runs(), "the batch is finished first");
    running.signal("INT");
    let begun = Instant::now();
    assert!(running.ended());
    let took = begun.elapsed();
    assert!(took < Duration::from_secs(3), "{took:?}");
    batch.join().expect("it reads");
}
