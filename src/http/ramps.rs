//! `POST /v1/ramps/check`: is it within the rules, and what would mend it.

use super::answer::{CheckAnswer, ComparedAnswer, GeometryAnswer};
use super::body::Sent;
use super::computing::{Given, ShowQuery};
use super::format::{Format, answer_json, vary};
use super::problem::{ApiError, Problem};
use crate::geometry::solve;
use crate::job::{Assumption, Job, JobRequest};
use crate::rules::check;
use actix_web::{HttpResponse, post};
use serde::Serialize;
use utoipa::ToSchema;

/// A ramp judged.
#[derive(Debug, Serialize, ToSchema)]
pub struct RampCheckResponse {
    /// Name of the job, as sent.
    pub name: String,
    /// Verdict and findings.
    pub check: CheckAnswer,
    /// Several rule sets side by side; left out where the job names one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(required = false)]
    pub comparison: Vec<ComparedAnswer>,
    /// The ramp solved in space.
    pub geometry: GeometryAnswer,
    /// Every default used.
    pub assumptions: Vec<Assumption>,
    /// The job with every question answered; with `?job=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    pub job: Option<Job>,
}

/// Judge a ramp
///
/// Judges the ramp against the rule sets that the job names: every rule with the measured value, the
/// limit, the margin, the source and, where it is broken, what the crew can do. A broken rule is a
/// finding, not an error. Where several sets are named, or `all`, they are put side by side. The official
/// in charge decides; this is a reading of the named rules.
#[utoipa::path(
    tag = "ramps",
    operation_id = "checkRamp",
    params(ShowQuery),
    request_body(content = JobRequest, examples(
        ("straight" = (summary = "28 in over 28 ft", value = json!({
            "ramp": {"path": [
                {"kind": "landing", "work": "existing"},
                {"kind": "run", "rise": "28 in", "length": "28 ft"},
                {"kind": "landing", "door": {"edge": "end", "beyond_latch": "20 in"}}
            ]}
        })))
    )),
    responses(
        (status = 200, description = "Judged; a ramp that breaks a rule is answered here too.", body = RampCheckResponse),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/ramps/check")]
pub(super) async fn post_ramp_check(
    Sent(sent): Sent<JobRequest>,
    given: Given,
) -> Result<HttpResponse, ApiError> {
    given.choose(&[Format::Json])?;
    let prepared = given.prepare(sent)?;
    let filled = prepared.fill()?;
    let geometry = solve(&filled.job);
    let checked = check(&filled.job, &geometry, prepared.with().rules)?;
    let view = given.query.view(filled.job.units);
    let answer = RampCheckResponse {
        name: filled.job.name.clone(),
        comparison: ComparedAnswer::of_all(&checked, view),
        check: CheckAnswer::of(checked, view),
        geometry: GeometryAnswer::of(&filled.job, &geometry, view),
        assumptions: filled.assumptions,
        job: given.query.job.unwrap_or(false).then_some(filled.job),
    };
    Ok(vary(answer_json(&answer)?))
}
