//! What a destination's messages are signed with.
//!
//! Invariants: never shown, not even by `Debug`; long enough that it cannot be guessed. Absent: the file
//! in which it stands.
//!
//! Source: Standard Webhooks 1.0.0, "Signature scheme": `whsec_` and base64, 24 to 64 bytes.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use secrecy::zeroize::Zeroizing;
use secrecy::{ExposeSecret as _, SecretSlice, SecretString};
use std::ops::RangeInclusive;

/// What a secret begins with.
const PREFIX: &str = "whsec_";

/// How many bytes it has.
const BYTES: RangeInclusive<usize> = 24..=64;

/// Most secrets that are used at once, while one takes the place of another.
const AT_MOST: usize = 3;

/// One secret.
#[derive(Clone, Debug)]
pub(super) struct Secret(SecretSlice<u8>);

impl Secret {
    /// Reads one line.
    pub(super) fn read(text: &str) -> Result<Self, String> {
        let refused = || {
            format!(
                "a secret is {PREFIX} and {} to {} bytes in base64",
                BYTES.start(),
                BYTES.end()
            )
        };
        let text = text.strip_prefix(PREFIX).ok_or_else(refused)?;
        let bytes = Zeroizing::new(STANDARD.decode(text).map_err(|_| refused())?);
        match BYTES.contains(&bytes.len()) {
            true => Ok(Self(bytes.to_vec().into())),
            false => Err(refused()),
        }
    }

    /// Reads a file's text: one secret a line, the newest first.
    pub(super) fn read_lines(text: &SecretString) -> Result<Vec<Self>, String> {
        let lines = text.expose_secret().lines().map(str::trim);
        let lines = lines.filter(|line| !line.is_empty());
        let secrets = lines.map(Self::read).collect::<Result<Vec<_>, _>>()?;
        match secrets.len() {
            0 => Err("its secret_file is empty".into()),
            1..=AT_MOST => Ok(secrets),
            _ => Err(format!(
                "its secret_file holds more than {AT_MOST} secrets; leave out the old ones"
            )),
        }
    }

    pub(super) fn bytes(&self) -> &[u8] {
        self.0.expose_secret()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_secret_has_its_prefix_its_length_and_is_not_shown() {
        let of = |bytes: usize| format!("{PREFIX}{}", STANDARD.encode(vec![7_u8; bytes]));
        for good in [24, 32, 64] {
            let secret = Secret::read(&of(good)).expect("reads");
            assert_eq!(secret.bytes(), vec![7_u8; good]);
            assert!(!format!("{secret:?}").contains('7'), "{secret:?}");
        }
        for bad in [
            of(23),
            of(65),
            of(32)[6..].to_owned(),
            format!("{}!", of(32)),
        ] {
            let fault = Secret::read(&bad).expect_err("refused");
            assert!(!fault.contains(&bad[6..]), "{fault}");
        }
    }

    #[test]
    fn a_file_holds_one_to_three() {
        let line = format!("{PREFIX}{}\n", STANDARD.encode([1_u8; 24]));
        let count = |text: String| Secret::read_lines(&text.into()).map(|all| all.len());
        assert_eq!(count(line.clone()), Ok(1));
        assert_eq!(count(format!("{line}\n{line}{line}")), Ok(3));
        assert!(count(line.repeat(4)).is_err() && count("\n".into()).is_err());
    }
}
