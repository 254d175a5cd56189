//! `GET /v1/audit`: what was written by whom.
//!
//! Invariants: newest first; only keys of role `admin` get here. Absent: keys and their hashes, and
//! any way to change what was written.

use super::problem::{ApiError, Problem};
use crate::book::{AccessStore, AuditPage, AuditRow};
use actix_web::{
    HttpResponse, get,
    web::{Data, Query},
};
use chrono::SecondsFormat;
use serde::{Deserialize, Serialize};
use utoipa::{IntoParams, ToSchema};

/// Rows of a page, at most and when the caller does not say.
const PAGE: u32 = 1_000;

/// Which rows are meant.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub(super) struct AuditQuery {
    /// Only rows that are older than the one with this id.
    after: Option<String>,
    /// Rows at most; 1,000 when left out.
    #[param(minimum = 1, maximum = 1000)]
    limit: Option<u32>,
}

/// What was written, newest first.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct AuditResponse {
    /// Newest first.
    rows: Vec<AuditEntry>,
    /// What to send as `after` for the following page; null on the last.
    next: Option<String>,
}

/// One thing that was written.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct AuditEntry {
    /// Unique.
    id: String,
    /// When.
    #[schema(format = DateTime, examples("2026-03-02T08:15:00.000Z"))]
    at: String,
    /// By whom: the id of a key, `first` for the operator's first key, `local` where no key was
    /// asked for, or `command line`.
    #[schema(examples("command line"))]
    caller: String,
    /// What was done.
    #[schema(examples("key.add"))]
    action: String,
    /// To what.
    target: String,
    /// The book of which it made a revision; null where it made none.
    book: Option<String>,
    /// The revision that it made.
    #[schema(minimum = 1)]
    revision: Option<i64>,
    /// Id of the request, as in the header `X-Request-Id` of its answer.
    request: Option<String>,
}

impl From<AuditRow> for AuditEntry {
    fn from(row: AuditRow) -> Self {
        let (book, revision) = row.revision.unzip();
        Self {
            id: row.id,
            at: row.at.to_rfc3339_opts(SecondsFormat::Millis, true),
            caller: row.caller,
            action: row.action,
            target: row.target,
            book,
            revision,
            request: row.request,
        }
    }
}

/// What was written by whom
///
/// Newest first; `next` is what to send as `after` for the following page, and is null on the last.
#[utoipa::path(
    tag = "access",
    params(AuditQuery),
    responses(
        (status = 200, description = "Rows, newest first.", body = AuditResponse),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "The database does not answer.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/audit")]
pub(super) async fn get_audit(
    access: Data<dyn AccessStore>,
    query: Query<AuditQuery>,
) -> Result<HttpResponse, ApiError> {
    let limit = query.limit.unwrap_or(PAGE);
    if !(1..=PAGE).contains(&limit) {
        let detail = format!("limit takes a whole number from 1 to {PAGE}; found {limit}.");
        return Err(ApiError::BadQuery(detail));
    }
    // One more than asked for tells whether there is a following page.
    let after = query.after.as_deref();
    let page = AuditPage {
        after,
        limit: limit + 1,
    };
    let mut rows = access.audit(page).await?;
    let more = rows.len() > limit as usize;
    rows.truncate(limit as usize);
    let next = rows.last().filter(|_| more).map(|row| row.id.clone());
    let rows = rows.into_iter().map(AuditEntry::from).collect();
    Ok(HttpResponse::Ok().json(AuditResponse { rows, next }))
}
