//! The counters at an address of their own, for a network that callers do not reach.
//!
//! Invariants: nothing else answers there; on loopback a foreign `Host` is refused there too. It stands until
//! the process ends, so that a stop can be watched.

use crate::{
    http::{metrics, origin::Hosts},
    meter::Meter,
};
use actix_web::{HttpServer, web::Data};
use anyhow::Context as _;
use std::{
    net::{SocketAddr, TcpListener},
    sync::Arc,
};

/// Serves them, and tells where.
///
/// # Errors
/// The address is taken.
pub(super) fn serve(
    listen: SocketAddr,
    hosts: Hosts,
    meter: Arc<Meter>,
) -> anyhow::Result<SocketAddr> {
    let listener = TcpListener::bind(listen)
        .with_context(|| format!("listening on {listen} for the counters"))?;
    let address = listener.local_addr()?;
    let (meter, hosts) = (Data::from(meter), Data::new(hosts));
    let server = HttpServer::new(move || metrics::app(meter.clone(), hosts.clone()))
        .workers(1)
        .disable_signals()
        .listen(listener)?
        .run();
    actix_web::rt::spawn(server);
    tracing::info!(%address, "counters");
    Ok(address)
}
