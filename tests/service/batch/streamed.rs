//! What a long table takes, and what a compressed answer waits for: gates that noise cannot move.
//!
//! Invariants: memory is that of the real binary, as the system accounts for it; of many waiting times
//! the middle one counts, which a busy machine does not lift to the wait that is looked for. Absent:
//! throughput, which `benches/serve.sh` measures.

use crate::launched::{Binary, client};
use std::fmt::Write as _;
use std::time::{Duration, Instant};

/// Rows of the long table.
const ROWS: usize = 100_000;

/// Most memory of a streamed table over that of a service which did one already, in KiB.
const MOST: u64 = 32 * 1024;

/// A part of a process's status, in KiB.
fn memory(binary: &Binary, key: &str) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{}/status", binary.id())).expect("it runs");
    let line = status.lines().find(|line| line.starts_with(key));
    let number = line.and_then(|line| line.split_whitespace().nth(1));
    number.expect("the line").parse().expect("a number")
}

fn table(rows: usize) -> String {
    let mut text = "job,rise_in,runs,turn,left,width_in\n".to_owned();
    for row in 0..rows {
        let rise = 8.0 + (row * 7 % 41) as f64 / 2.0;
        let shape = [",", "2,", "2,left", "2,back_left"][row % 4];
        let left = ["", "wall", "form_on_wall"][row % 3];
        writeln!(text, "entrance {row},{rise},{shape},{left},60").expect("into a text");
    }
    text
}

/// Sends a table and counts the lines that come back, none of which is kept.
async fn lines(binary: &Binary, rows: usize) -> usize {
    let url = format!(
        "http://{}/v1/estimates/batch?figures=total,concrete_order,fingerprint",
        binary.address()
    );
    let sent = client().post(url).header("content-type", "text/csv");
    let mut answer = sent.body(table(rows)).send().await.expect("an answer");
    assert_eq!(answer.status(), 200);
    let mut lines = 0;
    while let Some(piece) = answer.chunk().await.expect("a whole answer") {
        lines += piece.iter().filter(|byte| **byte == b'\n').count();
    }
    lines
}

#[cfg(target_os = "linux")]
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
#[ignore = "a hundred thousand rows take minutes in a debug build; the full test command runs it"]
async fn a_hundred_thousand_rows_take_little_memory() {
    let binary = Binary::serve(&[]);
    let idle = memory(&binary, "VmRSS");
    assert_eq!(lines(&binary, ROWS).await, ROWS + 1);
    let most = memory(&binary, "VmHWM");
    println!("idle {idle} KiB, at most {most} KiB with {ROWS} rows");
    assert!(most - idle <= MOST, "{most} KiB, and {idle} KiB before");
}

/// Without TCP_NODELAY the last piece of an answer in several waits some 40 ms for the caller's
/// acknowledgement (delayed ACK, RFC 1122, section 4.2.3.2).
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_compressed_answer_waits_for_nothing() {
    const MOST: Duration = Duration::from_millis(25);
    let binary = Binary::serve(&[]);
    let url = format!("http://{}/docs/swagger-ui.css", binary.address());
    // One connection: the first answers on a new one are acknowledged at once.
    let client = client();
    let mut took = Vec::new();
    for _ in 0..31 {
        let begun = Instant::now();
        let asked = client.get(&url).header("accept-encoding", "gzip").send();
        let answer = asked.await.expect("an answer");
        assert_eq!(answer.headers()["content-encoding"], "gzip");
        answer.bytes().await.expect("a whole body");
        took.push(begun.elapsed());
    }
    took.sort_unstable();
    let middle = took[took.len() / 2];
    println!("middle of {} compressed answers: {middle:?}", took.len());
    assert!(middle <= MOST, "{took:?}");
}
