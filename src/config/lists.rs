//! The operator's lists, from one TOML file: which forecasts a job may name, and where documents go.
//!
//! Invariants: a file with a fault is refused at the start; what is said of a fault shows no line of the
//! file, since an address may be a secret. Absent: what an address has to be, which its client says.

use super::{parse::parse_span, read_secret};
use crate::clients::delivery::DestinationSetting;
use crate::clients::forecast::ForecastSetting;
use anyhow::{Context as _, anyhow, ensure};
use serde::Deserialize;
use std::path::{Path, PathBuf};

/// Most bytes of the file; more is a mistake.
const MOST_BYTES: u64 = 1024 * 1024;

/// What the file holds.
#[derive(Clone, Debug, Default)]
pub struct Lists {
    /// Forecasts that a job may name.
    pub forecasts: Vec<ForecastSetting>,
    /// Where a document may be sent.
    pub destinations: Vec<DestinationSetting>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    forecast: Vec<ForecastRow>,
    #[serde(default)]
    destination: Vec<DestinationRow>,
}

/// One forecast, as it is written.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ForecastRow {
    name: String,
    address: String,
    contact: String,
    token_file: Option<PathBuf>,
    timeout: Option<String>,
    #[serde(default)]
    environment_proxy: bool,
}

/// One destination, as it is written.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DestinationRow {
    name: String,
    address: String,
    secret_file: PathBuf,
    #[serde(default)]
    media_types: Vec<String>,
    timeout: Option<String>,
    attempts: Option<u32>,
    #[serde(default)]
    allow_private: bool,
    #[serde(default)]
    environment_proxy: bool,
}

impl Lists {
    pub(super) fn read(file: Option<&Path>) -> anyhow::Result<Self> {
        let Some(file) = file else {
            return Ok(Self::default());
        };
        let reading = || format!("reading {}", file.display());
        let size = std::fs::metadata(file).with_context(reading)?.len();
        ensure!(
            size <= MOST_BYTES,
            "{} is larger than {MOST_BYTES} bytes",
            file.display()
        );
        let text = std::fs::read_to_string(file).with_context(reading)?;
        Self::parse(&text).with_context(reading)
    }

    fn parse(text: &str) -> anyhow::Result<Self> {
        let read: File = toml::from_str(text).map_err(|error| {
            let before = error.span().and_then(|span| text.get(..span.start));
            let line = before.map_or(1, |before| before.matches('\n').count() + 1);
            anyhow!("line {line}: {}", error.message())
        })?;
        let forecasts = read.forecast.into_iter().map(ForecastRow::settle);
        let forecasts = forecasts.collect::<anyhow::Result<_>>()?;
        let destinations = read.destination.into_iter().map(DestinationRow::settle);
        let destinations = destinations.collect::<anyhow::Result<_>>()?;
        Ok(Self {
            forecasts,
            destinations,
        })
    }
}

impl ForecastRow {
    fn settle(self) -> anyhow::Result<ForecastSetting> {
        let named = || format!("forecast \"{}\"", self.name);
        let wait = self.timeout.as_deref().map(parse_span).transpose();
        let token = self.token_file.as_deref().map(read_secret).transpose();
        Ok(ForecastSetting {
            wait: wait.map_err(|fault| anyhow!("{}: timeout: {fault}", named()))?,
            token: token.with_context(named)?,
            name: self.name,
            address: self.address.into(),
            contact: self.contact,
            environment_proxy: self.environment_proxy,
        })
    }
}

impl DestinationRow {
    fn settle(self) -> anyhow::Result<DestinationSetting> {
        let named = || format!("destination \"{}\"", self.name);
        let wait = self.timeout.as_deref().map(parse_span).transpose();
        Ok(DestinationSetting {
            wait: wait.map_err(|fault| anyhow!("{}: timeout: {fault}", named()))?,
            secret: read_secret(&self.secret_file).with_context(named)?,
            name: self.name,
            address: self.address.into(),
            media_types: self.media_types,
            attempts: self.attempts,
            allow_private: self.allow_private,
            environment_proxy: self.environment_proxy,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use secrecy::ExposeSecret as _;

    const ROW: &str = "[[forecast]]\nname = \"home\"\naddress = \"https://weather.example/hidden\"\n\
                       contact = \"office@ramp.example\"\n";

    #[test]
    fn a_forecast_is_read_and_its_address_not_shown() {
        let lists = Lists::parse(&format!("{ROW}timeout = \"3s\"\n")).expect("reads");
        let [forecast] = &lists.forecasts[..] else {
            panic!("one forecast");
        };
        assert_eq!(forecast.wait.map(|wait| wait.as_secs()), Some(3));
        let address = forecast.address.expose_secret();
        assert_eq!(address, "https://weather.example/hidden");
        assert!(!format!("{lists:?}").contains("hidden"));
        assert!(Lists::parse("").is_ok_and(|lists| lists.forecasts.is_empty()));
    }

    #[test]
    fn a_fault_names_its_line_and_shows_none() {
        for (text, said) in [
            (format!("{ROW}adress = \"x\"\n"), "line 5: unknown field"),
            (format!("{ROW}timeout = \"3\"\n"), "\"home\": timeout"),
            (ROW.replace("name = ", "nom = "), "line 2: unknown field"),
            (ROW.replace("/hidden\"", "/hidden"), "line 3: "),
        ] {
            let error = format!("{:#}", Lists::parse(&text).expect_err("refused"));
            assert!(error.contains(said), "{error}");
            assert!(!error.contains("hidden"), "{error}");
        }
    }
}
