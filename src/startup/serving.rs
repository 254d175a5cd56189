//! The server: takes connections, watches each, and gives its calls to the application.
//!
//! Invariants: more connections are taken than get a seat, so that the probes of a full service are
//! answered still; a stop lets calls under way finish. Absent: what is answered.

use super::peer::Peer;
use crate::{
    http::{self, Surroundings, base_path},
    telemetry::RequestSpan,
};
use actix_http::{HttpService, KeepAlive, Protocol};
use actix_server::Server;
use actix_service::{IntoServiceFactory as _, ServiceFactoryExt as _, fn_service, map_config};
use actix_web::{dev::AppConfig, middleware::from_fn, rt::net::TcpStream};
use socket2::{Domain, Socket, Type};
use std::{
    convert::Infallible,
    io,
    net::{SocketAddr, TcpListener},
    time::Duration,
};
use tracing_actix_web::TracingLogger;

/// Connections that are taken beyond those with a seat.
const STANDING: usize = 512;

/// How long a peer has to close after we did.
const CLOSING: Duration = Duration::from_secs(1);

/// Connections that may wait to be taken: many callers may come at the same moment, and one for whom
/// there is no room here tries again only after a second.
const WAITING: i32 = 4_096;

/// Binds an address.
///
/// # Errors
/// It is taken, or not ours.
pub(super) fn listen(address: SocketAddr) -> io::Result<TcpListener> {
    let socket = Socket::new(Domain::for_address(address), Type::STREAM, None)?;
    // A service that is started again at once finds its address still held by connections that ended.
    #[cfg(unix)]
    socket.set_reuse_address(true)?;
    socket.bind(&address.into())?;
    socket.listen(WAITING)?;
    Ok(socket.into())
}

/// Serves on a listener until stopped.
///
/// # Errors
/// The listener cannot be used.
pub(super) fn serve(
    listener: TcpListener,
    surroundings: Surroundings,
    limit: Duration,
) -> io::Result<Server> {
    make_room_for_connections();
    let address = listener.local_addr()?;
    let load = surroundings.load();
    let most = load.bounds().connections + STANDING;
    let workers = std::thread::available_parallelism().map_or(2, usize::from);
    let builder = Server::build()
        .workers(workers)
        .max_concurrent_connections(most.div_ceil(workers))
        .shutdown_timeout(limit.as_secs())
        .disable_signals();
    let stopping = builder.graceful_shutdown_signal();
    let built = builder.listen("crossfall", listener, move || {
        let (load, stopping) = (load.clone(), stopping.clone());
        let app = http::app(&surroundings)
            .wrap(TracingLogger::<RequestSpan>::new())
            .wrap(from_fn(base_path::take_off));
        let app = app.into_factory().map_err(|error| error.error_response());
        let http = HttpService::build()
            .graceful_shutdown_signal(move || {
                let stopping = stopping.clone();
                async move { stopping.notified().await }
            })
            // How long a call is awaited is for `Peer` to say: these timers run out on a worker
            // that is late while what they wait for lies there unread.
            .keep_alive(KeepAlive::Os)
            .client_request_timeout(Duration::ZERO)
            .client_disconnect_timeout(CLOSING)
            .local_addr(address)
            .on_connect_ext(|peer: &Peer, calls| {
                calls.insert(peer.connection());
            })
            .finish(map_config(app, |()| AppConfig::default()));
        fn_service(move |socket: TcpStream| {
            let address = socket.peer_addr().ok();
            let peer = Peer::new(socket, load.clone());
            async move { Ok::<_, Infallible>((peer, Protocol::Http1, address)) }
        })
        .map_err(|never| match never {})
        .and_then(http)
    })?;
    Ok(built.run())
}

/// Asks the system for as many open files as it allows: a service that has none left cannot even say so.
fn make_room_for_connections() {
    #[cfg(target_os = "linux")]
    {
        use rustix::process::{Resource, getrlimit, setrlimit};
        let mut limit = getrlimit(Resource::Nofile);
        limit.current = limit.maximum;
        if let Err(error) = setrlimit(Resource::Nofile, limit) {
            tracing::warn!(%error, "fewer files may be open than the system allows");
        }
    }
}
