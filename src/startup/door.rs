//! The listening socket, and how many connections are inside.
//!
//! Invariants: whoever came in before the door closed is served as before; nobody is let in and then
//! left standing, which a listener that is simply dropped does to those in its queue. Absent: when
//! it closes, which `stopping` decides.

use crate::http::load::Load;
use actix_web::dev::ServerHandle;
use std::{io, net::TcpListener, sync::Arc, time::Duration};

/// How long those may take to come in whose connection was being made when the door closed.
#[cfg(target_os = "linux")]
const LAST_IN: Duration = Duration::from_millis(100);

/// Until the thread that accepts has surely heard that it is to pause.
#[cfg(target_os = "linux")]
const HEARD: Duration = Duration::from_millis(20);

/// The listening socket beside the server's own hold on it.
#[derive(Debug)]
pub(super) struct Door {
    #[cfg_attr(
        not(target_os = "linux"),
        expect(dead_code, reason = "it closes with the server there")
    )]
    listener: TcpListener,
    load: Arc<Load>,
}

impl Door {
    /// The door of a listener that the server is about to be given; `load` counts who is inside.
    pub(super) fn of(listener: &TcpListener, load: Arc<Load>) -> io::Result<Self> {
        Ok(Self {
            listener: listener.try_clone()?,
            load,
        })
    }

    /// Lets nobody new in, while those inside are served on. Elsewhere than on Linux the door closes
    /// with the server.
    #[cfg(target_os = "linux")]
    pub(super) async fn close(&self, server: &ServerHandle) {
        let socket = socket2::SockRef::from(&self.listener);
        // Where the system does not allow it, those in the queue of the socket lose their connection.
        if let Err(error) = socket.attach_filter(&turn_away()) {
            tracing::debug!(%error, "new connections cannot be turned away before the door closes");
        }
        tokio::time::sleep(LAST_IN).await;
        server.pause().await;
        tokio::time::sleep(HEARD).await;
        // From here on they are refused instead of being left to try again. It fails where the door
        // is closed already.
        let _ = socket.shutdown(std::net::Shutdown::Read);
    }

    #[cfg(not(target_os = "linux"))]
    pub(super) async fn close(&self, _: &ServerHandle) {}

    /// True while nobody is inside.
    pub(super) fn is_empty(&self) -> bool {
        self.load.connections() == 0
    }
}

/// A packet filter that drops the first packet of a new connection and lets all others pass: who
/// knocks hears nothing and knocks again a second later, and those half inside come in.
///
/// # Source
/// Flags of TCP: RFC 9293 section 3.1, SYN is bit 1 of byte 13. Operations: classic BPF as in
/// `linux/bpf_common.h`.
#[cfg(target_os = "linux")]
fn turn_away() -> [socket2::SockFilter; 4] {
    const LOAD_BYTE: u16 = 0x30;
    const JUMP_IF_SET: u16 = 0x45;
    const RETURN: u16 = 0x06;
    [
        socket2::SockFilter::new(LOAD_BYTE, 0, 0, 13),
        socket2::SockFilter::new(JUMP_IF_SET, 0, 1, 0x02),
        socket2::SockFilter::new(RETURN, 0, 0, 0),
        socket2::SockFilter::new(RETURN, 0, 0, u32::MAX),
    ]
}
