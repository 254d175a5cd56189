//! `POST /v1/crew-hours`: who works how long, on which days.

use super::answer::CrewHoursAnswer;
use super::body::Sent;
use super::computing::{Given, ShowQuery};
use super::format::{Format, answer_csv, answer_json, vary};
use super::problem::{ApiError, Problem};
use crate::documents::write_tasks;
use crate::estimate::{choose, work_out};
use crate::job::{Assumption, Job, JobRequest};
use actix_web::{HttpResponse, post};
use serde::Serialize;
use utoipa::ToSchema;

/// Hours of a job.
#[derive(Debug, Serialize, ToSchema)]
pub struct CrewHoursResponse {
    /// Name of the job, as sent.
    pub name: String,
    /// Tasks, visits, days.
    pub crew_hours: CrewHoursAnswer,
    /// Every default used.
    pub assumptions: Vec<Assumption>,
    /// The job with every question answered; with `?job=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    pub job: Option<Job>,
}

/// Plan crew hours
///
/// Each task as set-up plus quantity times rate, the visits with people, hours on site, waiting,
/// travel and what is paid, and the days. In CSV: one row a task.
#[utoipa::path(
    tag = "crew",
    operation_id = "planCrewHours",
    params(ShowQuery),
    request_body = JobRequest,
    responses(
        (status = 200, description = "Planned.", content((CrewHoursResponse = "application/json"), (String = "text/csv"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/crew-hours")]
pub(super) async fn post_crew_hours(
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
        return Ok(vary(answer_csv(write_tasks(&worked.hours))));
    }
    let answer = CrewHoursResponse {
        name: filled.job.name.clone(),
        crew_hours: CrewHoursAnswer::of(worked.hours, given.query.view(filled.job.units)),
        assumptions: filled.assumptions,
        job: given.query.job.unwrap_or(false).then_some(filled.job),
    };
    Ok(vary(answer_json(&answer)?))
}
