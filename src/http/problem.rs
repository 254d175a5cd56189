//! The only place that chooses status codes: every refusal as problem details (RFC 9457).
//!
//! Invariants: each kind of refusal has one row (type, title, status) in one match without a
//! wildcard; `detail` is safe to show; the cause of a 5xx is logged once, here. Absent: stack
//! traces, SQL, file paths, and any other module that names a status code for a refusal.

mod words;

use super::reason::Reason;
use crate::book::table::RowFaults;
use crate::quantity::{Fault, Faults, LISTED_AT_MOST};
use crate::sheet::SheetError;
use actix_web::{
    HttpResponse, ResponseError,
    http::{StatusCode, header},
};
use serde::Serialize;
use std::fmt;
use utoipa::ToSchema;
use words::{count, sentence};

/// Media type of every refusal.
pub const PROBLEM_JSON: &str = "application/problem+json";

/// Seconds after which a caller may try again when the service is unavailable.
const RETRY_AFTER_SECONDS: &str = "5";

/// The same when there is too much to do: that is over as soon as fewer call.
const RETRY_WHEN_OVERLOADED: &str = "2";

/// Body of every answer that refuses (RFC 9457).
#[derive(Debug, Serialize, ToSchema)]
pub struct Problem {
    /// Stable relative URI of this kind of refusal; the one member to branch on.
    #[serde(rename = "type")]
    #[schema(format = "uri-reference", pattern = "^/problems/[a-z-]+$")]
    pub kind: &'static str,
    /// The same text for every occurrence of this kind.
    pub title: &'static str,
    /// Repeats the HTTP status.
    #[schema(minimum = 400, maximum = 599)]
    pub status: u16,
    /// What happened this time, safe to show to a person.
    pub detail: String,
    /// Every fault found in the input, all at once, up to 1,000; only where there are any.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(required = false)]
    pub errors: Vec<Fault>,
    /// Every row of a table that has a fault, as `2-14, 17`, where not all faults are listed too.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bad_rows: Option<String>,
}

/// Everything the service can refuse with. `Display` is the `detail` of the problem.
#[derive(Debug, thiserror::Error)]
pub enum ApiError {
    /// The body is not what its content type says: not JSON, not CSV, empty.
    #[error("{0}")]
    Unreadable(String),
    /// The request itself is malformed outside the body, path and query.
    #[error("{0}")]
    BadRequest(String),
    /// A part of the path cannot be read.
    #[error("{0}")]
    BadPath(String),
    /// The query string cannot be read.
    #[error("{0}")]
    BadQuery(String),
    /// A key is needed, and none or a wrong one was sent.
    #[error("{0}")]
    Unauthorized(String),
    /// Understood, and not allowed to this caller.
    #[error("{0}")]
    Forbidden(String),
    /// Nothing stands at this path, or the thing named is not there.
    #[error("{0}")]
    NotFound(String),
    /// The path exists, the method does not.
    #[error("This path does not answer to {method}; it answers to {allow}.")]
    MethodNotAllowed {
        /// What was asked.
        method: String,
        /// Value of the `Allow` header.
        allow: String,
    },
    /// None of the formats the caller accepts can be given.
    #[error("{0}")]
    NotAcceptable(String),
    /// The request did not arrive in time.
    #[error("The request did not arrive whole within {seconds} s.")]
    Timeout {
        /// The limit.
        seconds: u64,
    },
    /// The same thing is being done at this moment, or was done differently.
    #[error("{0}")]
    Conflict(String),
    /// The thing has changed since the caller read it.
    #[error("{0}")]
    PreconditionFailed(String),
    /// The body is larger than this call takes.
    #[error("The body is larger than {limit} bytes, the most this call takes.")]
    TooLarge {
        /// The limit in bytes.
        limit: usize,
    },
    /// The request target is too long.
    #[error("The request target is longer than {limit} bytes.")]
    UriTooLong {
        /// The limit in bytes.
        limit: usize,
    },
    /// The body comes in a media type or a coding that this call does not read.
    #[error("{0}")]
    UnsupportedMediaType(String),
    /// Readable, with faults; all of them are listed.
    #[error("{}", count_faults(.0))]
    Faults(Faults),
    /// A figure that hangs on a price which the book does not hold.
    #[error("{0}")]
    Unpriced(String),
    /// A figure that waits for a fact.
    #[error("{0}")]
    Undetermined(String),
    /// Rows of a table have faults; the first are listed, and every row is named.
    #[error("{} in {} of the table; nothing was taken from it.", count(.0.count, "fault was found", "faults were found"), count(.0.rows.len(), "row", "rows"))]
    Rows(RowFaults),
    /// A key that was sent with another request before.
    #[error("{0}")]
    KeyUsed(String),
    /// A write that does not say which state it changes.
    #[error("{0}")]
    PreconditionRequired(String),
    /// A key has called more often than it may.
    #[error("This key has called as often as it may; it can call again in {seconds} s.")]
    TooManyRequests {
        /// Whole seconds until the next call is let in.
        seconds: u64,
    },
    /// Too many headers, or too long ones.
    #[error("{0}")]
    HeadersTooLarge(String),
    /// Our own fault; the cause goes to the log only.
    #[error("Something failed inside the service; it has been logged.")]
    Internal(#[source] anyhow::Error),
    /// Another service that was asked on the caller's behalf told what cannot be read.
    #[error("{0}")]
    PartnerUnreadable(String),
    /// Cannot be answered for the moment.
    #[error("{0}")]
    Unavailable(String),
    /// The same, told to whoever only watches: asked again and again, it is no news for the log.
    #[error("{0}")]
    NotReady(String),
    /// There is too much to do; the call was not begun.
    #[error("{0} The request was not started; try again shortly.")]
    Overloaded(&'static str),
}

/// One kind of refusal.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// Stable relative URI.
    pub kind: &'static str,
    /// Title of the kind.
    pub title: &'static str,
    /// HTTP status.
    pub status: StatusCode,
}

/// Kind, title and status of each refusal; a new variant does not compile until it has its row.
#[rustfmt::skip]
fn row(error: &ApiError) -> Row {
    use ApiError as E;
    use StatusCode as S;
    let (kind, title, status) = match error {
        E::Unreadable(_)            => ("/problems/unreadable",             "The body cannot be read",            S::BAD_REQUEST),
        E::BadRequest(_)            => ("/problems/bad-request",            "The request cannot be read",         S::BAD_REQUEST),
        E::BadPath(_)               => ("/problems/bad-path",               "The path cannot be read",            S::BAD_REQUEST),
        E::BadQuery(_)              => ("/problems/bad-query",              "The query string cannot be read",    S::BAD_REQUEST),
        E::Unauthorized(_)          => ("/problems/unauthorized",           "A valid key is needed",              S::UNAUTHORIZED),
        E::Forbidden(_)             => ("/problems/forbidden",              "Not allowed",                        S::FORBIDDEN),
        E::NotFound(_)              => ("/problems/not-found",              "Not found",                          S::NOT_FOUND),
        E::MethodNotAllowed { .. }  => ("/problems/method-not-allowed",     "The method is not allowed here",     S::METHOD_NOT_ALLOWED),
        E::NotAcceptable(_)         => ("/problems/not-acceptable",         "No acceptable format",               S::NOT_ACCEPTABLE),
        E::Timeout { .. }           => ("/problems/timeout",                "The request took too long to arrive", S::REQUEST_TIMEOUT),
        E::Conflict(_)              => ("/problems/conflict",               "Conflict with another request",      S::CONFLICT),
        E::PreconditionFailed(_)    => ("/problems/precondition-failed",    "Changed in the meantime",            S::PRECONDITION_FAILED),
        E::TooLarge { .. }          => ("/problems/too-large",              "The body is too large",              S::PAYLOAD_TOO_LARGE),
        E::UriTooLong { .. }        => ("/problems/uri-too-long",           "The request target is too long",     S::URI_TOO_LONG),
        E::UnsupportedMediaType(_)  => ("/problems/unsupported-media-type", "The media type is not read here",    S::UNSUPPORTED_MEDIA_TYPE),
        E::Faults(_)                => ("/problems/faults",                 "The input has faults",               S::UNPROCESSABLE_ENTITY),
        E::Unpriced(_)              => ("/problems/unpriced",               "A line has no price",                S::UNPROCESSABLE_ENTITY),
        E::Undetermined(_)          => ("/problems/undetermined",           "A fact is missing",                  S::UNPROCESSABLE_ENTITY),
        E::Rows(_)                  => ("/problems/faults",                 "The input has faults",               S::UNPROCESSABLE_ENTITY),
        E::KeyUsed(_)               => ("/problems/key-used",               "The key belongs to another request", S::UNPROCESSABLE_ENTITY),
        E::PreconditionRequired(_)  => ("/problems/precondition-required",  "A condition is required",            S::PRECONDITION_REQUIRED),
        E::TooManyRequests { .. }   => ("/problems/too-many-requests",      "Too many calls",                     S::TOO_MANY_REQUESTS),
        E::HeadersTooLarge(_)       => ("/problems/headers-too-large",      "The headers are too large",          S::REQUEST_HEADER_FIELDS_TOO_LARGE),
        E::Internal(_)              => ("/problems/internal",               "Internal error",                     S::INTERNAL_SERVER_ERROR),
        E::PartnerUnreadable(_)     => ("/problems/partner-unreadable",     "Another service cannot be read",     S::BAD_GATEWAY),
        E::Unavailable(_)           => ("/problems/unavailable",            "Temporarily unavailable",            S::SERVICE_UNAVAILABLE),
        E::NotReady(_)              => ("/problems/unavailable",            "Temporarily unavailable",            S::SERVICE_UNAVAILABLE),
        E::Overloaded(_)            => ("/problems/overloaded",             "The service is overloaded",          S::SERVICE_UNAVAILABLE),
    };
    Row { kind, title, status }
}

impl ApiError {
    /// A cause that a caller cannot mend; it is logged, not shown.
    pub fn internal(cause: impl Into<anyhow::Error>) -> Self {
        Self::Internal(cause.into())
    }

    /// The problem for an answer that the framework made with a bare status.
    pub fn from_status(status: StatusCode) -> Self {
        use StatusCode as S;
        match status {
            S::NOT_FOUND => Self::NotFound("Nothing is served at this path.".into()),
            S::NOT_ACCEPTABLE => Self::NotAcceptable(
                "Answers can be coded as br, gzip, deflate or identity; none is accepted.".into(),
            ),
            S::PAYLOAD_TOO_LARGE => Self::TooLarge {
                limit: super::limits::BODY_BYTES,
            },
            S::UNSUPPORTED_MEDIA_TYPE => {
                Self::UnsupportedMediaType("The body's media type is not read here.".into())
            }
            other if other.is_server_error() => {
                Self::Internal(anyhow::anyhow!("the framework answered {other}"))
            }
            other => Self::BadRequest(format!("The request was refused ({other}).")),
        }
    }

    /// The body of this refusal.
    pub fn problem(&self) -> Problem {
        let row = row(self);
        Problem {
            kind: row.kind,
            title: row.title,
            status: row.status.as_u16(),
            detail: self.to_string(),
            errors: match self {
                Self::Faults(faults) => faults.0.iter().take(LISTED_AT_MOST).cloned().collect(),
                Self::Rows(faults) => faults.told.0.clone(),
                _ => Vec::new(),
            },
            bad_rows: match self {
                Self::Rows(faults) => Some(faults.rows_text()),
                _ => None,
            },
        }
    }

    /// The header that this refusal must bring, where there is one.
    fn header(&self) -> Option<(header::HeaderName, String)> {
        match self {
            Self::Unauthorized(_) => Some((header::WWW_AUTHENTICATE, "Bearer".to_owned())),
            Self::MethodNotAllowed { allow, .. } => Some((header::ALLOW, allow.clone())),
            Self::TooManyRequests { seconds } => Some((header::RETRY_AFTER, seconds.to_string())),
            Self::Unavailable(_) | Self::NotReady(_) | Self::Conflict(_) => {
                Some((header::RETRY_AFTER, RETRY_AFTER_SECONDS.to_owned()))
            }
            Self::Overloaded(_) => Some((header::RETRY_AFTER, RETRY_WHEN_OVERLOADED.to_owned())),
            _ => None,
        }
    }
}

impl From<Faults> for ApiError {
    fn from(faults: Faults) -> Self {
        Self::Faults(faults)
    }
}

impl From<SheetError> for ApiError {
    fn from(error: SheetError) -> Self {
        match error.row() {
            None => Self::Unreadable(sentence(&error.to_string())),
            Some(row) => {
                let mut faults = RowFaults::default();
                let fault = Fault::new("", error.to_string(), "a row that can be read", None);
                faults.push(row, fault.in_row(row, ""));
                Self::Rows(faults)
            }
        }
    }
}

impl ResponseError for ApiError {
    fn status_code(&self) -> StatusCode {
        row(self).status
    }

    fn error_response(&self) -> HttpResponse {
        let problem = self.problem();
        if let Self::Internal(cause) = self {
            tracing::error!(cause = %Chain(cause), "{}", problem.title);
        } else if let Self::Unavailable(detail) | Self::PartnerUnreadable(detail) = self {
            tracing::warn!(detail, "{}", problem.title);
        }
        let mut answer = HttpResponse::build(self.status_code());
        if let Some(header) = self.header() {
            answer.insert_header(header);
        }
        let reason = Reason::of(&problem);
        let mut answer = answer.content_type(PROBLEM_JSON).json(problem);
        answer.extensions_mut().insert(reason);
        answer
    }
}

/// An error and all its causes on one line.
struct Chain<'a>(&'a anyhow::Error);

impl fmt::Display for Chain<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:#}", self.0)
    }
}

fn count_faults(faults: &Faults) -> String {
    match faults.0.len() {
        1 => "One fault was found in the input; it is listed under errors.".to_owned(),
        found if found > LISTED_AT_MOST => format!(
            "More faults were found in the input than are listed; the first {LISTED_AT_MOST} are, under errors."
        ),
        many => format!("{many} faults were found in the input; all are listed under errors."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_are_listed_and_counted() {
        let fault = |at: &str| Fault::new(at, "12", "a length with its unit", Some("12 in"));
        let problem = ApiError::from(Faults(vec![fault("/a"), fault("/b")])).problem();
        assert_eq!(problem.status, 422);
        assert_eq!(problem.errors.len(), 2);
        assert!(problem.detail.starts_with("2 faults"));
    }

    #[test]
    fn no_more_faults_are_listed_than_anybody_reads() {
        let fault = Fault::new("/a", "12", "a length with its unit", Some("12 in"));
        let problem = ApiError::from(Faults(vec![fault; LISTED_AT_MOST + 1])).problem();
        assert_eq!(problem.errors.len(), LISTED_AT_MOST);
        assert!(
            problem.detail.starts_with("More faults"),
            "{}",
            problem.detail
        );
    }

    #[test]
    fn the_cause_of_an_internal_error_is_not_shown() {
        let error = ApiError::internal(anyhow::anyhow!("SELECT secret FROM /var/lib/book.db"));
        let shown = serde_json::to_string(&error.problem()).expect("a problem is JSON");
        assert!(!shown.contains("secret"), "{shown}");
    }

    #[test]
    fn refusals_bring_the_header_their_status_asks_for() {
        let header = |error: ApiError, name: header::HeaderName| {
            let answer = error.error_response();
            answer
                .headers()
                .get(name)
                .map(|v| v.to_str().unwrap_or("").to_owned())
        };
        let not_allowed = ApiError::MethodNotAllowed {
            method: "PUT".into(),
            allow: "GET".into(),
        };
        assert_eq!(header(not_allowed, header::ALLOW).as_deref(), Some("GET"));
        let unavailable = ApiError::Unavailable("later".into());
        assert_eq!(
            header(unavailable, header::RETRY_AFTER).as_deref(),
            Some("5")
        );
        let overloaded = header(ApiError::Overloaded("Full."), header::RETRY_AFTER);
        assert_eq!(overloaded.as_deref(), Some("2"));
        let no_key = ApiError::Unauthorized("no key".into());
        assert_eq!(
            header(no_key, header::WWW_AUTHENTICATE).as_deref(),
            Some("Bearer")
        );
    }
}
