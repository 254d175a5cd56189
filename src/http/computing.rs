//! What every computing call does before it computes: find the book, collect every fault, choose
//! the format of the answer.
//!
//! Invariants: the book a job names must be there even where the call needs no price; faults of the
//! book and of the job are told together.

use super::answer::View;
use super::problem::ApiError;
use super::today::Today;
use crate::book::{BookError, Books};
use crate::catalog::{Catalog, PriceList};
use crate::crew::Rates;
use crate::estimate::{With, asked_book};
use crate::job::{Day, Expanded, JobRequest, expand};
use crate::quantity::{Fault, System};
use crate::rules::RuleSets;
use actix_web::HttpResponse;
use actix_web::http::header::{ACCEPT, HeaderMap, HeaderValue, VARY};
use serde::Deserialize;
use utoipa::IntoParams;

/// How the answer is wanted.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct ShowQuery {
    /// `json` or, where offered, `csv`; wins over `Accept`.
    pub format: Option<String>,
    /// True to explain each figure in words and numbers.
    pub working: Option<bool>,
    /// True to return the job with every question answered.
    pub job: Option<bool>,
}

/// A format of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// JSON.
    Json,
    /// CSV of the lines.
    Csv,
}

impl Format {
    const fn name(self) -> &'static str {
        match self {
            Self::Json => "json",
            Self::Csv => "csv",
        }
    }

    const fn media_type(self) -> &'static str {
        match self {
            Self::Json => "application/json",
            Self::Csv => "text/csv",
        }
    }
}

impl ShowQuery {
    /// The format to answer in, of those offered; the first is the default.
    ///
    /// # Errors
    /// [`ApiError::NotAcceptable`] when none fits.
    pub fn choose(&self, headers: &HeaderMap, offered: &[Format]) -> Result<Format, ApiError> {
        let names: Vec<&str> = offered.iter().map(|format| format.name()).collect();
        if let Some(asked) = &self.format {
            let found = offered.iter().find(|format| format.name() == asked);
            return found.copied().ok_or_else(|| {
                ApiError::NotAcceptable(format!("This call answers in {}.", names.join(" or ")))
            });
        }
        let accepted = headers
            .get(ACCEPT)
            .and_then(|value| value.to_str().ok())
            .unwrap_or("*/*");
        let fits = |format: &Format| accepts(accepted, format.media_type());
        offered
            .iter()
            .copied()
            .filter(|format| fits(format) > 0.0)
            .max_by(|a, b| {
                // The earlier of two equally welcome formats wins.
                fits(a)
                    .total_cmp(&fits(b))
                    .then(std::cmp::Ordering::Greater)
            })
            .ok_or_else(|| {
                ApiError::NotAcceptable(format!("This call answers in {}.", names.join(" or ")))
            })
    }

    /// How values are shown.
    pub fn view(&self, system: System) -> View {
        View {
            system,
            working: self.working.unwrap_or(false),
        }
    }
}

/// How welcome a media type is under an `Accept` header (RFC 9110, section 12.5.1), 0 to 1.
fn accepts(accept: &str, media_type: &str) -> f64 {
    let main = media_type.split('/').next().unwrap_or_default();
    let mut best = (0, 0.0);
    for part in accept.split(',') {
        let mut pieces = part.split(';').map(str::trim);
        let range = pieces.next().unwrap_or_default();
        let quality = pieces.find_map(|piece| piece.strip_prefix("q="));
        let quality = quality
            .and_then(|text| text.parse::<f64>().ok())
            .unwrap_or(1.0);
        let precision = if range.eq_ignore_ascii_case(media_type) {
            3
        } else if range.strip_suffix("/*").is_some_and(|range| range == main) {
            2
        } else if range == "*/*" {
            1
        } else {
            continue;
        };
        if precision > best.0 {
            best = (precision, quality);
        }
    }
    best.1
}

/// A job whose book was found and whose questions are answered.
pub struct Prepared {
    /// The job as sent.
    pub sent: JobRequest,
    /// Its price list.
    pub list: PriceList,
    /// Today, where the service stands.
    pub today: Day,
}

impl Prepared {
    /// Finds the book and makes sure that the job has no fault.
    ///
    /// # Errors
    /// [`ApiError::Faults`] with those of the book and of the job; what the book cannot answer.
    pub fn of(sent: JobRequest, books: &Books, today: &Today) -> Result<Self, ApiError> {
        let today = Day(today.date());
        let list = {
            let (code, revision, as_of) = asked_book(&sent, today);
            books.price_list(code, revision, as_of)
        };
        match list {
            Ok(list) => Ok(Self { sent, list, today }),
            Err(error) => Err(refuse(error, sent, books, today)),
        }
    }

    /// What to compute with.
    pub fn with(&self) -> With<'_> {
        With {
            rules: RuleSets::built_in(),
            catalog: Catalog::built_in(),
            rates: Rates::built_in(),
            list: &self.list,
        }
    }

    /// The job with every question answered.
    ///
    /// # Errors
    /// All its faults.
    pub fn fill(&self) -> Result<Expanded, ApiError> {
        Ok(crate::estimate::fill(
            self.sent.clone(),
            self.today,
            &self.list,
        )?)
    }
}

/// A fault of the book, and with it those of the rest of the job.
fn refuse(error: BookError, sent: JobRequest, books: &Books, today: Day) -> ApiError {
    let fault = match &error {
        BookError::NotFound { key, .. } => {
            let codes: Vec<String> = books
                .list()
                .iter()
                .map(|book| book.head().code.clone())
                .collect();
            let example = codes.first().cloned();
            Fault::new("/book/code", key, codes.join(", "), example.as_deref())
        }
        BookError::NoSuchRevision { revision, .. } => {
            let accepted = format!("a revision that exists; {revision}");
            Fault::new(
                "/book/revision",
                revision.asked.to_string(),
                accepted,
                Some("1"),
            )
        }
        _ => return error.into(),
    };
    let mut faults = expand(sent, today).err().unwrap_or_default();
    faults.push(fault);
    ApiError::Faults(faults)
}

/// An answer as CSV.
pub fn answer_csv(text: String) -> HttpResponse {
    HttpResponse::Ok()
        .content_type("text/csv; charset=utf-8; header=present")
        .body(text)
}

/// An answer as JSON.
///
/// # Errors
/// [`ApiError::Internal`] when a value is not finite, which every room prevents.
pub fn answer_json<T: serde::Serialize>(answer: &T) -> Result<HttpResponse, ApiError> {
    let body = serde_json::to_vec(answer).map_err(ApiError::internal)?;
    Ok(HttpResponse::Ok()
        .content_type("application/json")
        .body(body))
}

/// Says that the answer depends on `Accept`.
pub fn vary(mut response: HttpResponse) -> HttpResponse {
    response
        .headers_mut()
        .append(VARY, HeaderValue::from_static("Accept"));
    response
}
