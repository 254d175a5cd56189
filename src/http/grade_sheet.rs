//! `POST /v1/ramps/grade-sheet`: elevations and rod readings for whoever sets the forms.

use super::answer::{GradedPieceAnswer, tell_notes};
use super::body::Sent;
use super::computing::{Given, ShowQuery};
use super::drawings::title_of;
use super::format::{Format, answer_csv, answer_json, vary};
use super::problem::{ApiError, Problem};
use crate::documents::drawing::write_svg;
use crate::documents::foreman::{lay_out_long, write_grade_sheet};
use crate::documents::write_grades;
use crate::estimate::set_out;
use crate::geometry::solve;
use crate::job::{Assumption, Job, JobRequest, expand_grade_sheet};
use crate::quantity::shown::ElevationFtM;
use actix_web::{HttpResponse, post};
use serde::Serialize;
use utoipa::ToSchema;

/// The grades of a job.
#[derive(Debug, Serialize, ToSchema)]
pub struct GradeSheetResponse {
    /// Name of the job, as sent.
    pub name: String,
    /// Elevation of the line of sight: the benchmark's with the rod read on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line_of_sight: Option<ElevationFtM>,
    /// What the crew should know.
    pub notes: Vec<String>,
    /// One a piece of the path, walking up; a crease stands with both of its pieces.
    pub pieces: Vec<GradedPieceAnswer>,
    /// Every default used.
    pub assumptions: Vec<Assumption>,
    /// The job with every question answered; with `?job=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    pub job: Option<Job>,
}

/// Make a grade sheet
///
/// Stations at a step, at every crease, joint and end: elevation of the finished surface left, middle and
/// right with the cross fall; tops of the forms; bottoms of slab, insulation and stone; and what the rod
/// reads at each, where the job's `grade_sheet` section gives a benchmark. Elevations on the centre line are
/// those of the height budget. A landing that turns falls to its outer corner, so that both of its creases
/// can be met; a run is ruled straight across. In CSV: one row a point; as SVG: a sheet to print.
#[utoipa::path(
    tag = "ramps",
    operation_id = "makeGradeSheet",
    params(ShowQuery),
    request_body(content = JobRequest, examples(
        ("with a benchmark" = (summary = "28 in over 28 ft, rod readings", value = json!({
            "ramp": {"path": [
                {"kind": "landing", "work": "existing"},
                {"kind": "run", "rise": "28 in", "length": "28 ft"},
                {"kind": "landing"}
            ]},
            "grade_sheet": {"step": "4 ft", "benchmark": {"elevation": "0 ft", "rod": "5 ft 2 1/4 in"}}
        })))
    )),
    responses(
        (status = 200, description = "The grades.", content((GradeSheetResponse = "application/json"), (String = "text/csv"), (String = "image/svg+xml"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/ramps/grade-sheet")]
pub(super) async fn post_grade_sheet(
    Sent(sent): Sent<JobRequest>,
    given: Given,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Json, Format::Csv, Format::Svg])?;
    let asked = sent.grade_sheet.clone();
    let filled = given.prepare(sent)?.fill()?;
    let (wanted, assumed) = expand_grade_sheet(asked, &filled.job)?;
    let geometry = solve(&filled.job);
    let grades = set_out(&filled.job, &geometry, &wanted)?.grades;
    let system = filled.job.units;
    if format == Format::Csv {
        return Ok(vary(answer_csv(write_grades(&geometry, &grades, system))));
    }
    let view = given.query.view(system);
    let notes = tell_notes(&geometry, &grades, &wanted, view);
    if format == Format::Svg {
        let title = title_of(&filled.job, None);
        let sheet = write_grade_sheet((&geometry, &grades), &notes, &title);
        let page = lay_out_long(&sheet, title.paper);
        let kind = format.content_type();
        return Ok(vary(
            HttpResponse::Ok().content_type(kind).body(write_svg(&page)),
        ));
    }
    let answer = GradeSheetResponse {
        name: filled.job.name.clone(),
        line_of_sight: wanted
            .line_of_sight
            .map(|sight| ElevationFtM::of(sight, system)),
        notes,
        pieces: GradedPieceAnswer::of_all(&geometry, &grades, view),
        assumptions: filled.assumptions.into_iter().chain(assumed).collect(),
        job: given.query.job.unwrap_or(false).then_some(filled.job),
    };
    Ok(vary(answer_json(&answer)?))
}
