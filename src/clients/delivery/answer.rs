//! What the other side answered: its status, its headers and the beginning of its body.
//!
//! Invariants: no more of it is held than its bounds; what was left out is said to be; where the address of
//! the destination is repeated in it, that is masked, since callers may not know it. Absent: what a status
//! means.

use reqwest::Response;
use reqwest::header::{HeaderMap, RETRY_AFTER, SET_COOKIE};
use std::time::Duration;
use tokio::time::{Instant, timeout_at};

/// Most bytes of an answer's body that are told.
pub const BODY_BYTES: usize = 64 * 1024;

/// Most header lines that are told, and most characters of one.
const LINES: usize = 32;
const LINE_CHARACTERS: usize = 512;

/// An answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Its status.
    pub status: u16,
    /// Its headers, without cookies.
    pub headers: Vec<(String, String)>,
    /// The beginning of its body.
    pub body: String,
    /// True where more came or would have come than is told.
    pub truncated: bool,
    /// How long it asks to be left alone.
    pub(super) leave_alone: Option<Duration>,
}

impl Answer {
    /// Reads an answer until it ends, is too long or takes too long.
    pub(super) async fn read(mut answer: Response, until: Instant, hidden: &[String]) -> Self {
        let status = answer.status().as_u16();
        let (headers, more) = tell_headers(answer.headers(), hidden);
        let leave_alone = leave_alone(answer.headers());
        let mut body = Vec::new();
        let mut whole = false;
        while body.len() <= BODY_BYTES {
            match timeout_at(until, answer.chunk()).await {
                Ok(Ok(Some(piece))) => body.extend_from_slice(&piece),
                Ok(Ok(None)) => {
                    whole = true;
                    break;
                }
                // It hangs, or broke off: what came until then is told.
                Err(_) | Ok(Err(_)) => break,
            }
        }
        let (body, cut) = tell_body(&body, hidden);
        Self {
            status,
            headers,
            body,
            truncated: cut || more || !whole,
            leave_alone,
        }
    }

    /// Whether it says that the document has arrived.
    pub fn delivers(&self) -> bool {
        (200..300).contains(&self.status)
    }

    /// Whether it may be otherwise a moment later.
    pub(super) fn passes(&self) -> bool {
        matches!(self.status, 408 | 425 | 429 | 500 | 502 | 503 | 504)
    }
}

fn tell_headers(headers: &HeaderMap, hidden: &[String]) -> (Vec<(String, String)>, bool) {
    let told = headers.iter().filter(|(name, _)| *name != SET_COOKIE);
    let mut more = false;
    let mut all = Vec::new();
    for (name, value) in told {
        if all.len() == LINES {
            more = true;
            break;
        }
        let value = mask(&String::from_utf8_lossy(value.as_bytes()), hidden);
        let short: String = value.chars().take(LINE_CHARACTERS).collect();
        more |= short.len() < value.len();
        all.push((name.as_str().to_owned(), short));
    }
    (all, more)
}

/// The beginning of a body as text, and whether anything was cut off.
fn tell_body(bytes: &[u8], hidden: &[String]) -> (String, bool) {
    let kept = &bytes[..bytes.len().min(BODY_BYTES)];
    let cut = kept.len() < bytes.len();
    // Half a character at the cut is no character.
    let kept = match std::str::from_utf8(kept) {
        Err(error) if cut && error.error_len().is_none() => &kept[..error.valid_up_to()],
        _ => kept,
    };
    (mask(&String::from_utf8_lossy(kept), hidden), cut)
}

fn mask(text: &str, hidden: &[String]) -> String {
    hidden.iter().fold(text.to_owned(), |text, hidden| {
        text.replace(hidden, "[address]")
    })
}

/// How long the other side asks to be left alone: seconds, or a date (RFC 9110, section 10.2.3).
fn leave_alone(headers: &HeaderMap) -> Option<Duration> {
    let text = headers.get(RETRY_AFTER)?.to_str().ok()?.trim();
    if let Ok(seconds) = text.parse() {
        return Some(Duration::from_secs(seconds));
    }
    let at = chrono::DateTime::parse_from_rfc2822(text).ok()?;
    let wait = at.with_timezone(&chrono::Utc) - chrono::Utc::now();
    Some(wait.to_std().unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_body_is_cut_at_a_character_and_its_address_masked() {
        let hidden = ["/hook/secret".to_owned()];
        let short = tell_body(b"no /hook/secret here", &hidden);
        assert_eq!(short, ("no [address] here".to_owned(), false));
        let long = "\u{fc}".repeat(BODY_BYTES);
        let (told, cut) = tell_body(format!("a{long}").as_bytes(), &hidden);
        assert!(cut && told.len() == BODY_BYTES - 1 && !told.contains('\u{fffd}'));
        assert_eq!(tell_body(b"a\xff", &hidden).0, "a\u{fffd}");
    }

    /// The example of RFC 9110, section 10.2.3, lies in the past.
    #[test]
    fn a_time_to_be_left_alone_is_seconds_or_a_date() {
        let of = |text: &str| {
            let mut headers = HeaderMap::new();
            headers.insert(RETRY_AFTER, text.parse().expect("a value"));
            leave_alone(&headers)
        };
        assert_eq!(of("120"), Some(Duration::from_secs(120)));
        assert_eq!(of("Fri, 31 Dec 1999 23:59:59 GMT"), Some(Duration::ZERO));
        let far = of("Tue, 31 Dec 2999 23:59:59 GMT").expect("a date");
        assert!(far > Duration::from_secs(86_400));
        assert_eq!(of("soon"), None);
    }
}
