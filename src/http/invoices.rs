//! `POST /v1/invoices` and `POST /v1/credit-notes`: bills.

use super::body::Sent;
use super::computing::Given;
use super::drawings::AskedPaper;
use super::format::{Format, answer_bytes, answer_json, vary};
use super::paper::{PaperQuery, answer_document, usual_paper, with_logo};
use super::problem::{ApiError, Problem};
use crate::billing::{Bill, CreditRequest, InvoiceRequest, make_credit_note, make_invoice};
use crate::documents::compose_bill;
use crate::documents::drawing::Bitmap;
use crate::documents::ledger::write_bill_lines;
use crate::documents::ubl::write_bill;
use actix_web::{HttpResponse, post};

/// Make an invoice
///
/// From the answer of an estimate, sent along as it came: its sums are checked and nothing is priced again. The
/// contract sum is divided into a schedule of values as you ask; each bill says how far its items are, in
/// percent or in money to date, and what is stored; retainage is held back of what is earned and released when you
/// say so; deposits, agreed changes and back-charges have lines of their own. Send the `application` of
/// the bills before along, in order: nothing is remembered, and the last is enough. The tax of all bills of a job
/// at one rate is that of their sum, so that no cent is lost by billing in parts. More than 100 %, and less than before, is refused unless allowed. In
/// CSV: one row a line, with what is held back and the tax, which add up to the sum with tax. As XML it is an
/// `Invoice` of UBL 2.1 by EN 16931; what a rule of that standard asks and the bill lacks is a fault.
#[utoipa::path(
    tag = "documents",
    operation_id = "make_invoice",
    params(PaperQuery),
    request_body = InvoiceRequest,
    responses(
        (status = 200, description = "The bill.", content((Bill = "application/json"), (String = "text/csv"), (String = "application/xml"), (Vec<u8> = "application/pdf"), (String = "text/html"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/invoices")]
pub(super) async fn post_invoice(
    Sent(sent): Sent<InvoiceRequest>,
    given: Given<PaperQuery>,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(FORMATS)?;
    let (bill, logo) = with_logo(make_invoice(&sent), sent.logo.as_deref())?;
    answer_bill((&bill, ""), (format, given.query.paper), logo)
}

/// Make a credit note
///
/// For a bill, sent along as it was answered: all of it, or something of its lines, with what is still held
/// back of them and their tax. Neither a line nor a bill is given back beyond what it billed; send credit notes that
/// were written for the same bill along under `earlier`, and where other bills were written since, the last
/// `application` under `after`. What is given back is no longer earned: `application` says where the job stands, and
/// goes along with the next bill. As XML it is a `CreditNote` of UBL 2.1 by
/// EN 16931.
#[utoipa::path(
    tag = "documents",
    operation_id = "make_credit_note",
    params(PaperQuery),
    request_body = CreditRequest,
    responses(
        (status = 200, description = "The credit note.", content((Bill = "application/json"), (String = "text/csv"), (String = "application/xml"), (Vec<u8> = "application/pdf"), (String = "text/html"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/credit-notes")]
pub(super) async fn post_credit_note(
    Sent(sent): Sent<CreditRequest>,
    given: Given<PaperQuery>,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(FORMATS)?;
    let (bill, logo) = with_logo(make_credit_note(&sent), sent.logo.as_deref())?;
    answer_bill((&bill, "/bill"), (format, given.query.paper), logo)
}

/// What a bill is answered in.
const FORMATS: &[Format] = &[
    Format::Json,
    Format::Csv,
    Format::Xml,
    Format::Pdf,
    Format::Html,
];

/// The bill as it is wanted; `at` is where its parties and its tax stand in the request.
fn answer_bill(
    (bill, at): (&Bill, &str),
    (format, paper): (Format, Option<AskedPaper>),
    logo: Option<Bitmap>,
) -> Result<HttpResponse, ApiError> {
    Ok(vary(match format {
        Format::Csv => answer_bytes(format, write_bill_lines(bill).map_err(ApiError::internal)?),
        Format::Xml => answer_bytes(format, write_bill(bill, at)?.into_bytes()),
        Format::Pdf | Format::Html => {
            let paper = usual_paper(paper, &bill.currency);
            answer_document(&compose_bill(bill, logo), (format, paper))?
        }
        _ => answer_json(bill)?,
    }))
}
