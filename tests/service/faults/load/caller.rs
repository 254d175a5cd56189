//! A caller that writes HTTP onto a socket by itself, so that a test says what goes out and when.
//!
//! Absent: schedules and many callers, which `offered` and `many` hold.

use serde_json::json;
use std::{io, time::Duration};
use tokio::{
    io::{AsyncReadExt as _, AsyncWriteExt as _},
    net::{TcpSocket, TcpStream},
    time::timeout,
};

/// Longer than any answer takes: what takes longer hangs.
const LONGEST: Duration = Duration::from_secs(60);

/// What came back.
#[derive(Clone, Debug, Default)]
pub(super) struct Answer {
    pub(super) status: u16,
    /// Whether it says when to come again.
    pub(super) retry_after: bool,
    /// Whether the connection ends with it.
    pub(super) closes: bool,
    pub(super) body: Vec<u8>,
}

/// A connection.
pub(super) struct Caller {
    pub(super) socket: TcpStream,
}

/// `127.0.0.1:…` of a base address.
pub(super) fn address(base: &str) -> String {
    base.trim_start_matches("http://").to_owned()
}

/// A request as it goes out.
pub(super) fn request(start: &str, headers: &str, body: &[u8]) -> Vec<u8> {
    let length = match start.starts_with("GET") {
        true => String::new(),
        false => format!("Content-Length: {}\r\n", body.len()),
    };
    let head = format!("{start} HTTP/1.1\r\nHost: 127.0.0.1\r\n{headers}{length}\r\n");
    [head.as_bytes(), body].concat()
}

/// A small estimate.
pub(super) fn estimate() -> Vec<u8> {
    let job = json!({
        "name": "Side entrance (invented)", "book": {"code": "demo", "as_of": "2026-05-04"},
        "ramp": {"path": [
            {"kind": "landing"},
            {"kind": "run", "rise": "24 in", "length": "27 ft"},
            {"kind": "landing"}
        ]}
    });
    as_estimate(job.to_string().as_bytes())
}

/// An estimate of a large job: so much to work out that the caller, who shares the machine, has little to do.
pub(super) fn large_estimate() -> Vec<u8> {
    as_estimate(include_bytes!("../../../../examples/school-entrance.json"))
}

fn as_estimate(job: &[u8]) -> Vec<u8> {
    request(
        "POST /v1/estimates",
        "Content-Type: application/json\r\n",
        job,
    )
}

/// Asks on a connection of its own.
pub(super) async fn ask(base: &str, sent: &[u8]) -> io::Result<Answer> {
    Caller::open(&address(base)).await?.call(sent).await
}

impl Caller {
    pub(super) async fn open(address: &str) -> io::Result<Self> {
        let socket = TcpStream::connect(address).await?;
        socket.set_nodelay(true)?;
        Ok(Self { socket })
    }

    /// The same with little room for what has not been read yet.
    pub(super) async fn open_narrow(address: &str) -> io::Result<Self> {
        let socket = TcpSocket::new_v4()?;
        socket.set_recv_buffer_size(16 * 1024)?;
        let address = address.parse().expect("an address");
        let socket = socket.connect(address).await?;
        Ok(Self { socket })
    }

    pub(super) async fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.socket.write_all(bytes).await
    }

    /// Sends a request and reads its answer.
    pub(super) async fn call(&mut self, sent: &[u8]) -> io::Result<Answer> {
        self.send(sent).await?;
        self.answer().await
    }

    /// Reads one answer to its end.
    pub(super) async fn answer(&mut self) -> io::Result<Answer> {
        let read = timeout(LONGEST, self.read());
        read.await.map_err(|_| io::ErrorKind::TimedOut)?
    }

    async fn read(&mut self) -> io::Result<Answer> {
        let mut bytes = Vec::new();
        let body_at = loop {
            if let Some(at) = bytes.windows(4).position(|four| four == b"\r\n\r\n") {
                break at + 4;
            }
            self.more(&mut bytes).await?;
        };
        let head = String::from_utf8_lossy(&bytes[..body_at]).to_ascii_lowercase();
        let header = |name: &str| {
            let mut lines = head.lines().filter_map(|line| line.split_once(": "));
            lines.find_map(|(found, value)| (found == name).then(|| value.trim().to_owned()))
        };
        let mut body = bytes.split_off(body_at);
        match header("content-length") {
            Some(length) => {
                let length: usize = length.parse().expect("a number");
                while body.len() < length {
                    self.more(&mut body).await?;
                }
            }
            None => {
                while !body.ends_with(b"0\r\n\r\n") {
                    self.more(&mut body).await?;
                }
            }
        }
        let status = head.split(' ').nth(1).and_then(|code| code.parse().ok());
        Ok(Answer {
            status: status.ok_or(io::ErrorKind::InvalidData)?,
            retry_after: header("retry-after").is_some(),
            closes: header("connection").is_some_and(|value| value == "close"),
            body,
        })
    }

    async fn more(&mut self, into: &mut Vec<u8>) -> io::Result<()> {
        match self.socket.read_buf(into).await? {
            0 => Err(io::ErrorKind::UnexpectedEof.into()),
            _ => Ok(()),
        }
    }

    /// All that comes until the other side closes, however it does; none where it does not in time.
    pub(super) async fn until_closed(&mut self, longest: Duration) -> Option<Vec<u8>> {
        let mut bytes = Vec::new();
        let read = async { while self.more(&mut bytes).await.is_ok() {} };
        let closed = timeout(longest, read).await.is_ok();
        closed.then_some(bytes)
    }
}
