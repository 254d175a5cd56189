//! `POST /v1/estimates`: all of it, priced.

use super::answer::EstimateAnswer;
use super::body::Sent;
use super::computing::{Given, ShowQuery, estimate_brief};
use super::format::{Format, answer_csv, answer_json, tell_book_age, vary};
use super::metrics::{note_faults, note_job};
use super::problem::{ApiError, Problem};
use crate::documents::write_price_lines;
use crate::estimate::Brief;
use crate::job::JobRequest;
use crate::meter::Meter;
use actix_web::{HttpResponse, post, web::Data};

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
    sent: Result<Sent<JobRequest>, ApiError>,
    given: Given,
    meter: Data<Meter>,
) -> Result<HttpResponse, ApiError> {
    let Sent(sent) = note_faults(&meter, sent)?;
    let format = given.choose(&[Format::Json, Format::Csv])?;
    let brief = Brief {
        detail: given.query.detail(format),
        ..Brief::from(sent)
    };
    let priced = estimate_brief(brief, &given.tables(), given.today());
    let estimate = note_job(&meter, priced)?;
    let response = if format == Format::Csv {
        answer_csv(write_price_lines(&estimate.priced))
    } else {
        let view = given.query.view(estimate.job.units);
        let with_job = given.query.job.unwrap_or(false);
        answer_json(&EstimateAnswer::of(estimate, view, with_job))?
    };
    Ok(vary(tell_book_age(response, given.book_age())))
}
