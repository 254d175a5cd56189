//! `POST /v1/pour-plan`: on which day to pour, and how that day goes.

use super::answer::PourPlanAnswer;
use super::body::Sent;
use super::computing::{Given, ShowQuery};
use super::format::{Format, answer_json, vary};
use super::problem::{ApiError, Problem};
use crate::estimate::{ComputedWith, choose, plan_pour, work_out};
use crate::job::{Assumption, Job, JobRequest, expand_pour};
use crate::takeoff::Detail;
use actix_web::{HttpResponse, post, web};
use serde::Serialize;
use utoipa::ToSchema;

/// A pour planned by its weather.
#[derive(Debug, Serialize, ToSchema)]
pub struct PourPlanResponse {
    /// Name of the job, as sent.
    pub name: String,
    /// Days, best first.
    pub pour_plan: PourPlanAnswer,
    /// Every default used.
    pub assumptions: Vec<Assumption>,
    /// What it was computed with.
    pub computed_with: ComputedWith,
    /// Hash over the job, the weather and what they were computed with.
    pub fingerprint: String,
    /// The job with every question answered; with `?job=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    pub job: Option<Job>,
}

/// Plan the pour by its weather
///
/// Reads the job's `pour` section: the weather hour by hour (air, humidity, wind, chance of rain), and the
/// days to weigh. Each day is followed hour by hour: how warm the slab is, how fast its surface dries, when
/// it can be edged and broomed, which truck comes when, when the joints can be sawn. Its verdict is `go`,
/// `go_with` a list of what is done, with hours and dollars, or `wait`, with the reasons. Days are ranked:
/// those that go, then those that go with something, then those that wait; of equal ones the cheaper, then
/// the earlier. Dollars are beside the estimate: measures, and the crew's stay where it differs from the one
/// in mild weather. Hours are planning figures; the slab decides.
#[utoipa::path(
    tag = "pour",
    operation_id = "planPour",
    params(ShowQuery),
    request_body(content = JobRequest, examples(
        ("one mild day" = (summary = "a straight ramp on one mild day, invented", value = json!(example()))),
    )),
    responses(
        (status = 200, description = "Planned.", body = PourPlanResponse),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/pour-plan")]
pub(super) async fn post_pour_plan(
    Sent(sent): Sent<JobRequest>,
    given: Given,
) -> Result<HttpResponse, ApiError> {
    given.choose(&[Format::Json])?;
    let asked = sent.pour.clone();
    let prepared = given.prepare(sent)?;
    let filled = prepared.fill()?;
    let (pour, assumed) = expand_pour(asked, &filled.job)?;
    let shows_job = given.query.job.unwrap_or(false);
    // A month of days takes long enough to keep other calls of this worker waiting.
    let answer = web::block(move || {
        let chosen = choose(&filled.job, prepared.with());
        let with = chosen.with(prepared.with());
        let worked = work_out(&filled.job, with, Detail::Described);
        let assumptions: Vec<Assumption> = filled.assumptions.into_iter().chain(assumed).collect();
        let planned = plan_pour((&filled.job, &pour), &assumptions, (&worked, with));
        let currency = with.list.currency().code().to_owned();
        PourPlanResponse {
            name: filled.job.name.clone(),
            pour_plan: PourPlanAnswer::of((&filled.job, &pour), planned.days, currency),
            assumptions,
            computed_with: planned.computed_with,
            fingerprint: planned.fingerprint,
            job: shows_job.then_some(filled.job),
        }
    })
    .await
    .map_err(ApiError::internal)?;
    Ok(vary(answer_json(&answer)?))
}

/// A mild day, for the description.
fn example() -> serde_json::Value {
    let hours = (0..24).map(|hour: i32| {
        let warmth = 64 - (hour - 15).abs();
        serde_json::json!({
            "at": format!("2026-05-19T{hour:02}:00"),
            "air": format!("{warmth} degF"),
            "humidity": "60 %",
            "wind": "6 mph",
            "rain": "10 %",
        })
    });
    serde_json::json!({
        "ramp": {"path": [
            {"kind": "landing", "work": "existing"},
            {"kind": "run", "rise": "28 in", "length": "28 ft"},
            {"kind": "landing"},
        ]},
        "pour": {"weather": hours.collect::<Vec<_>>()},
    })
}
