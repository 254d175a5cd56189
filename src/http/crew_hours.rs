//! `POST /v1/crew-hours`: who works how long, on which days.

use super::answer::CrewHoursAnswer;
use super::body::Sent;
use super::computing::{Given, ShowQuery};
use super::drawings::title_of;
use super::format::{Format, answer_csv, answer_json, vary};
use super::problem::{ApiError, Problem};
use crate::crew::CrewHours;
use crate::documents::drawing::{draw_day_plan, write_svg};
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
/// travel and what is paid, and the days. In CSV: one row a task. As SVG: the visits as bars over the days,
/// each as long as the hours on site, with the days when the entrance is closed; long waits are cut short.
#[utoipa::path(
    tag = "crew",
    operation_id = "planCrewHours",
    params(ShowQuery),
    request_body = JobRequest,
    responses(
        (status = 200, description = "Planned.", content((CrewHoursResponse = "application/json"), (String = "text/csv"), (String = "image/svg+xml"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no day to draw: the job leaves nothing to this crew.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/crew-hours")]
pub(super) async fn post_crew_hours(
    Sent(sent): Sent<JobRequest>,
    given: Given,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Json, Format::Csv, Format::Svg])?;
    let prepared = given.prepare(sent)?;
    let filled = prepared.fill()?;
    let chosen = choose(&filled.job, prepared.with());
    let detail = given.query.detail(format);
    let worked = work_out(&filled.job, chosen.with(prepared.with()), detail);
    if format == Format::Csv {
        return Ok(vary(answer_csv(write_tasks(&worked.hours))));
    }
    if format == Format::Svg {
        return answer_picture(&filled.job, &worked.hours);
    }
    let answer = CrewHoursResponse {
        name: filled.job.name.clone(),
        crew_hours: CrewHoursAnswer::of(worked.hours, given.query.view(filled.job.units)),
        assumptions: filled.assumptions,
        job: given.query.job.unwrap_or(false).then_some(filled.job),
    };
    Ok(vary(answer_json(&answer)?))
}

/// The days as a picture.
fn answer_picture(job: &Job, hours: &CrewHours) -> Result<HttpResponse, ApiError> {
    let page = draw_day_plan(hours, job.crew.day, &title_of(job, None));
    let none = "This job leaves nothing to this crew, so that there is no day to draw.";
    let page = page.ok_or_else(|| ApiError::NotFound(none.to_owned()))?;
    let content = Format::Svg.content_type();
    let answer = HttpResponse::Ok()
        .content_type(content)
        .body(write_svg(&page));
    Ok(vary(answer))
}
