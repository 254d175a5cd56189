//! Who may call: the first key, which may do everything.
//!
//! Invariants: a key is held as its SHA-256 only and compared in constant time; once a key exists
//! every path asks for it except those in [`OPEN`] and below [`OPEN_BELOW`]. What is not listed as
//! open is closed, so that an unusual spelling of a path opens nothing. Absent: keys in the query,
//! keys in a log.

use super::problem::ApiError;
use actix_web::{
    dev::ServiceRequest,
    http::header::{self, HeaderMap},
};
use sha2::{Digest as _, Sha256};
use std::fmt;
use subtle::ConstantTimeEq as _;

/// Paths that answer without a key.
const OPEN: [&str; 6] = ["/", "/livez", "/readyz", "/openapi.json", "/docs", "/docs/"];
/// Everything below answers without a key: the parts of the documentation page.
const OPEN_BELOW: &str = "/docs/";
/// Header for a key, besides `Authorization: Bearer`.
const KEY_HEADER: &str = "x-api-key";
/// Shortest key that is accepted from the operator, in characters.
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

/// The keys that open the service; none means that no key is asked for.
#[derive(Clone, Default)]
pub struct Keys {
    first: Option<[u8; 32]>,
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
            first: Some(hash(key.as_bytes())),
        })
    }

    /// True when no key exists yet.
    pub fn is_empty(&self) -> bool {
        self.first.is_none()
    }

    /// Refuses a request that needs a key and brings none or a wrong one.
    pub(super) fn check(&self, request: &ServiceRequest) -> Result<(), ApiError> {
        let Some(first) = &self.first else {
            return Ok(());
        };
        if is_open(request.uri().path()) {
            return Ok(());
        }
        match presented(request.headers()) {
            None => Err(ApiError::Unauthorized(
                "Send a key as `Authorization: Bearer KEY` or `X-API-Key: KEY`.".to_owned(),
            )),
            Some(key) if hash(key).ct_eq(first).into() => Ok(()),
            Some(_) => Err(ApiError::Unauthorized(
                "The key sent is not known here.".to_owned(),
            )),
        }
    }
}

impl fmt::Debug for Keys {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Keys")
            .field("first", &self.first.is_some())
            .finish()
    }
}

fn is_open(path: &str) -> bool {
    OPEN.contains(&path) || path.starts_with(OPEN_BELOW)
}

fn hash(key: &[u8]) -> [u8; 32] {
    Sha256::digest(key).into()
}

fn presented(headers: &HeaderMap) -> Option<&[u8]> {
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

    fn verdict(path: &str, headers: &[(&'static str, &str)]) -> bool {
        let keys = Keys::with_first(&format!("{KEY}\n")).expect("long enough");
        let mut request = TestRequest::with_uri(path);
        for header in headers {
            request = request.insert_header(*header);
        }
        keys.check(&request.to_srv_request()).is_ok()
    }

    #[test]
    fn a_key_is_taken_from_either_header() {
        assert!(verdict(
            "/v1/x",
            &[("Authorization", &format!("bearer {KEY}"))]
        ));
        assert!(verdict("/v1/x", &[("X-API-Key", KEY)]));
        assert!(!verdict(
            "/v1/x",
            &[("X-API-Key", "a-key-of-other-letters!")]
        ));
        assert!(!verdict("/v1/x", &[]));
        assert!(!verdict("/v1/x?key=a-key-of-enough-letters", &[]));
    }

    #[test]
    fn an_unusual_spelling_of_a_path_opens_nothing() {
        for path in [
            "/%76%31/x",
            "//livez",
            "/livez/",
            "/docsx",
            "/V1/x",
            "/docs/../v1/x",
        ] {
            let open = verdict(path, &[]);
            // The router takes dots literally, so the last one stays below the page.
            assert_eq!(open, path.starts_with("/docs/"), "{path}");
        }
    }

    #[test]
    fn the_open_paths_need_no_key() {
        for path in [
            "/",
            "/livez",
            "/readyz",
            "/openapi.json",
            "/docs",
            "/docs/a.js",
        ] {
            assert!(verdict(path, &[]), "{path}");
        }
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
