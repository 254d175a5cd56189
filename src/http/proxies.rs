//! Who really calls, where proxies stand between.
//!
//! Invariants: what a proxy says is believed only where the operator has named its address; of a chain the
//! nearest address that is not a named proxy counts, since everything before it may be invented. Absent: what
//! the address is used for; it opens nothing.

use actix_web::{
    dev::ServiceRequest,
    http::header::{self, HeaderMap, HeaderName, HeaderValue},
};
use ipnet::IpNet;
use std::net::{IpAddr, SocketAddr};

/// Header in which each proxy notes who called it.
const FORWARDED_FOR: HeaderName = HeaderName::from_static("x-forwarded-for");
/// Headers that a caller without a proxy does not send.
const OF_PROXIES: [HeaderName; 5] = [
    FORWARDED_FOR,
    HeaderName::from_static("x-forwarded-host"),
    HeaderName::from_static("x-real-ip"),
    header::FORWARDED,
    header::VIA,
];

/// The proxies whose word counts.
#[derive(Clone, Debug, Default)]
pub struct Proxies(Vec<IpNet>);

impl Proxies {
    /// Those within these blocks of addresses.
    pub fn within(blocks: &[IpNet]) -> Self {
        Self(blocks.to_vec())
    }

    /// Who calls; none where the connection has no address.
    pub fn caller(&self, request: &ServiceRequest) -> Option<IpAddr> {
        let peer = request.peer_addr()?.ip().to_canonical();
        Some(self.behind(peer, request.headers()))
    }

    fn behind(&self, peer: IpAddr, headers: &HeaderMap) -> IpAddr {
        let mut nearest = peer;
        let lines: Vec<&[u8]> = headers
            .get_all(FORWARDED_FOR)
            .map(HeaderValue::as_bytes)
            .collect();
        let lines = lines.into_iter().rev();
        let named = lines.flat_map(|line| line.rsplit(|byte| *byte == b','));
        for written in named {
            if !self.trusts(nearest) {
                break;
            }
            let written = std::str::from_utf8(written).ok();
            match written.and_then(|written| address(written.trim())) {
                Some(next) => nearest = next,
                // What cannot be read hides who stands before it.
                None => break,
            }
        }
        nearest
    }

    fn trusts(&self, address: IpAddr) -> bool {
        self.0.iter().any(|block| block.contains(&address))
    }
}

/// True where a request came through some proxy, named or not.
pub(super) fn came_through_one(headers: &HeaderMap) -> bool {
    OF_PROXIES.iter().any(|name| headers.contains_key(name))
}

/// An address, with or without a port and brackets.
fn address(text: &str) -> Option<IpAddr> {
    let bare = text
        .strip_prefix('[')
        .and_then(|rest| rest.strip_suffix(']'))
        .unwrap_or(text);
    let with_port = || text.parse::<SocketAddr>().map(|address| address.ip());
    let found = bare.parse::<IpAddr>().or_else(|_| with_port()).ok()?;
    Some(found.to_canonical())
}

#[cfg(test)]
mod tests {
    use super::*;
    use actix_web::test::TestRequest;

    fn caller(trusted: &str, peer: &str, forwarded: &[&str]) -> String {
        let bytes: Vec<&[u8]> = forwarded.iter().map(|line| line.as_bytes()).collect();
        caller_of_bytes(trusted, peer, &bytes)
    }

    fn caller_of_bytes(trusted: &str, peer: &str, forwarded: &[&[u8]]) -> String {
        let blocks: Vec<IpNet> = trusted
            .split_whitespace()
            .map(|block| block.parse().expect("a block"))
            .collect();
        let peer: IpAddr = peer.parse().expect("an address");
        let mut request = TestRequest::default().peer_addr((peer, 4000).into());
        for line in forwarded {
            let value = HeaderValue::from_bytes(line).expect("a value");
            request = request.append_header((FORWARDED_FOR, value));
        }
        let found = Proxies::within(&blocks).caller(&request.to_srv_request());
        found.expect("there is a peer").to_string()
    }

    #[test]
    fn nobody_is_believed_who_is_not_named() {
        assert_eq!(caller("", "127.0.0.1", &["203.0.113.9"]), "127.0.0.1");
        assert_eq!(
            caller("10.0.0.0/8", "192.0.2.1", &["203.0.113.9"]),
            "192.0.2.1"
        );
    }

    #[test]
    fn the_nearest_address_that_is_no_named_proxy_counts() {
        let trusted = "10.0.0.0/8 ::1/128";
        let found = |forwarded: &[&str]| caller(trusted, "10.0.0.1", forwarded);
        assert_eq!(found(&["203.0.113.9"]), "203.0.113.9");
        // The first one was written by the caller.
        assert_eq!(found(&["198.51.100.7, 203.0.113.9"]), "203.0.113.9");
        assert_eq!(
            found(&["198.51.100.7, 203.0.113.9, 10.0.0.2"]),
            "203.0.113.9"
        );
        assert_eq!(
            found(&["198.51.100.7", "203.0.113.9, 10.0.0.2"]),
            "203.0.113.9"
        );
        assert_eq!(found(&[]), "10.0.0.1");
        assert_eq!(found(&["10.0.0.7"]), "10.0.0.7");
    }

    #[test]
    fn what_cannot_be_read_hides_what_stands_before_it() {
        let found = |forwarded: &str| caller("10.0.0.0/8", "10.0.0.1", &[forwarded]);
        assert_eq!(found("203.0.113.9, unknown"), "10.0.0.1");
        assert_eq!(found("203.0.113.9, unknown, 10.0.0.2"), "10.0.0.2");
        let bytes: [&[u8]; 2] = [b"198.51.100.7", b"\xff, 203.0.113.9"];
        let found_of_bytes = caller_of_bytes("10.0.0.0/8", "10.0.0.1", &bytes);
        assert_eq!(found_of_bytes, "203.0.113.9");
        let bytes: [&[u8]; 2] = [b"198.51.100.7", b"\xff"];
        assert_eq!(
            caller_of_bytes("10.0.0.0/8", "10.0.0.1", &bytes),
            "10.0.0.1"
        );
        assert_eq!(found("203.0.113.9:4711"), "203.0.113.9");
        assert_eq!(found("[2001:db8::1]:4711"), "2001:db8::1");
        assert_eq!(found("[2001:db8::1]"), "2001:db8::1");
        assert_eq!(found("::ffff:203.0.113.9"), "203.0.113.9");
    }
}
