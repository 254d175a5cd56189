//! `POST /v1/estimates`: all of it, priced.

use super::answer::EstimateAnswer;
use super::body::Sent;
use super::computing::{Format, Prepared, ShowQuery, answer_csv, answer_json, vary};
use super::problem::{ApiError, Problem};
use super::today::Today;
use crate::book::Books;
use crate::documents::write_price_lines;
use crate::estimate::estimate;
use crate::job::JobRequest;
use actix_web::http::header::{HeaderName, HeaderValue};
use actix_web::web::{Data, Query};
use actix_web::{HttpRequest, HttpResponse, post};

/// Price a ramp
///
/// The whole flow: geometry, rules, materials, crew hours, price. `headline` comes first and holds
/// the ten things to read; everything it rests on follows. In CSV: one row a price line.
#[utoipa::path(
    tag = "estimates",
    operation_id = "estimate",
    params(ShowQuery),
    request_body(content = JobRequest, examples(
        ("straight" = (summary = "A straight ramp with a door at its head", value = json!({
            "name": "Branch library, side entrance (invented)",
            "ramp": {"path": [
                {"kind": "landing"},
                {"kind": "run", "rise": "24 in", "length": "27 ft"},
                {"kind": "landing", "door": {"edge": "end", "beyond_latch": "20 in"}}
            ]}
        })))
    )),
    responses(
        (status = 200, description = "Priced; `complete` is false while a line has no price.", content((EstimateAnswer = "application/json"), (String = "text/csv")),
            headers(("Crossfall-Book-Age" = i64, description = "Seconds since the price book in memory was last seen to be the database's."))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/estimates")]
pub(super) async fn post_estimate(
    request: HttpRequest,
    Sent(sent): Sent<JobRequest>,
    Query(query): Query<ShowQuery>,
    books: Data<Books>,
    today: Data<Today>,
) -> Result<HttpResponse, ApiError> {
    let format = query.choose(request.headers(), &[Format::Json, Format::Csv])?;
    let prepared = Prepared::of(sent, &books, &today)?;
    let estimate = estimate(prepared.sent.clone(), prepared.today, prepared.with())?;
    let mut response = match format {
        Format::Csv => answer_csv(write_price_lines(&estimate.priced)),
        Format::Json => {
            let view = query.view(estimate.job.units);
            answer_json(&EstimateAnswer::of(
                &estimate,
                view,
                query.job.unwrap_or(false),
            ))?
        }
    };
    let age = HeaderValue::from(books.age().as_secs());
    response
        .headers_mut()
        .insert(HeaderName::from_static("crossfall-book-age"), age);
    Ok(vary(response))
}
