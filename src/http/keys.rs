//! Who calls: the key that a request brings, and whom it belongs to.
//!
//! Invariants: a key is compared by its hash only, in constant time; without a key the service is
//! open on loopback until the first key was made, and never again, nor to what came through a proxy; keys that were not read for
//! longer than the offline limit are not trusted; a key in the query must be of role `cell`.
//! Absent: what a role opens, and keys in a log.

use super::problem::ApiError;
use super::proxies::came_through_one;
use crate::book::{Caller, KeyHash, KeyRing, Role};
use actix_web::{
    dev::ServiceRequest,
    http::header::{self, HeaderMap},
    web::Query,
};
use std::{borrow::Cow, fmt, sync::Arc, time::Duration};

/// Header for a key, besides `Authorization: Bearer`.
const KEY_HEADER: &str = "x-api-key";
/// Name of a key in the query.
pub(super) const KEY_IN_QUERY: &str = "key";
/// Shortest first key that is accepted from the operator, in characters.
const SHORTEST: usize = 20;

/// Why a text cannot serve as a key.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum KeyError {
    /// Too easy to guess.
    #[error("the first key has {0} characters; at least {SHORTEST} are needed")]
    TooShort(usize),
    /// A header could not carry it.
    #[error("the first key may hold visible ASCII characters only, without spaces")]
    NotVisible,
}

/// The keys that open the service; by default none is asked for.
#[derive(Clone, Default)]
pub struct Keys {
    first: Option<KeyHash>,
    kept: Option<Kept>,
    always_asked: bool,
}

/// The keys of the database.
#[derive(Clone)]
struct Kept {
    ring: Arc<KeyRing>,
    offline_limit: Duration,
}

/// A key as it was sent.
struct Sent<'a> {
    key: Cow<'a, [u8]>,
    in_query: bool,
}

impl Keys {
    /// One key that may do everything. White space around it is dropped.
    ///
    /// # Errors
    /// Shorter than twenty characters, or not sendable in a header.
    pub fn with_first(text: &str) -> Result<Self, KeyError> {
        let key = text.trim();
        if !key.bytes().all(|byte| byte.is_ascii_graphic()) {
            return Err(KeyError::NotVisible);
        }
        if key.len() < SHORTEST {
            return Err(KeyError::TooShort(key.len()));
        }
        Ok(Self {
            first: Some(KeyHash::of(key.as_bytes())),
            ..Self::default()
        })
    }

    /// The same and those of a database, trusted for `offline_limit` after they were last read.
    #[must_use]
    pub fn and_kept(self, ring: Arc<KeyRing>, offline_limit: Duration) -> Self {
        Self {
            kept: Some(Kept {
                ring,
                offline_limit,
            }),
            ..self
        }
    }

    /// The same, never open without a key: for an address that others reach.
    #[must_use]
    pub fn always_asked(self) -> Self {
        Self {
            always_asked: true,
            ..self
        }
    }

    /// True while some key opens the service.
    pub fn any(&self) -> bool {
        self.first.is_some() || self.kept.as_ref().is_some_and(|kept| kept.ring.any_live())
    }

    /// True while no key is asked for.
    fn is_open(&self) -> bool {
        let made = |kept: &Kept| kept.ring.any_made();
        !self.always_asked && self.first.is_none() && !self.kept.as_ref().is_some_and(made)
    }

    /// Who sends a request that needs some key.
    ///
    /// # Errors
    /// Unauthorized without a key or with one that is not good; unavailable while nobody can tell.
    pub(super) fn caller(&self, request: &ServiceRequest) -> Result<Caller, ApiError> {
        let sent = sent(request);
        if let Some(first) = self.first_caller(sent.as_ref()) {
            return Ok(first);
        }
        if self.kept.as_ref().is_some_and(Kept::is_stale) {
            return Err(ApiError::Unavailable(
                "Keys could not be read for too long, so that none can be trusted.".to_owned(),
            ));
        }
        let found = sent.as_ref().and_then(|sent| self.kept_caller(sent));
        match (found, sent) {
            (Some(caller), Some(sent)) if sent.in_query && caller.role != Role::Cell => {
                Err(unauthorized(
                    "A key in the query must be of role `cell`; send this one in a header.",
                ))
            }
            (Some(caller), _) => Ok(caller),
            (None, _) if self.is_open() && came_through_one(request.headers()) => {
                Err(unauthorized(
                    "This came through a proxy, and a key is asked for there; make one with `crossfall keys add`.",
                ))
            }
            (None, _) if self.is_open() => Ok(named("local")),
            (None, Some(_)) => Err(unauthorized("The key sent is not known here.")),
            (None, None) => Err(unauthorized(
                "Send a key as `Authorization: Bearer KEY` or `X-API-Key: KEY`.",
            )),
        }
    }

    fn first_caller(&self, sent: Option<&Sent<'_>>) -> Option<Caller> {
        let (first, sent) = (self.first.as_ref()?, sent?);
        (!sent.in_query && first.fits(&sent.key)).then(|| named("first"))
    }

    fn kept_caller(&self, sent: &Sent<'_>) -> Option<Caller> {
        self.kept.as_ref()?.ring.find(&sent.key)
    }
}

impl Kept {
    fn is_stale(&self) -> bool {
        self.ring.age() > self.offline_limit
    }
}

impl fmt::Debug for Keys {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Keys")
            .field("first", &self.first.is_some())
            .field("kept", &self.kept.is_some())
            .field("always_asked", &self.always_asked)
            .finish()
    }
}

/// A caller who may do everything and has no key in the database.
fn named(id: &str) -> Caller {
    Caller {
        id: id.into(),
        name: id.into(),
        role: Role::Admin,
        per_minute: None,
    }
}

fn unauthorized(detail: &str) -> ApiError {
    ApiError::Unauthorized(detail.to_owned())
}

fn sent(request: &ServiceRequest) -> Option<Sent<'_>> {
    let in_header = in_header(request.headers()).map(|key| Sent {
        key: Cow::Borrowed(key),
        in_query: false,
    });
    in_header.or_else(|| {
        let query = Query::<Vec<(String, String)>>::from_query(request.query_string()).ok()?;
        let mut pairs = query.into_inner().into_iter();
        let (_, key) = pairs.find(|(name, _)| name == KEY_IN_QUERY)?;
        Some(Sent {
            key: Cow::Owned(key.into_bytes()),
            in_query: true,
        })
    })
}

fn in_header(headers: &HeaderMap) -> Option<&[u8]> {
    let bearer = headers.get(header::AUTHORIZATION).and_then(|value| {
        let (scheme, key) = value.as_bytes().split_at_checked(7)?;
        scheme
            .eq_ignore_ascii_case(b"bearer ")
            .then(|| key.trim_ascii())
    });
    bearer.or_else(|| {
        headers
            .get(KEY_HEADER)
            .map(|value| value.as_bytes().trim_ascii())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use actix_web::test::TestRequest;

    const KEY: &str = "a-key-of-enough-letters";

    fn verdict(keys: &Keys, path: &str, headers: &[(&'static str, &str)]) -> Option<String> {
        let mut request = TestRequest::with_uri(path);
        for header in headers {
            request = request.insert_header(*header);
        }
        let caller = keys.caller(&request.to_srv_request()).ok()?;
        Some(caller.id.to_string())
    }

    #[test]
    fn the_first_key_is_taken_from_either_header_and_not_from_the_query() {
        let keys = Keys::with_first(&format!("{KEY}\n")).expect("long enough");
        let is_first = |path: &str, headers: &[(&'static str, &str)]| {
            verdict(&keys, path, headers).as_deref() == Some("first")
        };
        assert!(is_first(
            "/x",
            &[("Authorization", &format!("bearer {KEY}"))]
        ));
        assert!(is_first("/x", &[("X-API-Key", KEY)]));
        assert!(!is_first("/x", &[("X-API-Key", "a-key-of-other-letters!")]));
        assert!(!is_first("/x", &[]));
        assert!(!is_first("/x?key=a-key-of-enough-letters", &[]));
    }

    #[test]
    fn without_any_key_only_loopback_is_open() {
        let open = Keys::default();
        assert_eq!(verdict(&open, "/x", &[]).as_deref(), Some("local"));
        assert_eq!(verdict(&open.always_asked(), "/x", &[]), None);
    }

    #[test]
    fn a_short_or_unsendable_key_is_refused() {
        assert_eq!(
            Keys::with_first("short\n").err(),
            Some(KeyError::TooShort(5))
        );
        assert_eq!(
            Keys::with_first("nineteen-characters").err(),
            Some(KeyError::TooShort(19))
        );
        assert!(Keys::with_first("twenty-characters-ok").is_ok());
        assert_eq!(
            Keys::with_first("two words are not one key").err(),
            Some(KeyError::NotVisible)
        );
    }
}
