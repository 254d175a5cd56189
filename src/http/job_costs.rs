//! `POST /v1/job-costs`: what a job really cost beside its estimate.

use super::body::Sent;
use super::computing::{Given, ShowQuery};
use super::format::{Format, answer_csv, answer_json, vary};
use super::problem::{ApiError, Problem};
use crate::cost::{JobCost, JobCostRequest, tell_cost};
use crate::documents::write_job_cost;
use actix_web::{HttpResponse, post};

/// Compare a job's cost with its estimate
///
/// The estimate is the answer of `POST /v1/estimates` as it came; its sums are checked and nothing is
/// priced again. Each line is split: more or less used at the estimated price (`quantity`, for labour
/// `hours`), then a dearer or cheaper price at what was really used (`price`, `wage`). What no line
/// takes stands under `not_estimated`; a line of which nothing was sent stays `open` and is no saving. Where
/// hours name their visits, hours of visits without any stay open too, by their share of paid hours. The causes
/// add up to the variance to the cent. Where a quantity was not sent and a bill does not state it, the
/// estimated quantity is taken (`quantity_from` says so), and where there is no bill yet, the estimated price.
/// Bills count without sales tax, as the direct cost of an estimate does. In CSV: rows of kind `line`,
/// `open` and `not_estimated`.
#[utoipa::path(
    tag = "estimates",
    operation_id = "cost_job",
    params(ShowQuery),
    request_body(content = JobCostRequest),
    responses(
        (status = 200, description = "Compared.", content((JobCost = "application/json"), (String = "text/csv"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/job-costs")]
pub(super) async fn post_job_costs(
    Sent(sent): Sent<JobCostRequest>,
    given: Given,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Json, Format::Csv])?;
    let told = tell_cost(&sent)?;
    Ok(vary(match format {
        Format::Csv => answer_csv(write_job_cost(&told)),
        _ => answer_json(&told)?,
    }))
}
