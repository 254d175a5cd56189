//! Whoever goes away or reads slowly: the work stops, and memory does not grow.

use crate::launched::Binary;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::time::{Duration, Instant};

fn rows(count: usize) -> String {
    let mut text = String::from("job,rise_in,length_ft,runs,turn\n");
    for number in 0..count {
        text.push_str(&format!("{number},{},,2,left\n", 8 + number % 20));
    }
    text
}

/// A connection on which a whole batch was sent, and of whose answer nothing was read yet.
fn send(binary: &Binary, body: &str) -> TcpStream {
    let mut stream = TcpStream::connect(binary.address()).expect("it listens");
    let head = format!(
        "POST /v1/estimates/batch HTTP/1.1\r\nHost: {}\r\nContent-Type: text/csv\r\nContent-Length: {}\r\n\r\n",
        binary.address(),
        body.len()
    );
    stream.write_all(head.as_bytes()).expect("sent");
    stream.write_all(body.as_bytes()).expect("sent");
    stream
}

/// Seconds of processor time that the binary has used (proc(5): utime and stime, in hundredths).
fn used(binary: &Binary) -> f64 {
    let stat = std::fs::read_to_string(format!("/proc/{}/stat", binary.id())).expect("it runs");
    let behind = stat.rsplit(')').next().expect("fields");
    let fields: Vec<&str> = behind.split_whitespace().collect();
    let ticks = |at: usize| fields[at].parse::<f64>().expect("a number");
    (ticks(11) + ticks(12)) / 100.0
}

/// Memory that the binary holds, in MiB.
fn held(binary: &Binary) -> f64 {
    let status = std::fs::read_to_string(format!("/proc/{}/status", binary.id())).expect("it runs");
    let line = status
        .lines()
        .find(|line| line.starts_with("VmRSS:"))
        .expect("a line");
    let kib = line.split_whitespace().nth(1).expect("a number");
    kib.parse::<f64>().expect("a number") / 1024.0
}

#[test]
fn the_work_stops_when_nobody_awaits_the_answer() {
    let binary = Binary::serve(&[]);
    let mut stream = send(&binary, &rows(50_000));
    let mut some = [0; 20_000];
    stream.read_exact(&mut some).expect("an answer comes");
    drop(stream);
    std::thread::sleep(Duration::from_secs(1));
    let before = used(&binary);
    std::thread::sleep(Duration::from_secs(1));
    let after = used(&binary) - before;
    // Two threads at work would use up to two seconds of it.
    assert!(after < 0.2, "{after} s of work in a second");
}

#[test]
fn a_reader_that_does_not_read_holds_no_memory() {
    let binary = Binary::serve(&[]);
    // The first batch brings what every batch needs.
    drain(send(&binary, &rows(500)), Duration::from_secs(30));
    let before = held(&binary);
    let stream = send(&binary, &rows(100_000));
    std::thread::sleep(Duration::from_secs(3));
    let grown = held(&binary) - before;
    assert!(grown < 32.0, "{grown} MiB more");
    drop(stream);
}

/// Reads an answer to its end.
fn drain(mut stream: TcpStream, most: Duration) {
    let until = Instant::now() + most;
    let mut some = [0; 65_536];
    stream.set_read_timeout(Some(most)).expect("a timeout");
    let mut tail = Vec::new();
    while Instant::now() < until {
        let read = stream.read(&mut some).expect("an answer comes");
        tail.extend_from_slice(&some[..read]);
        if tail.ends_with(b"0\r\n\r\n") {
            return;
        }
        tail.drain(..tail.len().saturating_sub(8));
    }
    panic!("the answer did not end");
}
