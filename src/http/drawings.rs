//! `POST /v1/drawings`: the ramp on paper.

use super::body::Sent;
use super::computing::{AsksFormat, Given};
use super::format::{Format, vary};
use super::problem::{ApiError, Problem};
use crate::documents::drawing::{
    DrawnView, Page, Paper, Subject, Title, draw, draw_survey, write_pdf, write_svg,
};
use crate::estimate::{ENGINE, SurveyAsked, With, answer_survey, choose, set_out, work_out};
use crate::job::{
    GradeSheet, GradeSheetRequest, Job, JobRequest, SurveyRequest, expand_grade_sheet,
};
use crate::quantity::{Length, System};
use crate::takeoff::Detail;
use actix_web::{HttpResponse, post};
use serde::Deserialize;
use utoipa::{IntoParams, ToSchema};

/// How a drawing is wanted.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct DrawingQuery {
    /// `svg`, one view; `pdf`, every view, one a page; wins over `Accept`.
    format: Option<String>,
    /// What to draw; `plan` where left out.
    #[param(inline)]
    view: Option<AskedView>,
    /// Size of the paper, laid on its long side; letter in US units and A4 in metric ones where left out.
    #[param(inline)]
    paper: Option<AskedPaper>,
}

/// A view of a ramp.
#[derive(Clone, Copy, Debug, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
enum AskedView {
    /// From above: slopes, lengths, widths, heights.
    Plan,
    /// From its right side, every turn unfolded.
    Elevation,
    /// Across a run.
    Section,
    /// From above: contraction and isolation joints.
    Joints,
    /// From above: reinforcing bars by mark.
    Bars,
    /// Slopes as measured, with their limits; of a job with a `survey` section.
    Survey,
}

/// A size of paper.
#[derive(Clone, Copy, Debug, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub(super) enum AskedPaper {
    /// 11 in by 8 1/2 in.
    Letter,
    /// 297 mm by 210 mm.
    A4,
}

impl AsksFormat for DrawingQuery {
    fn format(&self) -> Option<&str> {
        self.format.as_deref()
    }
}

impl DrawingQuery {
    /// The view asked for; none for the survey's.
    fn view(&self) -> Option<DrawnView> {
        match self.view.unwrap_or(AskedView::Plan) {
            AskedView::Plan => Some(DrawnView::Plan),
            AskedView::Elevation => Some(DrawnView::Elevation),
            AskedView::Section => Some(DrawnView::Section),
            AskedView::Joints => Some(DrawnView::Joints),
            AskedView::Bars => Some(DrawnView::Bars),
            AskedView::Survey => None,
        }
    }
}

impl AskedPaper {
    /// The paper asked for, else the usual one of the units.
    pub(super) const fn or_usual(asked: Option<Self>, system: System) -> Paper {
        match (asked, system) {
            (Some(Self::Letter), _) | (None, System::Us) => Paper::Letter,
            (Some(Self::A4), _) | (None, System::Metric) => Paper::A4,
        }
    }
}

/// What stands in the title of every page of a job.
pub(super) fn title_of(job: &Job, asked: Option<AskedPaper>) -> Title {
    Title {
        job: job.name.clone(),
        day: job.book.as_of.to_string(),
        version: ENGINE.to_owned(),
        system: job.units,
        paper: AskedPaper::or_usual(asked, job.units),
    }
}

/// Draw a ramp
///
/// One view as SVG, or every view as PDF, to scale on letter or A4 paper: the plan with slopes, lengths, widths and heights; the
/// elevation with every turn unfolded; a typical section; the joint plan; the bar plan; and, of a job with a
/// `survey` section, the slopes as measured with their limits. Arrows point up the
/// slope. Bars and joints are those of the takeoff. A drawing is a reading of the job as sent; measure on
/// site, and let a licensed designer draw what the permit asks for.
#[utoipa::path(
    tag = "ramps",
    operation_id = "drawRamp",
    params(DrawingQuery),
    request_body = JobRequest,
    responses(
        (status = 200, description = "The drawing.", content((String = "image/svg+xml"), (Vec<u8> = "application/pdf"))),
        (status = 400, description = "The body is not JSON, or the query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "The job has nothing of the kind to draw: it pours nothing.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed. A path that turns into itself is one.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/drawings")]
pub(super) async fn post_drawing(
    Sent(sent): Sent<JobRequest>,
    given: Given<DrawingQuery>,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Svg, Format::Pdf])?;
    let (asked, read) = (sent.grade_sheet.clone(), sent.survey.clone());
    let prepared = given.prepare(sent)?;
    let job = prepared.fill()?.job;
    let (wanted, _) = expand_grade_sheet(asked.clone(), &job)?;
    let chosen = choose(&job, prepared.with());
    let with = chosen.with(prepared.with());
    let title = title_of(&job, given.query.paper);
    let surveyed = draw_read((read, asked), &job, (with, &title))?;
    let worked = work_out(&job, with, Detail::Described);
    let laid = set_out(&job, &worked.geometry, &above_foot(wanted))?;
    let subject = Subject {
        job: &job,
        geometry: &worked.geometry,
        places: &laid.places,
        grades: &laid.grades,
        takeoff: &worked.takeoff,
    };
    let mut answer = HttpResponse::Ok();
    answer.content_type(format.content_type());
    let drawn = |view| draw(view, &subject, &title);
    if format == Format::Pdf {
        let pages = DrawnView::ALL.into_iter().filter_map(drawn).chain(surveyed);
        let pages: Vec<Page> = pages.collect();
        let written = write_pdf(&pages, &title.job).map_err(ApiError::internal)?;
        return Ok(vary(answer.body(written)));
    }
    let page = match given.query.view() {
        Some(view) => {
            drawn(view).ok_or("This job pours nothing, so that there is no section to draw.")
        }
        None => {
            surveyed.ok_or("This job has no slopes along the path in its survey section to draw.")
        }
    };
    let page = page.map_err(|detail| ApiError::NotFound(detail.to_owned()))?;
    Ok(vary(answer.body(write_svg(&page))))
}

/// The survey's profile, where the job holds a survey of slopes.
fn draw_read(
    (read, sheet): (Option<SurveyRequest>, Option<GradeSheetRequest>),
    job: &Job,
    (with, title): (With<'_>, &Title),
) -> Result<Option<Page>, ApiError> {
    if read.is_none() {
        return Ok(None);
    }
    let (told, _) = SurveyAsked::of(read, sheet, job)?;
    Ok(draw_survey(&answer_survey(job, &told, with)?, title))
}

/// Drawings tell heights above the foot, whatever the datum of the sheet.
fn above_foot(wanted: GradeSheet) -> GradeSheet {
    GradeSheet {
        datum: Length::ZERO,
        line_of_sight: None,
        ..wanted
    }
}
