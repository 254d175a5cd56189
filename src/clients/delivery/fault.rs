//! Why an attempt brought no answer.
//!
//! Invariant: told by one word and one sentence, without address, host or secret. Absent: answers, even
//! unfriendly ones.

use super::reach::Refused;
use std::error::Error;
use std::io;

/// What became of an attempt without an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Failure {
    /// Nobody takes the connection, or nobody has the name.
    Unreachable,
    /// No answer began in time.
    TimedOut,
    /// The connection ended without an answer in HTTP.
    NoAnswer,
    /// The other side could not show who it is.
    Untrusted,
    /// Its name leads to an address that may not be called.
    AddressRefused,
}

impl Failure {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Unreachable,
        Self::TimedOut,
        Self::NoAnswer,
        Self::Untrusted,
        Self::AddressRefused,
    ];

    /// By one word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unreachable => "unreachable",
            Self::TimedOut => "timed_out",
            Self::NoAnswer => "no_answer",
            Self::Untrusted => "untrusted",
            Self::AddressRefused => "address_refused",
        }
    }

    /// In a sentence.
    pub const fn sentence(self) -> &'static str {
        match self {
            Self::Unreachable => "No connection came about.",
            Self::TimedOut => "No answer began in time.",
            Self::NoAnswer => "The connection ended without an answer.",
            Self::Untrusted => "It could not show that it is who the operator has named.",
            Self::AddressRefused => {
                "Its name leads to an address that the operator's settings do not allow."
            }
        }
    }

    /// Whether it may be otherwise a moment later.
    pub(super) const fn passes(self) -> bool {
        matches!(self, Self::Unreachable | Self::TimedOut | Self::NoAnswer)
    }

    pub(super) fn of(error: &reqwest::Error) -> Self {
        let mut cause: Option<&(dyn Error + 'static)> = error.source();
        while let Some(one) = cause {
            if one.is::<Refused>() {
                return Self::AddressRefused;
            }
            if is_tls(one) {
                return Self::Untrusted;
            }
            cause = one.source();
        }
        match error.is_connect() {
            _ if error.is_timeout() => Self::TimedOut,
            true => Self::Unreachable,
            false => Self::NoAnswer,
        }
    }
}

/// What TLS says stands inside of an I/O error, or of two, whose `source` passes it over.
fn is_tls(error: &(dyn Error + 'static)) -> bool {
    let inner = error
        .downcast_ref::<io::Error>()
        .and_then(io::Error::get_ref);
    error.is::<rustls::Error>() || inner.is_some_and(|inner| is_tls(inner))
}
