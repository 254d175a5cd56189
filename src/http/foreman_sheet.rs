//! `POST /v1/foreman-sheet`: one page to take to the site.

use super::body::Sent;
use super::computing::{AsksFormat, Given};
use super::drawings::{AskedPaper, title_of};
use super::format::{Format, tell_book_age, vary};
use super::problem::{ApiError, Problem};
use crate::documents::drawing::{Subject, draw_small_section, write_pdf};
use crate::documents::foreman::{fit, write_html, write_sheet};
use crate::estimate::{Brief, estimate, set_out};
use crate::job::{JobRequest, expand_grade_sheet};
use actix_web::{HttpResponse, post};
use serde::Deserialize;
use utoipa::IntoParams;

/// How a sheet is wanted.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct SheetQuery {
    /// `html` or `pdf`; wins over `Accept`.
    format: Option<String>,
    /// Size of the paper, upright; letter in US units and A4 in metric ones where left out.
    #[param(inline)]
    paper: Option<AskedPaper>,
}

impl AsksFormat for SheetQuery {
    fn format(&self) -> Option<&str> {
        self.format.as_deref()
    }
}

/// Room of the section on the sheet, in millimetres.
const SECTION: (f64, f64) = (190.0, 38.0);

/// Make a foreman sheet
///
/// One page for the site: who comes when, concrete with its loads and what else must be there, a typical
/// section, the grade sheet with rod readings where the job gives a benchmark, bars by mark, hold points to
/// tick, boxes for the readings after the pour in the order in which a level is walked up, and cautions. No
/// price stands on it. Where a table would not fit, the sheet says where the rest is found.
#[utoipa::path(
    tag = "ramps",
    operation_id = "makeForemanSheet",
    params(SheetQuery),
    request_body = JobRequest,
    responses(
        (status = 200, description = "The sheet.", content((String = "text/html"), (Vec<u8> = "application/pdf"))),
        (status = 400, description = "The body is not JSON, or the query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed. A path that turns into itself is one.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/foreman-sheet")]
pub(super) async fn post_foreman_sheet(
    Sent(sent): Sent<JobRequest>,
    given: Given<SheetQuery>,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Html, Format::Pdf])?;
    let prepared = given.prepare(sent)?;
    let asked = prepared.sent.grade_sheet.clone();
    let brief = Brief {
        unknowns: false,
        supply: false,
        ..Brief::from(prepared.sent.clone())
    };
    let estimate = estimate(brief, prepared.today, prepared.with())?;
    let (wanted, _) = expand_grade_sheet(asked, &estimate.job)?;
    let laid = set_out(&estimate.job, &estimate.geometry, &wanted)?;
    let subject = Subject {
        job: &estimate.job,
        geometry: &estimate.geometry,
        places: &laid.places,
        grades: &laid.grades,
        takeoff: &estimate.takeoff,
    };
    let title = title_of(&estimate.job, given.query.paper);
    let section = draw_small_section(&subject, SECTION, title.system);
    let (sheet, page) = fit(title.paper, |told| {
        write_sheet(&estimate, (&subject, section.as_ref()), (&title, told))
    });
    let mut answer = HttpResponse::Ok();
    answer.content_type(format.content_type());
    let answer = if format == Format::Pdf {
        answer.body(write_pdf(&[page], &sheet.title).map_err(ApiError::internal)?)
    } else {
        answer.body(write_html(&sheet))
    };
    Ok(vary(tell_book_age(answer, given.book_age())))
}
