//! Where a forecast is, as the operator has set it.
//!
//! Invariants: the address and the token are secrets, since either may open an account; a token goes over
//! TLS only, but for this machine itself. Absent: what is told there.

use crate::clients::door::{client, client_by_proxy};
use crate::clients::setting::{check_name, read_address};
use reqwest::header::{HeaderMap, HeaderValue};
use reqwest::redirect::{Attempt, Policy};
use reqwest::{Client, Url};
use secrecy::{ExposeSecret as _, SecretString};
use std::time::Duration;

/// Longest wait in all that may be set; the answer to our own caller has 10 s to begin.
const WAIT_AT_MOST: Duration = Duration::from_secs(8);

/// How long all of it may take where nothing is set, and how long a connection may.
const WAIT: Duration = Duration::from_secs(5);
const CONNECT: Duration = Duration::from_secs(2);

/// Most redirects within the same host.
const REDIRECTS: usize = 3;

/// A forecast of the settings.
#[derive(Clone, Debug)]
pub struct ForecastSetting {
    /// By which a job names it.
    pub name: String,
    /// Of the gridpoint's forecast.
    pub address: SecretString,
    /// Whom the service may write to; goes with every request.
    pub contact: String,
    /// What opens it, where something does.
    pub token: Option<SecretString>,
    /// How long all of it may take; the usual where none is set.
    pub wait: Option<Duration>,
    /// True to go through the proxy that the environment names.
    pub environment_proxy: bool,
}

/// A forecast that can be asked.
#[derive(Debug)]
pub(super) struct Source {
    pub(super) name: String,
    pub(super) address: SecretString,
    pub(super) token: Option<SecretString>,
    /// How long all of it may take.
    pub(super) wait: Duration,
    pub(super) client: Client,
}

impl Source {
    /// What a setting comes to.
    ///
    /// # Errors
    /// What is wrong with it, without its address.
    pub(super) fn of(setting: ForecastSetting) -> Result<Self, String> {
        check(&setting)?;
        let wait = setting.wait.unwrap_or(WAIT);
        let client = build(&setting, wait)?;
        Ok(Self {
            client,
            wait,
            token: setting.token,
            address: setting.address,
            name: setting.name,
        })
    }
}

fn check(setting: &ForecastSetting) -> Result<(), String> {
    check_name(&setting.name)?;
    let address = read_address(setting.address.expose_secret(), "token_file")?;
    if setting.wait.is_some_and(|wait| wait > WAIT_AT_MOST) {
        return Err(format!("timeout is {} s at most", WAIT_AT_MOST.as_secs()));
    }
    let Some(token) = &setting.token else {
        return Ok(());
    };
    if address.scheme() != "https" && !is_local(&address) {
        return Err("a token is sent to an https address only".into());
    }
    let token = token.expose_secret();
    if token.is_empty() || HeaderValue::from_str(token).is_err() {
        return Err("the token is empty or not one line of plain text".into());
    }
    Ok(())
}

fn is_local(address: &Url) -> bool {
    matches!(
        address.host_str(),
        Some("localhost" | "127.0.0.1" | "[::1]")
    )
}

fn build(setting: &ForecastSetting, wait: Duration) -> Result<Client, String> {
    let agent = format!(
        "crossfall/{} ({})",
        env!("CARGO_PKG_VERSION"),
        setting.contact
    );
    let agent = HeaderValue::from_str(&agent).ok();
    let agent = agent.filter(|_| !setting.contact.trim().is_empty());
    let agent = agent.ok_or("contact has to be one line of plain text")?;
    let mut headers = HeaderMap::new();
    let accepted = "application/geo+json, application/json;q=0.9";
    headers.insert("accept", HeaderValue::from_static(accepted));
    headers.insert("accept-encoding", HeaderValue::from_static("identity"));
    let builder = match setting.environment_proxy {
        true => client_by_proxy(),
        false => client(),
    };
    let builder = builder
        .user_agent(agent)
        .default_headers(headers)
        .connect_timeout(CONNECT.min(wait))
        .redirect(Policy::custom(follow))
        .referer(false);
    builder.build().map_err(|_| "no client can be made".into())
}

/// Follows within the same host, and never from TLS to plain text.
fn follow(attempt: Attempt<'_>) -> reqwest::redirect::Action {
    let same = attempt.previous().last().is_some_and(|from| {
        let to = attempt.url();
        let same_port = from.port_or_known_default() == to.port_or_known_default();
        let safer = from.scheme() == "http" && to.scheme() == "https";
        from.host_str() == to.host_str() && (safer || (from.scheme() == to.scheme() && same_port))
    });
    match same && attempt.previous().len() <= REDIRECTS {
        true => attempt.follow(),
        false => attempt.error("sent elsewhere"),
    }
}
