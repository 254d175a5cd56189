//! `POST /v1/ramps/survey`: base, forms or poured concrete, as measured.

use super::answer::SurveyAnswer;
use super::body::Sent;
use super::computing::{Given, ShowQuery};
use super::format::{Format, answer_csv, answer_json, vary};
use super::problem::{ApiError, Problem};
use crate::documents::write_survey_readings;
use crate::estimate::{SurveyAsked, answer_survey, choose};
use crate::job::{Assumption, Job, JobRequest};
use actix_web::{HttpResponse, post};
use serde::Serialize;
use utoipa::ToSchema;

/// A survey answered.
#[derive(Debug, Serialize, ToSchema)]
pub struct SurveyResponse {
    /// Name of the job, as sent.
    pub name: String,
    /// What was measured, and what comes of it.
    pub survey: SurveyAnswer,
    /// Every default used.
    pub assumptions: Vec<Assumption>,
    /// The job with every question answered; with `?job=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    pub job: Option<Job>,
}

/// Judge what was measured
///
/// Reads the job's `survey` section: shots on lines or a grid, and lines walked with a level, where a
/// reading may be a slope, the gap under the raised end of a level held level, or null. **Base and forms**
/// together give the depth at each point, thin spots, the real volume and a new order. **Forms** give a
/// verdict and the height to raise or lower at each stake. **Poured** concrete is judged window by window,
/// run by run and landing by landing, with bumps under a straightedge, lips, standing water, and what to
/// grind or fill in each panel. Uncertainties are carried through (k = 2): what they leave open is
/// `undetermined`. A field tolerance is told and never mends a broken rule. In CSV: one row a reading.
#[utoipa::path(
    tag = "ramps",
    operation_id = "surveyRamp",
    params(ShowQuery),
    request_body(content = JobRequest, examples(
        ("a level walked up" = (summary = "a level walked up a run of 12 ft, one reading not taken", value = json!({
            "ramp": {"path": [
                {"kind": "landing", "work": "existing"},
                {"kind": "run", "rise": "11 in", "length": "12 ft"},
                {"kind": "landing"}
            ]},
            "survey": {"stage": "poured", "walks": [
                {"piece": 1, "readings": ["7.6 %", "7.9 %", "1 7/8 in", null, "8.8 %", "7.4 %"]}
            ]}
        })))
    )),
    responses(
        (status = 200, description = "Measured; a ramp that breaks a rule is answered here too.", content((SurveyResponse = "application/json"), (String = "text/csv"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/ramps/survey")]
pub(super) async fn post_survey(
    Sent(sent): Sent<JobRequest>,
    given: Given,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Json, Format::Csv])?;
    let (told, sheet) = (sent.survey.clone(), sent.grade_sheet.clone());
    let prepared = given.prepare(sent)?;
    let filled = prepared.fill()?;
    let (told, assumed) = SurveyAsked::of(told, sheet, &filled.job)?;
    let chosen = choose(&filled.job, prepared.with());
    let answered = answer_survey(&filled.job, &told, chosen.with(prepared.with()))?;
    let system = filled.job.units;
    if format == Format::Csv {
        return Ok(vary(answer_csv(write_survey_readings(&answered, system))));
    }
    let answer = SurveyResponse {
        name: filled.job.name.clone(),
        survey: SurveyAnswer::of(&filled.job, answered, given.query.view(system)),
        assumptions: filled.assumptions.into_iter().chain(assumed).collect(),
        job: given.query.job.unwrap_or(false).then_some(filled.job),
    };
    Ok(vary(answer_json(&answer)?))
}
