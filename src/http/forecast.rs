//! A forecast by its name, put into a job as the weather that it tells.
//!
//! Invariants: the rows are those that a caller could have sent, so that the answer depends on them alone;
//! how old they are stands in a header only; without a forecast in the job nobody is asked. Absent: where
//! a forecast is, and how it is read.

use super::problem::ApiError;
use crate::clients::forecast::{ForecastError, Forecasts};
use crate::job::{Day, JobRequest, expand};
use crate::quantity::Fault;
use actix_web::HttpResponse;
use actix_web::http::header::{HeaderName, HeaderValue};
use std::time::Duration;

/// What to send where no forecast is had.
const ADVICE: &str = "send the hours under `weather` instead";

/// How weather is sent.
const WEATHER: &str = "\"weather\": [{\"at\": \"2026-05-18T07:00\", \"air\": \"61 degF\", \
                       \"humidity\": \"55 %\", \"wind\": \"6 mph\"}, ...]";

/// Puts weather in the place of `pour.forecast`, and tells how long ago it was fetched; none where the
/// job names no forecast. A job that also holds `weather` is left as it is: its reader says so.
///
/// # Errors
/// [`ApiError::Faults`] where no forecast has this name, with all other faults of the job;
/// [`ApiError::Unavailable`] where it is not had for the moment, [`ApiError::PartnerUnreadable`] where what
/// came is no forecast.
pub async fn take_forecast(
    sent: &mut JobRequest,
    forecasts: &Forecasts,
    today: Day,
) -> Result<Option<Duration>, ApiError> {
    let pour = sent.pour.as_mut().filter(|pour| pour.weather.is_none());
    let Some((pour, name)) = pour.and_then(|pour| {
        let name = pour.forecast.clone()?;
        Some((pour, name))
    }) else {
        return Ok(None);
    };
    match forecasts.get(&name).await {
        Ok(forecast) => {
            pour.forecast = None;
            pour.weather = Some(forecast.hours);
            Ok(Some(forecast.age))
        }
        Err(ForecastError::Unknown) => Err(refuse(&name, sent, forecasts, today)),
        Err(ForecastError::Away(why)) => Err(ApiError::Unavailable(format!(
            "The forecast \"{name}\" is not to be had for the moment: {why}. Try again, or {ADVICE}."
        ))),
        Err(ForecastError::Unreadable(why)) => Err(ApiError::PartnerUnreadable(format!(
            "The forecast \"{name}\" cannot be read: {why}. Please {ADVICE}."
        ))),
    }
}

/// Says how long ago the forecast was fetched, in seconds.
pub fn tell_forecast_age(mut response: HttpResponse, age: Option<Duration>) -> HttpResponse {
    if let Some(age) = age {
        response.headers_mut().insert(
            HeaderName::from_static("crossfall-forecast-age"),
            HeaderValue::from(age.as_secs()),
        );
    }
    response
}

/// That no forecast has this name, and the faults of the rest of the job.
fn refuse(name: &str, sent: &JobRequest, forecasts: &Forecasts, today: Day) -> ApiError {
    let names: Vec<&str> = forecasts.names().collect();
    let accepted = match names.is_empty() {
        true => format!("none, since the operator has set no forecast; {ADVICE}"),
        false => format!("{}; or {ADVICE}", names.join(", ")),
    };
    let example = names.first().copied().unwrap_or(WEATHER);
    let mut faults = expand(sent.clone(), today).err().unwrap_or_default();
    faults.push(Fault::new("/pour/forecast", name, accepted, Some(example)));
    ApiError::Faults(faults)
}
