//! A weather service of our own on this machine: it says what a test tells it to, call by call.
//!
//! Invariant: the last reply is given again and again. Absent: any real forecast.

use crate::scripted::{self, play};
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
    /// So many bytes of spaces, without their number.
    Huge(usize),
}

/// The service.
pub(super) struct StandIn {
    pub(super) port: u16,
    heads: scripted::Heard<String>,
}

impl StandIn {
    /// Answers with these, one after the other.
    pub(super) fn start(replies: Vec<Reply>) -> Self {
        let (port, heads) = play(replies, read_head, answer);
        Self { port, heads }
    }

    /// Where its forecast is.
    pub(super) fn address(&self) -> String {
        format!("http://127.0.0.1:{}/hidden-path", self.port)
    }

    /// What was asked so far: request lines and headers.
    pub(super) fn heads(&self) -> Vec<String> {
        self.heads.lock().expect("no test panics here").clone()
    }

    pub(super) fn calls(&self) -> usize {
        self.heads().len()
    }
}

fn read_head(stream: &mut TcpStream) -> String {
    let mut head = Vec::new();
    let mut byte = [0];
    while !head.ends_with(b"\r\n\r\n") && stream.read(&mut byte).is_ok_and(|read| read > 0) {
        head.push(byte[0]);
    }
    String::from_utf8_lossy(&head).into_owned()
}

/// A caller that has gone is no fault of ours.
fn answer(stream: &mut TcpStream, reply: Reply) {
    let head = |start: &str| format!("HTTP/1.1 {start}\r\nConnection: close\r\n");
    let _ = match reply {
        Reply::Closed => Ok(()),
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
            let start = format!("{}\r\n", head("200 OK\r\nContent-Type: application/json"));
            let piece = vec![b' '; 64 * 1024];
            let begun = stream.write_all(start.as_bytes());
            let mut pieces = (0..bytes / piece.len()).map(|_| stream.write_all(&piece));
            begun.and_then(|()| pieces.find(Result::is_err).unwrap_or(Ok(())))
        }
    };
}
