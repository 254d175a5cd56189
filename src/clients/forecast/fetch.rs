//! Asking for a forecast: one call, and one more where the first one found nobody.
//!
//! Invariants: all of it ends within the source's wait; a body is read up to its bound and dropped there;
//! what failed is said without address, host or token. Absent: what the body says.

use super::source::Source;
use reqwest::Response;
use reqwest::header::{CONTENT_ENCODING, CONTENT_TYPE, HeaderMap, RETRY_AFTER};
use secrecy::ExposeSecret as _;
use std::time::Duration;

/// Most bytes of a forecast.
const BYTES: usize = 4 * 1024 * 1024;

/// Before the second call, where the service names no other time.
const PAUSE: Duration = Duration::from_millis(250);

/// Longest time that a service may ask us to wait before the second call.
const PAUSE_AT_MOST: Duration = Duration::from_secs(2);

/// Why there is no body.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Failure {
    /// Nobody answered, or not yet; later somebody may.
    Away(&'static str),
    /// What came is no forecast.
    Unreadable(String),
}

/// A failed call.
struct Failed {
    why: Failure,
    /// When to call again, where that may help.
    again: Option<Duration>,
}

/// The body of a forecast.
pub(super) async fn fetch(source: &Source) -> Result<Vec<u8>, Failure> {
    let asked = tokio::time::timeout(source.wait, ask_twice(source)).await;
    asked.unwrap_or(Err(Failure::Away("it did not answer in time")))
}

async fn ask_twice(source: &Source) -> Result<Vec<u8>, Failure> {
    let failed = match ask(source).await {
        Ok(body) => return Ok(body),
        Err(failed) => failed,
    };
    match failed.again.filter(|pause| *pause <= PAUSE_AT_MOST) {
        None => Err(failed.why),
        Some(pause) => {
            tokio::time::sleep(pause).await;
            ask(source).await.map_err(|failed| failed.why)
        }
    }
}

async fn ask(source: &Source) -> Result<Vec<u8>, Failed> {
    let mut request = source.client.get(source.address.expose_secret());
    if let Some(token) = &source.token {
        request = request.bearer_auth(token.expose_secret());
    }
    let answer = request.send().await.map_err(not_sent)?;
    check_status(&answer)?;
    check_headers(answer.headers())?;
    read(answer).await
}

fn not_sent(error: reqwest::Error) -> Failed {
    let why = if error.is_redirect() {
        return "it sends elsewhere, which is not followed".into();
    } else if error.is_timeout() {
        "no connection came about in time"
    } else {
        "it cannot be reached"
    };
    tracing::debug!(cause = ?error.without_url(), "a forecast was not had");
    Failed {
        why: Failure::Away(why),
        again: Some(PAUSE),
    }
}

fn check_status(answer: &Response) -> Result<(), Failed> {
    match answer.status().as_u16() {
        200 => Ok(()),
        // Called too often, or in trouble of its own.
        429 | 500..=599 => Err(Failed {
            why: Failure::Away("it has no answer at the moment"),
            again: Some(pause_of(answer.headers())),
        }),
        other => Err(format!("it answers with status {other}").into()),
    }
}

/// How long the service asks us to wait; what is not a number of seconds is longer than we do.
fn pause_of(headers: &HeaderMap) -> Duration {
    let Some(asked) = headers.get(RETRY_AFTER) else {
        return PAUSE;
    };
    let seconds = asked
        .to_str()
        .ok()
        .and_then(|text| text.trim().parse().ok());
    seconds.map_or(Duration::MAX, Duration::from_secs)
}

fn check_headers(headers: &HeaderMap) -> Result<(), Failed> {
    let text = |name| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    let media = text(CONTENT_TYPE).unwrap_or_default();
    let media = media.split(';').next().unwrap_or_default().trim();
    let media = media.to_ascii_lowercase();
    if !media.ends_with("/json") && !media.ends_with("+json") {
        return Err("its content is not JSON".into());
    }
    if text(CONTENT_ENCODING).is_some_and(|coding| !coding.eq_ignore_ascii_case("identity")) {
        return Err("its content is coded, which was not asked for".into());
    }
    Ok(())
}

/// The body, read bit by bit so that no more than its bound is ever held.
async fn read(mut answer: Response) -> Result<Vec<u8>, Failed> {
    let large = || Failed::from("it is larger than 4 MiB");
    if answer
        .content_length()
        .is_some_and(|size| size > BYTES as u64)
    {
        return Err(large());
    }
    let mut body = Vec::new();
    while let Some(piece) = answer.chunk().await.map_err(not_sent)? {
        if body.len() + piece.len() > BYTES {
            return Err(large());
        }
        body.extend_from_slice(&piece);
    }
    Ok(body)
}

impl<T: Into<String>> From<T> for Failed {
    fn from(why: T) -> Self {
        Self {
            why: Failure::Unreadable(why.into()),
            again: None,
        }
    }
}
