//! The key itself: how it is made, what of it is public, and what is kept of it.
//!
//! Invariants: a key is `cf_`, twelve hexadecimal digits of its id, `_`, and 64 of 32 random bytes,
//! so that it can stand in a header and in a query as it is; hashes are compared in constant time
//! and never shown, not even by `Debug`. Absent: keeping it.

use super::{super::BookError, KeyRecord, Role};
use chrono::{SubsecRound as _, Utc};
use secrecy::SecretString;
use sha2::{Digest as _, Sha256};
use std::{
    borrow::Cow,
    fmt::{self, Write as _},
};
use subtle::ConstantTimeEq as _;

/// What every key begins with.
const PREFIX: &str = "cf_";
/// Digits of the public part.
const ID_DIGITS: usize = 12;
/// Digits of the secret part.
const SECRET_DIGITS: usize = 64;

/// A text with every key in it blotted out: one may stand where nobody looks for it, as in a path where `&`
/// was written for `?`.
pub fn without_keys(text: &str) -> Cow<'_, str> {
    let mut shown = String::new();
    let mut rest = text;
    while let Some(at) = rest.find(PREFIX) {
        let (before, key) = rest.split_at(at);
        let is_key = |one: char| one.is_ascii_alphanumeric() || one == '_';
        let end = key.find(|one| !is_key(one)).unwrap_or(key.len());
        shown += before;
        // Shorter ones are words of somebody else's.
        shown += if end > PREFIX.len() + ID_DIGITS {
            "cf_[key]"
        } else {
            &key[..end]
        };
        rest = &key[end..];
    }
    match shown.is_empty() && rest.len() == text.len() {
        true => Cow::Borrowed(text),
        false => Cow::Owned(shown + rest),
    }
}

/// The SHA-256 by which a key is recognised.
#[derive(Clone)]
pub struct KeyHash([u8; 32]);

impl KeyHash {
    /// The hash of a whole key.
    pub fn of(key: &[u8]) -> Self {
        Self(Sha256::digest(key).into())
    }

    /// Whether a presented key is this one; takes the same time whichever part differs.
    pub fn fits(&self, key: &[u8]) -> bool {
        *self == Self::of(key)
    }

    /// The hash as it is kept.
    pub(in crate::book) fn hex(&self) -> String {
        hex(&self.0)
    }

    /// Reads a hash as it is kept.
    pub(in crate::book) fn from_hex(text: &str) -> Option<Self> {
        let digits = text.as_bytes().chunks_exact(2);
        if text.len() != SECRET_DIGITS || !is_hex(text) {
            return None;
        }
        let byte = |pair: &[u8]| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok();
        let bytes: Option<Vec<u8>> = digits.map(byte).collect();
        Some(Self(bytes?.try_into().ok()?))
    }
}

impl PartialEq for KeyHash {
    fn eq(&self, other: &Self) -> bool {
        self.0.ct_eq(&other.0).into()
    }
}

impl Eq for KeyHash {}

impl fmt::Debug for KeyHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("KeyHash")
    }
}

/// What the operator says of a key that is to be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewKey {
    /// Whose it will be.
    pub name: String,
    /// What it will open.
    pub role: Role,
    /// Calls a minute, in place of the role's.
    pub per_minute: Option<u32>,
}

impl NewKey {
    /// Makes the key: what is kept, and the text that is shown once.
    ///
    /// # Errors
    /// [`BookError::NoRandomness`].
    pub fn make(self) -> Result<(KeyRecord, SecretString), BookError> {
        let id = random_hex::<{ ID_DIGITS / 2 }>()?;
        let text = format!("{PREFIX}{id}_{}", random_hex::<{ SECRET_DIGITS / 2 }>()?);
        let record = KeyRecord {
            id,
            name: self.name,
            role: self.role,
            hash: KeyHash::of(text.as_bytes()),
            per_minute: self.per_minute,
            made_at: Utc::now().trunc_subsecs(3),
            revoked_at: None,
        };
        Ok((record, text.into()))
    }
}

/// The public part of a key of ours; none for any other text.
pub(super) fn id_of(key: &[u8]) -> Option<&str> {
    let rest = std::str::from_utf8(key).ok()?.strip_prefix(PREFIX)?;
    let (id, secret) = rest.split_once('_')?;
    let fits = id.len() == ID_DIGITS && secret.len() == SECRET_DIGITS;
    (fits && is_hex(id) && is_hex(secret)).then_some(id)
}

/// As many random bytes in hexadecimal digits.
pub(super) fn random_hex<const BYTES: usize>() -> Result<String, BookError> {
    let mut bytes = [0; BYTES];
    getrandom::fill(&mut bytes).map_err(|error| BookError::NoRandomness(error.to_string()))?;
    Ok(hex(&bytes))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut all, byte| {
        // Writing to a text cannot fail.
        let _ = write!(all, "{byte:02x}");
        all
    })
}

fn is_hex(text: &str) -> bool {
    text.bytes()
        .all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use secrecy::ExposeSecret as _;

    fn new() -> NewKey {
        NewKey {
            name: "a test".to_owned(),
            role: Role::Cell,
            per_minute: None,
        }
    }

    #[test]
    fn a_key_is_blotted_out_wherever_it_stands() {
        let (_, key) = new().make().expect("random bytes");
        let key = key.expose_secret();
        let shown = without_keys;
        assert_eq!(
            shown(&format!("/v1/cell/total&key={key}")),
            "/v1/cell/total&key=cf_[key]"
        );
        assert_eq!(shown(&format!("/{key}/{key}/x")), "/cf_[key]/cf_[key]/x");
        assert_eq!(
            shown(&format!("/{}", &key[..40])),
            "/cf_[key]",
            "a part of one too"
        );
        for plain in ["/v1/price-books/cf_yard/items", "/v1/rates", "cf_", ""] {
            assert_eq!(shown(plain), plain);
        }
    }

    #[test]
    fn a_key_is_known_by_its_id_and_its_hash() {
        let (record, text) = new().make().expect("random bytes");
        let text = text.expose_secret();
        assert_eq!(id_of(text.as_bytes()), Some(record.id.as_str()));
        assert!(record.hash.fits(text.as_bytes()));
        assert!(!record.hash.fits(&text.as_bytes()[1..]));
        assert_eq!(KeyHash::from_hex(&record.hash.hex()), Some(record.hash));
        let (other, again) = new().make().expect("random bytes");
        assert!(other.id != record.id && again.expose_secret() != text);
    }

    #[test]
    fn what_is_no_key_of_ours_has_no_id() {
        let secret = "0".repeat(64);
        let id = |text: String| id_of(text.as_bytes()).map(str::to_owned);
        assert!(id(format!("cf_0123456789ab_{secret}")).is_some());
        for bad in [
            format!("cf_0123456789ab_{}", &secret[1..]),
            format!("cf_0123456789a_{secret}"),
            format!("cf_0123456789aB_{secret}"),
            format!("xf_0123456789ab_{secret}"),
            format!("cf_0123456789ab{secret}"),
            String::new(),
        ] {
            assert_eq!(id(bad.clone()), None, "{bad}");
        }
    }

    #[test]
    fn neither_hash_nor_secret_is_in_the_debug_output() {
        let (record, text) = new().make().expect("random bytes");
        let shown = format!("{record:?} {text:?}");
        assert!(!shown.contains(&record.hash.hex()), "{shown}");
        assert!(!shown.contains(text.expose_secret()), "{shown}");
    }
}
