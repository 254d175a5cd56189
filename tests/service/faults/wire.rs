//! A connection spoken to byte by byte, so that a lost answer is told from a door that is closed.
//!
//! Invariant: an answer counts only when it has come to its end. Absent: what is asked.

use std::{
    io::{self, BufRead as _, BufReader, Read as _, Write as _},
    net::{SocketAddr, TcpStream},
    time::Duration,
};

/// Longest that an answer or a door may keep a caller waiting: long enough for a machine with other
/// work, on which a batch steps back for everybody.
const LONGEST: Duration = Duration::from_secs(300);

/// A connection, kept until an answer says that it closes.
pub(super) struct Wire(BufReader<TcpStream>);

/// An answer that has come to its end.
pub(super) struct Told {
    pub(super) status: u16,
    /// Whether it says that the connection closes.
    pub(super) closes: bool,
    pub(super) body: Vec<u8>,
}

/// The head of an answer.
pub(super) struct Head {
    pub(super) status: u16,
    /// Whether it says that the connection closes.
    pub(super) closes: bool,
    /// Bytes of its body; none where it comes in chunks.
    length: Option<usize>,
}

/// A request as it goes over the wire; `head` holds further lines, each with its end.
pub(super) fn request(line: &str, head: &str, body: &str) -> Vec<u8> {
    let length = body.len();
    format!("{line} HTTP/1.1\r\nHost: localhost\r\n{head}Content-Length: {length}\r\n\r\n{body}")
        .into_bytes()
}

impl Wire {
    /// Knocks; an error where nobody opens.
    pub(super) fn open(base: &str) -> io::Result<Self> {
        let address: SocketAddr = base
            .trim_start_matches("http://")
            .parse()
            .expect("an address");
        let stream = TcpStream::connect_timeout(&address, LONGEST)?;
        stream.set_read_timeout(Some(LONGEST))?;
        stream.set_nodelay(true)?;
        Ok(Self(BufReader::new(stream)))
    }

    /// Sends and reads; an error where the answer is missing or ends too early.
    pub(super) fn ask(&mut self, request: &[u8]) -> io::Result<Told> {
        self.send(request)?;
        let head = self.head()?;
        self.rest(&head)
    }

    /// Sends, and reads nothing.
    pub(super) fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.get_mut().write_all(bytes)
    }

    /// The head of the next answer.
    pub(super) fn head(&mut self) -> io::Result<Head> {
        let status = self.line()?;
        let status = status.split(' ').nth(1).and_then(|word| word.parse().ok());
        let status = status.ok_or(io::ErrorKind::UnexpectedEof)?;
        let (mut length, mut closes) = (None, false);
        loop {
            let line = self.line()?.to_ascii_lowercase();
            if line.is_empty() {
                break;
            }
            closes |= line == "connection: close";
            if let Some(number) = line.strip_prefix("content-length: ") {
                length = number.parse().ok();
            }
        }
        Ok(Head {
            status,
            closes,
            length,
        })
    }

    /// The answer of a head, once its body has come to its end.
    pub(super) fn rest(&mut self, head: &Head) -> io::Result<Told> {
        let body = match head.length {
            Some(length) => self.exactly(length)?,
            None => self.chunks()?,
        };
        Ok(Told {
            status: head.status,
            closes: head.closes,
            body,
        })
    }

    /// A line without its end; an error where the connection ended before.
    fn line(&mut self) -> io::Result<String> {
        let mut line = String::new();
        self.0.read_line(&mut line)?;
        let whole = line.strip_suffix("\r\n");
        Ok(whole.ok_or(io::ErrorKind::UnexpectedEof)?.to_owned())
    }

    fn exactly(&mut self, length: usize) -> io::Result<Vec<u8>> {
        let mut bytes = vec![0; length];
        self.0.read_exact(&mut bytes)?;
        Ok(bytes)
    }

    /// A body in chunks (RFC 9112 section 7.1) up to the empty one that ends it.
    fn chunks(&mut self) -> io::Result<Vec<u8>> {
        let mut body = Vec::new();
        loop {
            let size = self.line()?;
            let size = usize::from_str_radix(&size, 16).map_err(io::Error::other)?;
            let chunk = self.exactly(size)?;
            self.line()?;
            if size == 0 {
                return Ok(body);
            }
            body.extend(chunk);
        }
    }
}
