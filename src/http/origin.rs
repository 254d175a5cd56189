//! What a loopback service answers to: its own names, and no foreign page's writes.
//!
//! Without a key a page in a browser on the same machine could reach the service, by a name that
//! was made to point here, or by a form. Invariants: on loopback `Host` is one of ours; a write
//! with an `Origin` comes from the same authority or from a named host. Absent: CORS headers.

use super::problem::ApiError;
use actix_web::{
    dev::ServiceRequest,
    http::{
        Method,
        header::{self, HeaderName},
    },
};

/// Names by which a loopback service is always reached.
const LOOPBACK: [&str; 3] = ["localhost", "127.0.0.1", "[::1]"];

/// The names the service answers to; open to every name when it does not listen on loopback,
/// since it then asks for a key.
#[derive(Clone, Debug, Default)]
pub struct Hosts {
    named: Option<Vec<String>>,
}

impl Hosts {
    /// Loopback names and the operator's `named` ones.
    pub fn loopback_and(named: &[String]) -> Self {
        let named = named.iter().map(|name| name.to_ascii_lowercase()).collect();
        Self { named: Some(named) }
    }

    /// Every name.
    pub fn any() -> Self {
        Self::default()
    }

    /// Refuses a foreign `Host`, and a write whose `Origin` is foreign.
    pub(super) fn check(&self, request: &ServiceRequest) -> Result<(), ApiError> {
        let Some(named) = &self.named else {
            return Ok(());
        };
        let host = host_of(request);
        if !knows(named, &host) {
            return Err(ApiError::Forbidden(
                "This service answers to localhost, 127.0.0.1, [::1] and the names in CROSSFALL_HOSTS only.".to_owned(),
            ));
        }
        if is_read(request.method()) || is_own(named, &host, request) {
            return Ok(());
        }
        Err(ApiError::Forbidden(
            "A write from a page of another origin is refused.".to_owned(),
        ))
    }
}

fn text(request: &ServiceRequest, name: HeaderName) -> Option<&str> {
    request
        .headers()
        .get(name)
        .and_then(|value| value.to_str().ok())
}

/// Whom a request is meant for: what its target names goes before its `Host` (RFC 9112, section 3.2.2).
fn host_of(request: &ServiceRequest) -> String {
    let named = request.uri().authority().map(|named| named.as_str());
    let host = named.or_else(|| text(request, header::HOST));
    host.unwrap_or_default().to_ascii_lowercase()
}

fn is_read(method: &Method) -> bool {
    method.is_safe()
}

fn is_own(named: &[String], host: &str, request: &ServiceRequest) -> bool {
    if !request.headers().contains_key(header::ORIGIN) {
        return true;
    }
    let origin = text(request, header::ORIGIN)
        .unwrap_or("null")
        .to_ascii_lowercase();
    let authority = origin
        .split_once("://")
        .map_or("", |(_, authority)| authority);
    authority == host || named.iter().any(|name| name == without_port(authority))
}

fn knows(named: &[String], host: &str) -> bool {
    let name = without_port(host);
    LOOPBACK.contains(&name) || named.iter().any(|known| known == name)
}

/// The name alone; what has anything but a port after it is left whole, and known to nobody.
fn without_port(authority: &str) -> &str {
    // The colons of an IPv6 address stand inside brackets.
    let end = authority.rfind(']').map_or(0, |at| at + 1);
    let Some(colon) = authority[end..].find(':').map(|at| end + at) else {
        return authority;
    };
    let port = &authority[colon + 1..];
    match port.bytes().all(|byte| byte.is_ascii_digit()) {
        true => &authority[..colon],
        false => authority,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use actix_web::test::TestRequest;

    fn verdict(method: Method, host: &str, origin: Option<&str>) -> bool {
        let hosts = Hosts::loopback_and(&["ramp.example".to_owned()]);
        let mut request = TestRequest::default()
            .method(method)
            .insert_header(("Host", host));
        if let Some(origin) = origin {
            request = request.insert_header(("Origin", origin));
        }
        hosts.check(&request.to_srv_request()).is_ok()
    }

    #[test]
    fn only_own_names_are_answered() {
        for host in [
            "localhost",
            "LOCALHOST:8080",
            "127.0.0.1:1",
            "[::1]:80",
            "[::1]",
            "ramp.example:443",
        ] {
            assert!(verdict(Method::GET, host, None), "{host}");
        }
        for host in [
            "",
            "evil.example",
            "localhost.evil.example",
            "127.0.0.1.evil.example",
            "[::2]",
            "evil.example:80",
            "localhost:80@evil.example",
            "localhost@evil.example",
            "[::1]:80@evil.example",
        ] {
            assert!(!verdict(Method::GET, host, None), "{host}");
        }
    }

    /// RFC 9112, section 3.2.2: of a target that names its host, that one counts.
    #[test]
    fn a_target_that_names_another_host_is_foreign() {
        let hosts = Hosts::loopback_and(&[]);
        let asked = |target: &str, host: &'static str| {
            let request = TestRequest::with_uri(target).insert_header(("Host", host));
            hosts.check(&request.to_srv_request()).is_ok()
        };
        assert!(asked("http://localhost:8080/livez", "localhost:8080"));
        assert!(!asked("http://evil.example/livez", "localhost:8080"));
        assert!(!asked("/livez", "evil.example"));
    }

    #[test]
    fn a_foreign_origin_may_read_and_not_write() {
        let foreign = Some("http://evil.example");
        assert!(verdict(Method::GET, "localhost:8080", foreign));
        assert!(!verdict(Method::POST, "localhost:8080", foreign));
        assert!(!verdict(Method::POST, "localhost:8080", Some("null")));
        assert!(!verdict(
            Method::PUT,
            "localhost:8080",
            Some("http://localhost:9999")
        ));
        let hidden = Some("http://ramp.example:80@evil.example");
        assert!(!verdict(Method::POST, "localhost:8080", hidden));
        assert!(verdict(
            Method::POST,
            "localhost:8080",
            Some("http://localhost:8080")
        ));
        assert!(verdict(
            Method::POST,
            "localhost:8080",
            Some("https://ramp.example")
        ));
        assert!(verdict(Method::POST, "localhost:8080", None));
    }
}
