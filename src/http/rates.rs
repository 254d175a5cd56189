//! `GET /v1/rates`: what each task takes and what bends it, as data, with sources.
//!
//! Invariant: told from the rates that plan hours; an office's own stand in place only where its book is
//! named. Absent: any job, and the limits of calls (`rate`).

use super::answer::{RatesAnswer, RatesBookAnswer};
use super::format::{Format, answer_json, choose_format, vary};
use super::problem::{ApiError, Problem};
use super::today::Today;
use crate::book::Books;
use crate::crew::Rates;
use crate::quantity::System;
use actix_web::web::{Data, Query};
use actix_web::{HttpRequest, HttpResponse, get};
use serde::Deserialize;
use std::borrow::Cow;
use utoipa::IntoParams;

/// How rates are wanted.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub(super) struct RatesQuery {
    /// `json`; wins over `Accept`.
    format: Option<String>,
    /// Units of the answer; `us` when left out.
    #[serde(default)]
    #[param(inline)]
    units: System,
    /// Code of a price book, whose own rates then stand in place; the built-in ones alone when left out.
    #[param(example = "demo")]
    book: Option<String>,
    /// The revision of the book as known at which; the newest when left out.
    #[param(minimum = 1, example = 1)]
    revision: Option<i64>,
}

/// Show the crew rates
///
/// What each task takes, what bends it, and the other figures that hours are planned with, each with its
/// range and its source. With `book` the office's own rates stand in place of the built-in ones, marked
/// `own`; those hold from a revision on, not from a day.
#[utoipa::path(
    tag = "crew",
    operation_id = "list_rates",
    params(RatesQuery),
    responses(
        (status = 200, description = "Every rate.", body = RatesAnswer),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such book or revision.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/rates")]
pub(super) async fn get_rates(
    request: HttpRequest,
    query: Query<RatesQuery>,
    (books, today): (Data<Books>, Data<Today>),
) -> Result<HttpResponse, ApiError> {
    choose_format(query.format.as_deref(), request.headers(), &[Format::Json])?;
    let (rates, book) = find_rates(&query, (&books, &today))?;
    let answer = RatesAnswer::of(&rates, book, query.units);
    Ok(vary(answer_json(&answer)?))
}

fn find_rates(
    query: &RatesQuery,
    (books, today): (&Books, &Today),
) -> Result<(Cow<'static, Rates>, Option<RatesBookAnswer>), ApiError> {
    let built_in = Rates::built_in();
    let Some(code) = query.book.as_deref() else {
        return match query.revision {
            None => Ok((Cow::Borrowed(built_in), None)),
            Some(_) => Err(ApiError::BadQuery(
                "revision is of a book; name it too, like book=demo&revision=1.".to_owned(),
            )),
        };
    };
    let list = books.price_list(Some(code), query.revision, today.date())?;
    let rates = built_in.with_own(&list.own_rates(), list.book());
    let book = RatesBookAnswer {
        code: list.book().to_owned(),
        revision: list.revision(),
    };
    Ok((Cow::Owned(rates), Some(book)))
}
