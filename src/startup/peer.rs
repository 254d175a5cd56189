//! A connection that is closed when its peer neither sends nor takes anything.
//!
//! Invariants: a peer that moves is not cut off, as long as it takes some hundred kilobytes in a minute,
//! since the system tells of less only then: about 2 kB a second; a connection without a call under way is closed in the end, whatever drips in
//! on it. Absent: how long the body of a call is awaited, which its reader knows.

use crate::http::{connections::Connection, load::Load};
use actix_web::rt::net::TcpStream;
use std::{
    io,
    pin::Pin,
    sync::Arc,
    task::{Context, Poll},
    time::{Duration, Instant},
};
use tokio::{
    io::{AsyncRead, AsyncWrite, ReadBuf},
    time::{Sleep, sleep},
};

/// Bytes that the system keeps for a peer that has not room for them: enough to keep it busy.
const UNSENT: u32 = 128 * 1024;

/// A connection's seat among all of them, given back when it closes.
struct Seat(Arc<Load>);

impl Drop for Seat {
    fn drop(&mut self) {
        self.0.disconnect();
    }
}

/// The other side of a connection, through its socket.
pub(super) struct Peer {
    socket: TcpStream,
    connection: Connection,
    look: Pin<Box<Sleep>>,
    /// When the peer last took something, or since when it has not.
    took: Instant,
    /// Whether it has not taken all yet.
    full: bool,
    seat: Seat,
}

impl Peer {
    pub(super) fn new(socket: TcpStream, load: Arc<Load>) -> Self {
        let bounds = load.bounds();
        prepare(&socket, bounds.for_taking);
        let seated = load.connect();
        Self {
            socket,
            connection: Connection::new(seated),
            look: Box::pin(sleep(bounds.for_call)),
            took: Instant::now(),
            full: false,
            seat: Seat(load),
        }
    }

    pub(super) fn connection(&self) -> Connection {
        self.connection.clone()
    }

    /// When the peer has been awaited for long enough; none while it is our turn.
    fn awaited_until(&self) -> Option<Instant> {
        let bounds = self.seat.0.bounds();
        if self.full {
            return Some(self.took + bounds.for_taking);
        }
        let rests = self.connection.rests_since()?;
        Some(rests.max(self.took) + bounds.for_call)
    }

    /// Pending while the peer is awaited.
    fn wait(&mut self, context: &mut Context<'_>) -> Poll<()> {
        // One timer for all that is awaited: it is set anew when it has run out, not at each byte.
        while self.look.as_mut().poll(context).is_ready() {
            let now = Instant::now();
            let awaited = self.awaited_until();
            let next = awaited.unwrap_or_else(|| now + self.seat.0.bounds().for_call);
            if next <= now {
                return Poll::Ready(());
            }
            self.look.as_mut().reset(next.into());
        }
        Poll::Pending
    }
}

/// A peer that has vanished is found out by the system, and what nobody reads does not pile up there.
fn prepare(socket: &TcpStream, for_taking: Duration) {
    let socket = socket2::SockRef::from(socket);
    // Where the system knows none of it, the connection is a little less tidy and works as well.
    #[cfg(target_os = "linux")]
    {
        let _ = socket.set_tcp_user_timeout(Some(for_taking));
        let _ = socket.set_tcp_notsent_lowat(UNSENT);
    }
    // Without it the last part of an answer in chunks waits for the caller's acknowledgement.
    let _ = socket.set_tcp_nodelay(true);
}

impl AsyncRead for Peer {
    fn poll_read(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
        into: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        let this = self.get_mut();
        let read = Pin::new(&mut this.socket).poll_read(context, into);
        // Only where nothing has come: a worker that is late must not take it for a peer that is.
        if read.is_pending() && !this.full && this.wait(context).is_ready() {
            // As if the peer had closed: what it has half sent will never be whole.
            return Poll::Ready(Ok(()));
        }
        read
    }
}

impl AsyncWrite for Peer {
    fn poll_write(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let this = self.get_mut();
        let written = Pin::new(&mut this.socket).poll_write(context, bytes);
        let full = written.is_pending();
        if !(full && this.full) {
            this.took = Instant::now();
        }
        this.full = full;
        if full && this.wait(context).is_ready() {
            this.seat.0.count_cut_off();
            return Poll::Ready(Err(io::ErrorKind::TimedOut.into()));
        }
        written
    }

    fn poll_flush(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.get_mut().socket).poll_flush(context)
    }

    fn poll_shutdown(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.get_mut().socket).poll_shutdown(context)
    }
}
