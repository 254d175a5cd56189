//! `POST /v1/takeoff`: what to buy.

use super::answer::TakeoffAnswer;
use super::body::Sent;
use super::computing::{Given, ShowQuery};
use super::format::{Format, answer_csv, answer_json, vary};
use super::problem::{ApiError, Problem};
use crate::documents::write_takeoff_lines;
use crate::estimate::{choose, work_out};
use crate::job::{Assumption, Job, JobRequest};
use actix_web::{HttpResponse, post};
use serde::Serialize;
use utoipa::ToSchema;

/// Materials of a job.
#[derive(Debug, Serialize, ToSchema)]
pub struct TakeoffResponse {
    /// Name of the job, as sent.
    pub name: String,
    /// Materials.
    pub takeoff: TakeoffAnswer,
    /// Every default used.
    pub assumptions: Vec<Assumption>,
    /// The job with every question answered; with `?job=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    pub job: Option<Job>,
}

/// Take off materials
///
/// Every material of the new work, net and as it must be ordered, with cut lists, truck loads and,
/// with `?working=true`, how each figure came about. In CSV: one row a line, with its working.
#[utoipa::path(
    tag = "takeoff",
    operation_id = "takeOff",
    params(ShowQuery),
    request_body = JobRequest,
    responses(
        (status = 200, description = "Taken off.", content((TakeoffResponse = "application/json"), (String = "text/csv"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/takeoff")]
pub(super) async fn post_takeoff(
    Sent(sent): Sent<JobRequest>,
    given: Given,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Json, Format::Csv])?;
    let prepared = given.prepare(sent)?;
    let filled = prepared.fill()?;
    let chosen = choose(&filled.job, prepared.with());
    let detail = given.query.detail(format);
    let worked = work_out(&filled.job, chosen.with(prepared.with()), detail);
    if format == Format::Csv {
        return Ok(vary(answer_csv(write_takeoff_lines(&worked.takeoff))));
    }
    let answer = TakeoffResponse {
        name: filled.job.name.clone(),
        takeoff: TakeoffAnswer::of(worked.takeoff, given.query.view(filled.job.units)),
        assumptions: filled.assumptions,
        job: given.query.job.unwrap_or(false).then_some(filled.job),
    };
    Ok(vary(answer_json(&answer)?))
}
