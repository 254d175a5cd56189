//! What every computing call does before it computes: find the book, collect every fault.
//!
//! Invariants: the book a job names must be there even where the call needs no price; faults of the
//! book and of the job are told together.

use super::answer::View;
use super::extract::bad_query;
use super::format::{Format, choose_format};
use super::problem::ApiError;
use super::today::Today;
use crate::book::{Asked, BookError, Books, Frozen};
use crate::catalog::{Catalog, PriceList, Wanted};
use crate::crew::Rates;
use crate::estimate::{AskedBook, Brief, Estimate, With, asked_book, estimate};
use crate::job::{BookRequest, Day, Expanded, JobRequest, expand};
use crate::quantity::{Fault, System, pointer_part};
use crate::rules::{RuleSets, check_names};
use crate::takeoff::Detail;
use actix_web::dev::Payload;
use actix_web::http::header::HeaderMap;
use actix_web::web::{Data, Query};
use actix_web::{FromRequest, HttpRequest};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use std::future::{Ready, ready};
use std::sync::Arc;
use utoipa::IntoParams;

/// How the answer is wanted.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct ShowQuery {
    /// `json` or, where offered, `csv` or `svg`; wins over `Accept`.
    pub format: Option<String>,
    /// True to explain each figure in words and numbers.
    pub working: Option<bool>,
    /// True to return the job with every question answered.
    pub job: Option<bool>,
}

impl ShowQuery {
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

/// What a computing call is given beside its body.
pub struct Given<Q = ShowQuery> {
    /// How the answer is wanted.
    pub query: Q,
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

    /// The price list that was asked for.
    ///
    /// # Errors
    /// The book, its revision or its day is not there.
    pub fn priced(&self, asked: AskedBook) -> Result<PriceList, BookError> {
        let list = self.books.priced(Asked {
            book: asked.code.as_deref(),
            revision: asked.revision,
            inherited: &asked.inherited,
            as_of: asked.as_of,
        });
        Ok(list?.wanting(asked.wanted))
    }
}

/// A query that may ask for a format.
pub trait AsksFormat {
    /// The format asked for.
    fn format(&self) -> Option<&str>;
}

impl AsksFormat for ShowQuery {
    fn format(&self) -> Option<&str> {
        self.format.as_deref()
    }
}

impl<Q: AsksFormat> Given<Q> {
    /// The format to answer in, of those offered; the first is the default.
    ///
    /// # Errors
    /// [`ApiError::NotAcceptable`] when none fits.
    pub fn choose(&self, offered: &[Format]) -> Result<Format, ApiError> {
        choose_format(self.query.format(), &self.headers, offered)
    }
}

impl<Q> Given<Q> {
    /// What every job is computed with, as it stands now.
    pub fn tables(&self) -> Tables {
        Tables {
            books: self.books.freeze(),
            rules: self.rules.clone(),
        }
    }

    /// Today, where the service stands.
    pub fn today(&self) -> Day {
        Day(self.today.date())
    }
}

impl<Q: DeserializeOwned> Given<Q> {
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

    /// The price list that a `book` section asks for, or what is wrong with that section.
    ///
    /// # Errors
    /// What the book cannot answer and the caller cannot mend.
    pub fn price_list(
        &self,
        book: Option<&BookRequest>,
    ) -> Result<Result<PriceList, Fault>, ApiError> {
        let tables = Tables {
            books: self.books.freeze(),
            rules: self.rules.clone(),
        };
        let sent = book.cloned().unwrap_or_default();
        let wanted = Wanted {
            escalate: sent.escalate.unwrap_or(false),
            ..Wanted::default()
        };
        match tables.priced(AskedBook::of(sent, Day(self.today.date()), wanted)) {
            Ok(list) => Ok(Ok(list)),
            Err(error) => tell_book(error, book, &tables).map(Err),
        }
    }

    /// Seconds since the book in memory was last seen to be the database's.
    pub fn book_age(&self) -> u64 {
        self.books.age().as_secs()
    }

    fn of(request: &HttpRequest) -> Result<Self, ApiError> {
        let query = Query::<Q>::from_query(request.query_string())
            .map_err(|error| bad_query(&error, request.query_string()))?;
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

impl<Q: DeserializeOwned + 'static> FromRequest for Given<Q> {
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
        match tables.priced(asked_book(&sent, today)) {
            Ok(list) => Ok(Self {
                sent,
                list,
                rules: tables.rules.clone(),
                today,
            }),
            Err(error) => Err(refuse(error, sent, tables, today)),
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
            self.with(),
        )?)
    }
}

/// A fault of the book, and with it those of the rest of the job.
fn refuse(error: BookError, sent: JobRequest, tables: &Tables, today: Day) -> ApiError {
    let fault = match tell_book(error, sent.book.as_ref(), tables) {
        Ok(fault) => fault,
        Err(other) => return other,
    };
    let named = sent.site.as_ref().and_then(|site| site.rule_sets.clone());
    let strangers = check_names(&named.unwrap_or_default(), &tables.rules);
    let mut faults = expand(sent, today).err().unwrap_or_default();
    faults.0.extend(strangers.0);
    faults.push(fault);
    ApiError::Faults(faults)
}

/// What is wrong with a `book` section.
///
/// # Errors
/// What the caller cannot mend there.
fn tell_book(
    error: BookError,
    sent: Option<&BookRequest>,
    tables: &Tables,
) -> Result<Fault, ApiError> {
    Ok(match &error {
        BookError::NotFound { key, .. } => {
            let codes: Vec<String> = tables
                .books
                .list()
                .iter()
                .map(|book| book.head().code.clone())
                .collect();
            let example = codes.first().cloned();
            Fault::new("/book/code", key, codes.join(", "), example.as_deref())
        }
        BookError::NoSuchRevision { book, revision } => {
            let accepted = format!("a revision that exists; {revision}");
            let inherited = sent.and_then(|sent| sent.inherited.as_ref());
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
        _ => return Err(error.into()),
    })
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
