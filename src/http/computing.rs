//! What every computing call does before it computes: find the book, collect every fault, choose
//! the format of the answer.
//!
//! Invariants: the book a job names must be there even where the call needs no price; faults of the
//! book and of the job are told together.

use super::answer::View;
use super::problem::ApiError;
use super::today::Today;
use crate::book::{Asked, BookError, Books, Frozen};
use crate::catalog::{Catalog, PriceList};
use crate::crew::Rates;
use crate::estimate::{Brief, Estimate, With, asked_book, estimate};
use crate::job::{Day, Expanded, JobRequest, expand};
use crate::quantity::{Fault, System, pointer_part};
use crate::rules::RuleSets;
use crate::sheet::{Cell, CsvWriter, Dialect};
use crate::takeoff::Detail;
use actix_web::dev::Payload;
use actix_web::http::header::{ACCEPT, HeaderMap, HeaderName, HeaderValue, VARY};
use actix_web::web::{Data, Query};
use actix_web::{FromRequest, HttpRequest, HttpResponse};
use serde::Deserialize;
use std::future::{Ready, ready};
use std::sync::Arc;
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
    /// A workbook.
    Xlsx,
    /// Flat XML.
    Xml,
    /// One value as text.
    Text,
    /// One JSON object a line.
    Lines,
}

impl Format {
    /// How a query names it; also the ending of a file.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Json => "json",
            Self::Csv => "csv",
            Self::Xlsx => "xlsx",
            Self::Xml => "xml",
            Self::Text => "text",
            Self::Lines => "ndjson",
        }
    }

    const fn media_type(self) -> &'static str {
        match self {
            Self::Json => "application/json",
            Self::Csv => "text/csv",
            Self::Xlsx => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            Self::Xml => "application/xml",
            Self::Text => "text/plain",
            Self::Lines => "application/x-ndjson",
        }
    }

    /// The media type with its parameters.
    pub const fn content_type(self) -> &'static str {
        match self {
            Self::Csv => "text/csv; charset=utf-8; header=present",
            Self::Xml => "application/xml; charset=utf-8",
            Self::Text => "text/plain; charset=utf-8",
            Self::Json | Self::Xlsx | Self::Lines => self.media_type(),
        }
    }
}

impl ShowQuery {
    /// The format to answer in, of those offered; the first is the default.
    ///
    /// # Errors
    /// [`ApiError::NotAcceptable`] when none fits.
    pub fn choose(&self, headers: &HeaderMap, offered: &[Format]) -> Result<Format, ApiError> {
        choose_format(self.format.as_deref(), headers, offered)
    }

    /// How much of the figures is explained: a CSV shows the working of every line.
    pub fn detail(&self, format: Format) -> Detail {
        match (format, self.working) {
            (Format::Csv, _) | (_, Some(true)) => Detail::Worked,
            _ => Detail::Described,
        }
    }

    /// How values are shown.
    pub fn view(&self, system: System) -> View {
        View {
            system,
            working: self.working.unwrap_or(false),
        }
    }
}

/// The format that a query or else `Accept` asks for, of those offered; the first is the default.
///
/// # Errors
/// [`ApiError::NotAcceptable`] when none fits.
pub fn choose_format(
    asked: Option<&str>,
    headers: &HeaderMap,
    offered: &[Format],
) -> Result<Format, ApiError> {
    let refusal = || {
        let names: Vec<&str> = offered.iter().map(|format| format.name()).collect();
        ApiError::NotAcceptable(format!("This call answers in {}.", names.join(" or ")))
    };
    if let Some(asked) = asked {
        let found = offered.iter().find(|format| format.name() == asked);
        return found.copied().ok_or_else(refusal);
    }
    let accepted = headers.get(ACCEPT).and_then(|value| value.to_str().ok());
    let fits = |format: &Format| accepts(accepted.unwrap_or("*/*"), format.media_type());
    let welcome = offered.iter().copied().filter(|format| fits(format) > 0.0);
    welcome
        .max_by(|a, b| {
            // The earlier of two equally welcome formats wins.
            let by = fits(a).total_cmp(&fits(b));
            by.then(std::cmp::Ordering::Greater)
        })
        .ok_or_else(refusal)
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

/// What a computing call is given beside its body.
pub struct Given {
    /// How the answer is wanted.
    pub query: ShowQuery,
    headers: HeaderMap,
    books: Data<Books>,
    rules: Arc<RuleSets>,
    today: Data<Today>,
}

/// What every job is computed with, as it stands at one moment.
#[derive(Clone, Debug)]
pub struct Tables {
    /// The price books.
    pub books: Frozen,
    /// The rule sets.
    pub rules: Arc<RuleSets>,
}

impl Tables {
    /// As they stand now.
    pub fn now(books: &Books, rules: &Data<RuleSets>) -> Self {
        Self {
            books: books.freeze(),
            rules: Arc::clone(rules),
        }
    }
}

impl Given {
    /// The format to answer in; see [`ShowQuery::choose`].
    ///
    /// # Errors
    /// [`ApiError::NotAcceptable`] when none fits.
    pub fn choose(&self, offered: &[Format]) -> Result<Format, ApiError> {
        self.query.choose(&self.headers, offered)
    }

    /// The job, its book found; see [`Prepared::of`].
    ///
    /// # Errors
    /// Those of [`Prepared::of`].
    pub fn prepare(&self, sent: JobRequest) -> Result<Prepared, ApiError> {
        let tables = Tables {
            books: self.books.freeze(),
            rules: self.rules.clone(),
        };
        Prepared::of(sent, &tables, Day(self.today.date()))
    }

    /// Seconds since the book in memory was last seen to be the database's.
    pub fn book_age(&self) -> u64 {
        self.books.age().as_secs()
    }

    fn of(request: &HttpRequest) -> Result<Self, ApiError> {
        let query = Query::<ShowQuery>::from_query(request.query_string())
            .map_err(|error| ApiError::BadQuery(error.to_string()))?;
        let missing = || ApiError::internal(anyhow::anyhow!("started without a price book"));
        Ok(Self {
            query: query.into_inner(),
            headers: request.headers().clone(),
            books: request
                .app_data::<Data<Books>>()
                .ok_or_else(missing)?
                .clone(),
            rules: request
                .app_data::<Data<RuleSets>>()
                .ok_or_else(missing)?
                .clone()
                .into_inner(),
            today: request
                .app_data::<Data<Today>>()
                .ok_or_else(missing)?
                .clone(),
        })
    }
}

impl FromRequest for Given {
    type Error = ApiError;
    type Future = Ready<Result<Self, ApiError>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        ready(Self::of(request))
    }
}

/// A job whose book was found and whose questions are answered.
pub struct Prepared {
    /// The job as sent.
    pub sent: JobRequest,
    /// Its price list.
    pub list: PriceList,
    /// The rule sets.
    pub rules: Arc<RuleSets>,
    /// Today, where the service stands.
    pub today: Day,
}

impl Prepared {
    /// Finds the book and makes sure that the job has no fault.
    ///
    /// # Errors
    /// [`ApiError::Faults`] with those of the book and of the job; what the book cannot answer.
    pub fn of(sent: JobRequest, tables: &Tables, today: Day) -> Result<Self, ApiError> {
        let asked = asked_book(&sent, today);
        let list = tables.books.priced(Asked {
            book: asked.code.as_deref(),
            revision: asked.revision,
            inherited: &asked.inherited,
            as_of: asked.as_of,
        });
        match list {
            Ok(list) => Ok(Self {
                sent,
                list: list.wanting(asked.wanted),
                rules: tables.rules.clone(),
                today,
            }),
            Err(error) => Err(refuse(error, sent, &tables.books, today)),
        }
    }

    /// What to compute with.
    pub fn with(&self) -> With<'_> {
        With {
            rules: &self.rules,
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
fn refuse(error: BookError, sent: JobRequest, books: &Frozen, today: Day) -> ApiError {
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
        BookError::NoSuchRevision { book, revision } => {
            let accepted = format!("a revision that exists; {revision}");
            let inherited = sent.book.as_ref().and_then(|sent| sent.inherited.as_ref());
            let named = inherited.is_some_and(|named| named.contains_key(book));
            let at = match named {
                true => format!("/book/inherited/{}", pointer_part(book)),
                false => "/book/revision".to_owned(),
            };
            Fault::new(at, revision.asked.to_string(), accepted, Some("1"))
        }
        BookError::NotInherited { key } => Fault::new(
            format!("/book/inherited/{}", pointer_part(key)),
            "a revision",
            "books that this one inherits from, and no others",
            None,
        ),
        _ => return error.into(),
    };
    let mut faults = expand(sent, today).err().unwrap_or_default();
    faults.push(fault);
    ApiError::Faults(faults)
}

/// The whole answer for a job, however it was sent.
///
/// # Errors
/// Those of [`Prepared::of`], and all faults of the job.
pub fn estimate_brief(brief: Brief, tables: &Tables, today: Day) -> Result<Estimate, ApiError> {
    let prepared = Prepared::of(brief.sent, tables, today)?;
    let brief = Brief {
        sent: prepared.sent.clone(),
        ..brief
    };
    Ok(estimate(brief, today, prepared.with())?)
}

/// Rows of text as CSV.
///
/// # Errors
/// [`ApiError::Internal`] when it cannot be written, which writing into memory prevents.
pub fn write_texts(rows: &[Vec<&str>]) -> Result<String, ApiError> {
    let mut writer = CsvWriter::new(Vec::new(), Dialect::default());
    for row in rows {
        // As text, so that an amount keeps its decimals.
        let cells: Vec<Cell<'_>> = row.iter().map(|text| Cell::Text(text)).collect();
        writer.write(&cells).map_err(ApiError::internal)?;
    }
    let bytes = writer.finish().map_err(ApiError::internal)?;
    String::from_utf8(bytes).map_err(ApiError::internal)
}

/// An answer as CSV.
pub fn answer_csv(text: String) -> HttpResponse {
    HttpResponse::Ok()
        .content_type("text/csv; charset=utf-8; header=present")
        .body(text)
}

/// Bytes of most answers, so that none is moved while it grows.
const USUAL_BYTES: usize = 96 * 1024;

/// An answer as JSON.
///
/// # Errors
/// [`ApiError::Internal`] when a value is not finite, which every room prevents.
pub fn answer_json<T: serde::Serialize>(answer: &T) -> Result<HttpResponse, ApiError> {
    let mut body = Vec::with_capacity(USUAL_BYTES);
    serde_json::to_writer(&mut body, answer).map_err(ApiError::internal)?;
    Ok(HttpResponse::Ok()
        .content_type("application/json")
        .body(body))
}

/// Says how old the book in memory is: seconds since it was last seen to be the database's.
pub fn tell_book_age(mut response: HttpResponse, seconds: u64) -> HttpResponse {
    response.headers_mut().insert(
        HeaderName::from_static("crossfall-book-age"),
        HeaderValue::from(seconds),
    );
    response
}

/// Says that the answer depends on `Accept`.
pub fn vary(mut response: HttpResponse) -> HttpResponse {
    response
        .headers_mut()
        .append(VARY, HeaderValue::from_static("Accept"));
    response
}
