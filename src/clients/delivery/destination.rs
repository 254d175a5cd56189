//! Where documents go, as the operator has set it.
//!
//! Invariants: the address and the secrets are never shown; what a public address hears goes over TLS;
//! redirects are answers and not followed; each attempt connects anew, so that its address is looked at.
//! Absent: what is sent there.

use super::message::MEDIA_TYPES;
use super::reach::{Guard, Reach};
use super::secret::Secret;
use crate::clients::door::{client, client_by_proxy};
use crate::clients::setting::{check_name, read_address};
use reqwest::redirect::Policy;
use reqwest::{Client, Url};
use secrecy::{ExposeSecret as _, SecretString};
use std::net::IpAddr;
use std::sync::Arc;
use std::time::Duration;

/// Attempts where nothing is set, and at most.
pub const ATTEMPTS: u32 = 3;
/// Most attempts that may be set.
pub const ATTEMPTS_AT_MOST: u32 = 5;

/// How long one attempt may take where nothing is set, and how long a connection may.
pub const WAIT: Duration = Duration::from_secs(3);
const CONNECT: Duration = Duration::from_secs(2);

/// A destination of the settings.
#[derive(Clone, Debug)]
pub struct DestinationSetting {
    /// By which a request names it.
    pub name: String,
    /// Where documents are posted.
    pub address: SecretString,
    /// What they are signed with: one secret a line, the newest first.
    pub secret: SecretString,
    /// What it takes; everything where none is named.
    pub media_types: Vec<String>,
    /// How long one attempt may take.
    pub wait: Option<Duration>,
    /// How often it is tried.
    pub attempts: Option<u32>,
    /// True where it may stand on a private network.
    pub allow_private: bool,
    /// True to go through the proxy that the environment names, which then has to mind the addresses.
    pub environment_proxy: bool,
}

/// A destination that can be sent to.
#[derive(Debug)]
pub struct Destination {
    pub(super) name: String,
    pub(super) address: SecretString,
    pub(super) secrets: Vec<Secret>,
    /// What of the address is masked where an answer repeats it.
    pub(super) hidden: Vec<String>,
    pub(super) wait: Duration,
    pub(super) attempts: usize,
    pub(super) client: Client,
    takes: Vec<&'static str>,
}

impl Destination {
    /// What a setting comes to.
    ///
    /// # Errors
    /// What is wrong with it, without its address and its secret.
    pub(super) fn of(setting: DestinationSetting) -> Result<Self, String> {
        check_name(&setting.name)?;
        let address = read_address(setting.address.expose_secret(), "secret_file")?;
        let reach = check_reach(&address, &setting)?;
        let wait = setting.wait.unwrap_or(WAIT);
        if wait > super::LASTS {
            return Err(format!("timeout is {} s at most", super::LASTS.as_secs()));
        }
        let attempts = setting.attempts.unwrap_or(ATTEMPTS);
        if !(1..=ATTEMPTS_AT_MOST).contains(&attempts) {
            return Err(format!("attempts are 1 to {ATTEMPTS_AT_MOST}"));
        }
        Ok(Self {
            secrets: Secret::read_lines(&setting.secret)?,
            takes: read_media_types(&setting.media_types)?,
            client: build(reach, wait, setting.environment_proxy)?,
            hidden: hidden(&address),
            attempts: attempts as usize,
            name: setting.name,
            address: setting.address,
            wait,
        })
    }

    /// The media types that it takes.
    pub fn takes(&self) -> &[&'static str] {
        &self.takes
    }
}

/// How far it may be; an address in numbers is judged here, since nobody looks it up.
fn check_reach(address: &Url, setting: &DestinationSetting) -> Result<Reach, String> {
    let reach = match (address.scheme(), setting.allow_private) {
        ("https", false) => Reach::Public,
        ("https", true) => Reach::Anywhere,
        (_, true) if !setting.environment_proxy => Reach::Private,
        _ => {
            return Err(
                "plain http goes to a private address only, with allow_private and without a proxy"
                    .into(),
            );
        }
    };
    let host = address.host_str().unwrap_or_default();
    let host = host.trim_start_matches('[').trim_end_matches(']');
    match host.parse::<IpAddr>() {
        Ok(number) if !reach.allows(number) && reach == Reach::Public => {
            Err("its address is a private one; set allow_private if that is meant".into())
        }
        Ok(number) if !reach.allows(number) => {
            Err("plain http goes to a private address only".into())
        }
        _ => Ok(reach),
    }
}

fn read_media_types(named: &[String]) -> Result<Vec<&'static str>, String> {
    let all: Vec<&str> = MEDIA_TYPES
        .iter()
        .map(|(media_type, _)| *media_type)
        .collect();
    if named.is_empty() {
        return Ok(all);
    }
    let found = named
        .iter()
        .map(|name| all.iter().copied().find(|known| known == name));
    let found: Option<Vec<&str>> = found.collect();
    found.ok_or_else(|| format!("media_types are of {}", all.join(", ")))
}

/// The whole address, its path and its host, where a path is more than a stroke.
fn hidden(address: &Url) -> Vec<String> {
    let path = match address.query() {
        Some(query) => format!("{}?{query}", address.path()),
        None => address.path().to_owned(),
    };
    let host = address.host_str().unwrap_or_default().to_owned();
    let all = [
        address.as_str().to_owned(),
        path,
        address.path().to_owned(),
        host,
    ];
    all.into_iter().filter(|part| part.len() > 1).collect()
}

fn build(reach: Reach, wait: Duration, by_proxy: bool) -> Result<Client, String> {
    let builder = match by_proxy {
        true => client_by_proxy(),
        false => client().dns_resolver(Arc::new(Guard::of(reach))),
    };
    let builder = builder
        .user_agent(concat!("crossfall/", env!("CARGO_PKG_VERSION")))
        .connect_timeout(CONNECT.min(wait))
        .redirect(Policy::none())
        .pool_max_idle_per_host(0)
        .referer(false);
    builder.build().map_err(|_| "no client can be made".into())
}
