//! `POST /v1/journals`: bills, payments and budgets for a ledger.

use super::body::Sent;
use super::computing::{AsksFormat, Given};
use super::format::{Format, answer_bytes, answer_json, vary};
use super::problem::{ApiError, Problem};
use crate::billing::{Journal, JournalRequest, make_journal};
use crate::documents::ledger::{
    Dialect, check_accounts, write_beancount, write_ledger, write_postings,
};
use actix_web::{HttpResponse, post};
use serde::Deserialize;
use utoipa::{IntoParams, ToSchema};

/// How a journal is wanted.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub(super) struct JournalQuery {
    /// `json`, `csv` or `text`; wins over `Accept`.
    format: Option<String>,
    /// The form of the text: `ledger` (hledger and ledger read it) or `beancount`.
    #[param(inline)]
    dialect: Option<AskedDialect>,
    /// True to begin a beancount text with directives that open its accounts.
    open: Option<bool>,
}

/// A form of text.
#[derive(Clone, Copy, Debug, Default, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
enum AskedDialect {
    #[default]
    Ledger,
    Beancount,
}

impl AsksFormat for JournalQuery {
    fn format(&self) -> Option<&str> {
        self.format.as_deref()
    }
}

/// Post bills, payments and budgets
///
/// To the accounts that you name: invoices, deposits, credit notes (as they were answered), payments, and the cost of an
/// estimate as the budget of its job. Every entry comes to zero. Only the accounts that are posted to are needed, and one
/// that is missing is a fault. In CSV one row a posting; as text in the form of
/// hledger and ledger, or of beancount with `dialect=beancount`. An entry's `id` is the same whenever the same
/// thing is posted, so that a second import can be told.
#[utoipa::path(
    tag = "documents",
    operation_id = "make_journal",
    params(JournalQuery),
    request_body = JournalRequest,
    responses(
        (status = 200, description = "The journal.", content((Journal = "application/json"), (String = "text/csv"), (String = "text/plain"))),
        (status = 400, description = "The body is not JSON, or the query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/journals")]
pub(super) async fn post_journal(
    Sent(sent): Sent<JournalRequest>,
    given: Given<JournalQuery>,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Json, Format::Csv, Format::Text])?;
    let journal = make_journal(&sent)?;
    let answer = match format {
        Format::Csv => answer_bytes(
            Format::Csv,
            write_postings(&journal).map_err(ApiError::internal)?,
        ),
        Format::Text => answer_bytes(Format::Text, write_text(&journal, &given.query)?.into()),
        _ => answer_json(&journal)?,
    };
    Ok(vary(answer))
}

fn write_text(journal: &Journal, query: &JournalQuery) -> Result<String, ApiError> {
    match query.dialect.unwrap_or_default() {
        AskedDialect::Ledger => {
            check_accounts(journal, Dialect::Ledger)?;
            Ok(write_ledger(journal))
        }
        AskedDialect::Beancount => {
            check_accounts(journal, Dialect::Beancount)?;
            Ok(write_beancount(journal, query.open.unwrap_or(false)))
        }
    }
}
