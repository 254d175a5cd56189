//! `GET /v1/row`: many figures of one job, as JSON, CSV or flat XML.
//!
//! Absent: more than one job; that is a batch.

use super::ask::Asked;
use super::written::Row;
use super::{ApiError, Format, Good, Problem, Today, send};
use crate::book::Books;
use crate::figures::Figure;
use crate::http::format::choose_format;
use crate::meter::Meter;
use crate::rules::RuleSets;
use actix_web::web::Data;
use actix_web::{HttpRequest, HttpResponse, get};

/// The formats of a row; the first is the default.
pub(super) const OFFERED: [Format; 3] = [Format::Json, Format::Csv, Format::Xml];

/// What may be asked of a row.
pub(super) const OPTIONS: [&str; 4] = ["errors", "format", "figures", "header"];

/// Many figures of one job
///
/// The job is a line of the short form, one query parameter a column. JSON where nothing else is
/// accepted or asked for: `input` as sent, `figures`, `not_known` with the reasons, `assumptions`, and
/// the expanded `job`. CSV: a heading and one row, the inputs as sent before the usual figures, or
/// the `figures` asked for alone; a figure that is not known is an empty cell. XML: `row` with one
/// element each and no attribute or namespace; a figure that is not known has no element. An input
/// that is named like a figure beside it is written as `sent_` and its name. With `errors=inline`
/// every refusal becomes status 200: JSON with `status` and `note`, a CSV row of status `error`, XML
/// with `status`, `note` and `error`. HEAD answers 200 without computing anything, and neither HEAD
/// nor OPTIONS needs a key.
#[utoipa::path(
    tag = "spreadsheets",
    operation_id = "get_row",
    responses(
        (status = 200, description = "The row; or a reason, where `errors=inline` asks for that.", content((serde_json::Value = "application/json"), (String = "text/csv"), (String = "application/xml")),
            headers(
                ("ETag" = String, description = "Weak: the fingerprint and the format."),
                ("Cache-Control" = String, description = "`private, max-age=60`; `no-store` for a reason."),
                ("Crossfall-Book-Age" = i64, description = "Seconds since the price book in memory was last seen to be the database's."),
            )),
        (status = 304, description = "The row is what `If-None-Match` names."),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "The job or the list of figures has faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/row")]
pub(super) async fn get_row(
    request: HttpRequest,
    (books, rules, today, meter): (Data<Books>, Data<RuleSets>, Data<Today>, Data<Meter>),
) -> Result<HttpResponse, ApiError> {
    let mut asked = Asked::of(request.query_string(), &OPTIONS)?;
    let format = choose_format(asked.option("format"), request.headers(), &OFFERED)?;
    asked.choice("errors", &["problem", "inline"]);
    let heading = asked.choice("header", &["yes", "no"]) == "yes";
    let named = asked.figures();
    let with_inputs = named.is_none();
    let figures = named.unwrap_or_else(Figure::usual);
    let unknowns = figures.iter().any(|figure| figure.needs_unknowns());
    let priced = asked.estimate((&books, &rules, &today, &meter), unknowns)?;
    let estimate = &priced.estimate;
    let row = Row {
        inputs: &priced.inputs,
        with_inputs,
        found: figures
            .into_iter()
            .map(|figure| (figure, figure.of(estimate)))
            .collect(),
    };
    let body = match format {
        Format::Csv => row.to_csv(heading)?,
        Format::Xml => row.to_xml(),
        _ => row.to_json(estimate)?,
    };
    let good = Good {
        content_type: content_type(format, heading),
        body,
        book_age: priced.book_age,
    };
    Ok(send(&request, (&estimate.fingerprint, format.name()), good))
}

/// The media type; a CSV says whether its first row is the heading (RFC 4180, section 3).
pub(super) const fn content_type(format: Format, heading: bool) -> &'static str {
    match (format, heading) {
        (Format::Csv, false) => "text/csv; charset=utf-8; header=absent",
        (format, _) => format.content_type(),
    }
}
