//! `GET /v1/cell/{figure}`: one figure of one job, as plain text.
//!
//! Invariant: the text is the value and nothing else, without an end of line.

use super::ask::{Asked, accepted_names};
use super::{ApiError, Format, Good, Problem, Today, send};
use crate::book::Books;
use crate::book::without_keys;
use crate::figures::{Figure, NotKnown};
use crate::http::format::choose_format;
use crate::meter::Meter;
use crate::rules::RuleSets;
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get};

/// One figure of one job
///
/// For a spreadsheet's cell: the job is a line of the short form, one query parameter a column. The
/// answer is one value: a number with a point and without unit or thousands mark, or a text on one
/// line. A figure that cannot be known is a refusal (`/problems/unpriced`,
/// `/problems/undetermined`), never 0. With `errors=inline` every refusal, those of keys and rates
/// too, becomes status 200 and the text `#ERR` with the reason, for programs that hide what a
/// refusal says. HEAD answers 200 without computing anything, and neither HEAD nor OPTIONS needs a key.
#[utoipa::path(
    tag = "spreadsheets",
    operation_id = "get_cell",
    params(("figure" = String, Path, description = "Name of the figure; `GET /v1/figures` lists them.", example = "total")),
    responses(
        (status = 200, description = "The value; or `#ERR` and a reason, where `errors=inline` asks for that.", content((String = "text/plain")),
            headers(
                ("ETag" = String, description = "Weak: the fingerprint and the figure."),
                ("Cache-Control" = String, description = "`private, max-age=60`; `no-store` for a reason."),
                ("Crossfall-Book-Age" = i64, description = "Seconds since the price book in memory was last seen to be the database's."),
            )),
        (status = 304, description = "The value is what `If-None-Match` names."),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such figure; `detail` names near ones.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "Text is not accepted.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "The job has faults, or the figure cannot be known.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/cell/{figure}")]
pub(super) async fn get_cell(
    request: HttpRequest,
    name: Path<String>,
    (books, rules, today, meter): (Data<Books>, Data<RuleSets>, Data<Today>, Data<Meter>),
) -> Result<HttpResponse, ApiError> {
    let figure = Figure::named(&name).ok_or_else(|| no_figure(&name))?;
    let mut asked = Asked::of(request.query_string(), &["errors", "format"])?;
    let offered = [Format::Text];
    let format = choose_format(asked.option("format"), request.headers(), &offered)?;
    asked.choice("errors", &["problem", "inline"]);
    let priced = asked.estimate((&books, &rules, &today, &meter), figure.needs_unknowns())?;
    let estimate = &priced.estimate;
    let shown = figure
        .of(estimate)
        .map_err(|why| not_known(figure.name, why))?;
    let good = Good {
        content_type: format.content_type(),
        body: shown.as_str().to_owned(),
        book_age: priced.book_age,
    };
    Ok(send(&request, (&estimate.fingerprint, figure.name), good))
}

fn no_figure(name: &str) -> ApiError {
    let shown: String = without_keys(name).chars().take(60).collect();
    ApiError::NotFound(format!(
        "No figure is named \"{shown}\"; write {}.",
        accepted_names(name)
    ))
}

fn not_known(name: &str, why: NotKnown) -> ApiError {
    let detail = format!("{name} is not known: {}.", why.why());
    match why {
        NotKnown::Unpriced(_) => ApiError::Unpriced(detail),
        NotKnown::Undetermined(_) => ApiError::Undetermined(detail),
    }
}
