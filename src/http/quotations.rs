//! `POST /v1/quotations`: an offer that other software reads.

use super::body::Sent;
use super::computing::Given;
use super::format::{Format, answer_bytes, answer_json, vary};
use super::paper::{PaperQuery, answer_document, usual_paper, with_logo};
use super::problem::{ApiError, Problem};
use crate::billing::{Quotation, QuotationRequest, make_quotation};
use crate::documents::ubl::write_quotation;
use crate::documents::{compose_quotation, write_quotation_lines};
use actix_web::{HttpResponse, post};

/// What a quotation is answered in.
const FORMATS: &[Format] = &[
    Format::Json,
    Format::Xml,
    Format::Csv,
    Format::Pdf,
    Format::Html,
];

/// Make a quotation
///
/// From the answer of an estimate, sent along as it came: its sums are checked and nothing is priced again. The
/// lines are the items of the schedule that you ask for (the whole job, classes of cost, price lines or groups of
/// your own); overhead and profit lie on them in proportion, and they add up to the price before tax to the cent. As
/// XML it is a `Quotation` of UBL 2.1; in CSV one row a line and one for the tax. While a line has no price, it is
/// refused.
#[utoipa::path(
    tag = "documents",
    operation_id = "make_quotation",
    params(PaperQuery),
    request_body = QuotationRequest,
    responses(
        (status = 200, description = "The quotation.", content((Quotation = "application/json"), (String = "application/xml"), (String = "text/csv"), (Vec<u8> = "application/pdf"), (String = "text/html"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/quotations")]
pub(super) async fn post_quotation(
    Sent(sent): Sent<QuotationRequest>,
    given: Given<PaperQuery>,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(FORMATS)?;
    let (quotation, logo) = with_logo(make_quotation(&sent), sent.logo.as_deref())?;
    Ok(vary(match format {
        Format::Xml => answer_bytes(format, write_quotation(&quotation).into_bytes()),
        Format::Csv => {
            let lines = write_quotation_lines(&quotation);
            answer_bytes(format, lines.map_err(ApiError::internal)?)
        }
        Format::Pdf | Format::Html => {
            let paper = usual_paper(given.query.paper, &quotation.currency);
            answer_document(&compose_quotation(&quotation, logo), (format, paper))?
        }
        _ => answer_json(&quotation)?,
    }))
}
