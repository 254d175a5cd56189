//! `POST /v1/proposals`: a priced estimate as an offer on two pages.

use super::body::Sent;
use super::computing::Given;
use super::drawings::AskedPaper;
use super::format::{Format, answer_json, vary};
use super::paper::{PaperQuery, answer_document, with_logo};
use super::problem::{ApiError, Problem};
use crate::catalog::Catalog;
use crate::documents::drawing::{Bitmap, Subject};
use crate::documents::paper::Document;
use crate::documents::{Drawn, compose_proposal};
use crate::estimate::set_out;
use crate::job::expand_grade_sheet;
use crate::proposal::{Proposal, ProposalRequest, ProposalSite, propose};
use crate::quantity::{Faults, System};
use crate::takeoff::take_off;
use actix_web::{HttpResponse, post};

/// Make a proposal
///
/// An offer from the priced answer of an estimate, which is sent along whole and held to its own sums: basis,
/// work included, what others do and by when, what is not included, slopes, time, price in figures and words,
/// rates for extras, payment, changes and warranty, safety, signatures, and the plan. Two pages for a usual
/// job. Ask for the estimate with `?job=true`, so that it can be drawn. While a line has no price there is no
/// offer, but a budget with `budget`, which says so on each page. In JSON: the same sections as data.
#[utoipa::path(
    tag = "documents",
    operation_id = "makeProposal",
    params(PaperQuery),
    request_body = ProposalRequest,
    responses(
        (status = 200, description = "The proposal.", content((String = "text/html"), (Vec<u8> = "application/pdf"), (Proposal = "application/json"))),
        (status = 400, description = "The body is not JSON, or the query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed. An answer that does not add up is one, a line without a price another.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/proposals")]
pub(super) async fn post_proposal(
    Sent(request): Sent<ProposalRequest>,
    given: Given<PaperQuery>,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Html, Format::Pdf, Format::Json])?;
    let ((proposal, site), logo) = with_logo(propose(&request), request.logo.as_deref())?;
    if format == Format::Json {
        return Ok(vary(answer_json(&proposal)?));
    }
    let units = request.estimate.computed_with.units;
    let paper = AskedPaper::or_usual(given.query.paper, units);
    let site = site.filter(|_| request.drawing.unwrap_or(true));
    let document = draw(&proposal, logo, (site.as_ref(), units, paper))?;
    Ok(vary(answer_document(&document, (format, paper))?))
}

type Wanted<'a> = (
    Option<&'a ProposalSite>,
    System,
    crate::documents::drawing::Paper,
);

/// The document, with the ramp set out again from the job that came along.
fn draw(
    proposal: &Proposal,
    logo: Option<Bitmap>,
    (site, system, paper): Wanted<'_>,
) -> Result<Document, ApiError> {
    let nothing = Drawn {
        subject: None,
        system,
        paper,
    };
    let Some(ProposalSite { job, geometry }) = site else {
        return Ok(compose_proposal(proposal, logo, nothing));
    };
    let (wanted, _) = expand_grade_sheet(None, job)?;
    let laid = set_out(job, geometry, &wanted).map_err(within_answer)?;
    let takeoff = take_off(job, geometry, Catalog::built_in());
    let subject = Subject {
        job,
        geometry,
        places: &laid.places,
        grades: &laid.grades,
        takeoff: &takeoff,
    };
    let drawn = Drawn {
        subject: Some(&subject),
        ..nothing
    };
    Ok(compose_proposal(proposal, logo, drawn))
}

/// Faults of the job at their places in the request.
fn within_answer(mut faults: Faults) -> Faults {
    for fault in &mut faults.0 {
        fault.pointer.insert_str(0, "/estimate/job");
    }
    faults
}
