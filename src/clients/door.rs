//! The one way out: how each of our HTTP clients begins.
//!
//! Invariants: certificates are held to the roots that come with the program, as the database's are, so
//! that a container needs none of its own; no proxy of the environment is used unless a caller of this
//! asks for it. Absent: addresses, waits.

use rustls::crypto::ring::default_provider;
use rustls::{ClientConfig, RootCertStore};
use std::sync::Arc;

/// A client to be, without proxies, that can speak TLS.
pub fn client() -> reqwest::ClientBuilder {
    with_tls().no_proxy()
}

/// The same, which goes through the proxy that the environment names, where it names one.
pub(super) fn client_by_proxy() -> reqwest::ClientBuilder {
    with_tls()
}

/// A client that waits on its own thread, without proxies, for what has no runtime.
#[cfg(feature = "otel")]
pub fn blocking_client() -> reqwest::blocking::ClientBuilder {
    reqwest::blocking::Client::builder()
        .tls_backend_preconfigured(tls())
        .no_proxy()
}

fn with_tls() -> reqwest::ClientBuilder {
    reqwest::Client::builder().tls_backend_preconfigured(tls())
}

fn tls() -> ClientConfig {
    let roots = webpki_roots::TLS_SERVER_ROOTS.iter().cloned();
    let roots = RootCertStore::from_iter(roots);
    let config = ClientConfig::builder_with_provider(Arc::new(default_provider()))
        .with_safe_default_protocol_versions()
        .expect("the provider serves every version that is compiled in");
    config.with_root_certificates(roots).with_no_client_auth()
}

#[cfg(test)]
mod tests {
    use super::{client, client_by_proxy};

    #[test]
    fn a_client_can_be_built() {
        assert!(client().build().is_ok() && client_by_proxy().build().is_ok());
    }
}
