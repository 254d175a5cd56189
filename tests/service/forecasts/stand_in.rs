//! A weather service of our own on this machine: it says what a test tells it to, call by call.
//!
//! Invariant: the last reply is given again and again. Absent: any real forecast.

use std::io::{Read as _, Write as _};
use std::net::{TcpListener, TcpStream};
use std::sync::{Arc, Mutex};
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
    heads: Arc<Mutex<Vec<String>>>,
}

impl StandIn {
    /// Answers with these, one after the other.
    pub(super) fn start(replies: Vec<Reply>) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").expect("a free port");
        let port = listener.local_addr().expect("an address").port();
        let heads = Arc::new(Mutex::new(Vec::new()));
        let heard = heads.clone();
        std::thread::spawn(move || {
            for stream in listener.incoming() {
                let mut heads = heard.lock().expect("no test panics here");
                let reply = replies.get(heads.len()).or(replies.last());
                let mut stream = stream.expect("a caller");
                heads.push(read_head(&mut stream));
                let reply = reply.expect("a reply").clone();
                // A late one keeps nobody else waiting.
                std::thread::spawn(move || answer(&mut stream, reply));
            }
        });
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
