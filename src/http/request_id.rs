//! The name of a request: in the answer, in every line of the log, in the audit.
//!
//! Invariants: a name that the caller sent is taken where it is short and plain, so that one name follows a
//! request through several programs; else one is made. Absent: anything that depends on it.

use actix_web::{
    HttpMessage,
    http::header::{HeaderMap, HeaderName},
};
use std::{fmt, sync::Arc};

/// Carries the name, in and out.
pub(super) const HEADER: HeaderName = HeaderName::from_static("x-request-id");
/// Carries the place of a request in a trace (W3C Trace Context, level 1).
const TRACE: HeaderName = HeaderName::from_static("traceparent");
/// Longest name that is taken.
const LONGEST: usize = 64;

/// The name of a request.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RequestName(Arc<str>);

impl RequestName {
    /// The name that the caller sent, or that of the trace which the request belongs to, or `made`.
    pub fn give(request: &impl HttpMessage, made: impl fmt::Display) -> Self {
        let name = sent(request.headers()).unwrap_or_else(|| made.to_string().into());
        request.extensions_mut().insert(Self(name.clone()));
        Self(name)
    }

    /// The name that was given to a request.
    pub fn of(request: &impl HttpMessage) -> Option<Self> {
        request.extensions().get().cloned()
    }

    /// Its text: letters, digits and a few marks.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

fn sent(headers: &HeaderMap) -> Option<Arc<str>> {
    let text = |name| headers.get(name).and_then(|value| value.to_str().ok());
    let named = text(HEADER).filter(|name| is_plain(name));
    named.or_else(|| trace_of(text(TRACE)?)).map(Arc::from)
}

fn is_plain(name: &str) -> bool {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"._-".contains(&byte);
    (1..=LONGEST).contains(&name.len()) && name.bytes().all(plain)
}

/// The id of a trace: version, 32 hexadecimal digits that are not all zero, parent, flags.
fn trace_of(text: &str) -> Option<&str> {
    let mut parts = text.split('-');
    let (version, trace) = (parts.next()?, parts.next()?);
    let hex = |part: &str| {
        part.bytes()
            .all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
    };
    let whole = version.len() == 2 && version != "ff" && trace.len() == 32 && parts.count() >= 2;
    (whole && hex(version) && hex(trace) && trace.bytes().any(|byte| byte != b'0')).then_some(trace)
}

#[cfg(test)]
mod tests {
    use super::*;
    use actix_web::test::TestRequest;

    fn named(headers: &[(&'static str, &str)]) -> String {
        let mut request = TestRequest::default();
        for header in headers {
            request = request.append_header(*header);
        }
        let request = request.to_srv_request();
        RequestName::give(&request, "made").as_str().to_owned()
    }

    const TRACED: &str = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01";

    #[test]
    fn a_plain_name_is_taken_and_another_one_is_not() {
        assert_eq!(named(&[("X-Request-Id", "office-12.a_B")]), "office-12.a_B");
        for bad in ["", "a b", "a\"b", "ä", "a/b", &"x".repeat(65)] {
            assert_eq!(named(&[("X-Request-Id", bad)]), "made", "{bad}");
        }
        assert_eq!(named(&[]), "made");
    }

    /// The example of W3C Trace Context, level 1, section 3.2.2.
    #[test]
    fn the_trace_names_a_request_that_has_no_name() {
        let trace = "4bf92f3577b34da6a3ce929d0e0e4736";
        assert_eq!(named(&[("traceparent", TRACED)]), trace);
        assert_eq!(
            named(&[("traceparent", TRACED), ("X-Request-Id", "mine")]),
            "mine"
        );
        for bad in [
            "00-00000000000000000000000000000000-00f067aa0ba902b7-01",
            "00-4BF92F3577B34DA6A3CE929D0E0E4736-00f067aa0ba902b7-01",
            "ff-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01",
            "00-4bf92f3577b34da6a3ce929d0e0e4736",
            "4bf92f3577b34da6a3ce929d0e0e4736",
        ] {
            assert_eq!(named(&[("traceparent", bad)]), "made", "{bad}");
        }
    }
}
