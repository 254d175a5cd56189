//! A receiver of our own on this machine: it says what a test tells it to, call by call, and does its work
//! once for each id, as a receiver should.
//!
//! Invariants: the last reply is given again and again; the work of an id is done when its document is
//! whole, whatever is then answered. Absent: checking signatures, which a library does elsewhere.

use crate::scripted::{self, play};
use std::collections::BTreeSet;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::time::Duration;

/// What is answered to one call.
#[derive(Clone)]
pub(super) enum Reply {
    /// A status with its headers, and a body.
    Text(&'static str, String),
    /// Nothing, for so long.
    Late(Duration),
    /// The connection is closed.
    Closed,
    /// So many bytes of the letter a, without their number.
    Huge(usize),
    /// A good status, and then a letter every tenth of a second.
    Drip,
    /// Bytes that are no HTTP.
    Noise,
}

/// What one call brought.
#[derive(Clone, Debug)]
pub(super) struct Heard {
    pub(super) head: String,
    pub(super) body: Vec<u8>,
}

impl Heard {
    /// The value of a header.
    pub(super) fn header(&self, name: &str) -> Option<&str> {
        let mut lines = self.head.lines().filter_map(|line| line.split_once(": "));
        let found = lines.find(|(one, _)| one.eq_ignore_ascii_case(name));
        found.map(|(_, value)| value)
    }
}

/// The receiver.
pub(super) struct Receiver {
    pub(super) port: u16,
    heard: scripted::Heard<Heard>,
}

impl Receiver {
    /// Answers with these, one after the other.
    pub(super) fn start(replies: Vec<Reply>) -> Self {
        let (port, heard) = play(replies, hear, answer);
        Self { port, heard }
    }

    /// Where it takes documents.
    pub(super) fn address(&self) -> String {
        format!("http://127.0.0.1:{}/hidden-path?hidden=word", self.port)
    }

    pub(super) fn heard(&self) -> Vec<Heard> {
        self.heard.lock().expect("no test panics here").clone()
    }

    pub(super) fn calls(&self) -> usize {
        self.heard().len()
    }

    /// How often it did its work: once for each key.
    pub(super) fn effects(&self) -> usize {
        let heard = self.heard();
        let keys = heard.iter().map(|one| one.header("idempotency-key"));
        keys.collect::<BTreeSet<_>>().len()
    }
}

fn hear(stream: &mut TcpStream) -> Heard {
    let mut head = Vec::new();
    let mut byte = [0];
    while !head.ends_with(b"\r\n\r\n") && stream.read(&mut byte).is_ok_and(|read| read > 0) {
        head.push(byte[0]);
        // A record of TLS (RFC 8446, 5.1): its kind, two bytes of version, two of length, what it says; then
        // it waits for an answer.
        if head[0] == 22 && head.len() == 5 {
            let length = usize::from(u16::from_be_bytes([head[3], head[4]]));
            head.resize(5 + length, 0);
            // A caller that breaks off is seen by what is missing.
            let _ = stream.read_exact(&mut head[5..]);
            break;
        }
    }
    let head = String::from_utf8_lossy(&head).into_owned();
    let mut heard = Heard {
        head,
        body: Vec::new(),
    };
    let length = heard.header("content-length");
    let length: usize = length.and_then(|text| text.parse().ok()).unwrap_or(0);
    heard.body.resize(length, 0);
    // A caller that breaks off is seen by what is missing.
    let _ = stream.read_exact(&mut heard.body);
    heard
}

/// A caller that has gone is no fault of ours.
fn answer(stream: &mut TcpStream, reply: Reply) {
    let head = |start: &str| format!("HTTP/1.1 {start}\r\nConnection: close\r\n");
    let _ = match reply {
        Reply::Closed => Ok(()),
        Reply::Noise => stream.write_all(b"SSH-2.0-invented\r\n\r\n"),
        Reply::Late(wait) => {
            std::thread::sleep(wait);
            Ok(())
        }
        Reply::Text(start, body) => {
            let length = body.len();
            let text = format!("{}Content-Length: {length}\r\n\r\n{body}", head(start));
            stream.write_all(text.as_bytes())
        }
        Reply::Huge(bytes) => {
            let piece = vec![b'a'; 64 * 1024];
            let begun = stream.write_all(format!("{}\r\n", head("200 OK")).as_bytes());
            let mut pieces = (0..bytes / piece.len()).map(|_| stream.write_all(&piece));
            begun.and_then(|()| pieces.find(Result::is_err).unwrap_or(Ok(())))
        }
        Reply::Drip => {
            let begun = stream.write_all(format!("{}\r\n", head("202 Accepted")).as_bytes());
            let mut letters = (0..300).map(|_| {
                std::thread::sleep(Duration::from_millis(100));
                stream.write_all(b"a")
            });
            begun.and_then(|()| letters.find(Result::is_err).unwrap_or(Ok(())))
        }
    };
}
