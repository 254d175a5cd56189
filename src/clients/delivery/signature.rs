//! The signature of a message, so that whoever receives it can see that it is ours and whole.
//!
//! Invariants: each secret gives one signature, and all go along, so that a secret can be changed while
//! messages are under way; an id holds no full stop, which would let parts be moved. Absent: the clock.
//!
//! Source: Standard Webhooks 1.0.0, "Signature scheme" and "Webhook headers"; RFC 2104 (HMAC).

use super::secret::Secret;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use hmac::{Hmac, Mac as _};
use sha2::Sha256;

/// The value of `webhook-signature` for a message sent at a Unix time.
pub(super) fn sign(secrets: &[Secret], (id, at): (&str, i64), body: &[u8]) -> String {
    let one = |secret: &Secret| {
        let mut mac = Hmac::<Sha256>::new_from_slice(secret.bytes())
            .expect("a key of any length can be used");
        mac.update(format!("{id}.{at}.").as_bytes());
        mac.update(body);
        format!("v1,{}", STANDARD.encode(mac.finalize().into_bytes()))
    };
    secrets.iter().map(one).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example that the tests of the specification's own repository sign with
    /// (`libraries/go/webhook_symmetric_test.go`).
    const SECRET: &str = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw";
    const ID: &str = "msg_p5jXN8AQM9LWM0D4loKWxJek";
    const SIGNED: &str = "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=";

    fn secret(text: &str) -> Secret {
        Secret::read(text).expect("a secret")
    }

    #[test]
    fn the_published_example_is_signed_as_published() {
        let signed = sign(
            &[secret(SECRET)],
            (ID, 1_614_265_330),
            br#"{"test": 2432232314}"#,
        );
        assert_eq!(signed, SIGNED);
    }

    #[test]
    fn two_secrets_give_two_signatures() {
        let other = secret("whsec_AAECAwQFBgcICQoLDA0ODxAREhMUFRYX");
        let signed = sign(
            &[other, secret(SECRET)],
            (ID, 1_614_265_330),
            br#"{"test": 2432232314}"#,
        );
        let (first, second) = signed.split_once(' ').expect("two");
        assert!(first.starts_with("v1,") && first != second);
        assert_eq!(second, SIGNED);
    }
}
