//! Documents for the office as an answer: pages of PDF, or HTML that prints.
//!
//! Absent: what a document says.

use super::computing::AsksFormat;
use super::drawings::AskedPaper;
use super::format::Format;
use super::problem::ApiError;
use crate::documents::drawing::{Bitmap, Paper, write_pdf};
use crate::documents::paper::{Document, lay_out_document, write_document};
use crate::quantity::money::Currency;
use crate::quantity::{Fault, Faults, System};
use actix_web::HttpResponse;
use serde::Deserialize;
use utoipa::IntoParams;

/// How a document is wanted.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub(super) struct PaperQuery {
    /// One of the formats of the answer: `json`, `html`, `pdf`, `csv`, `xml`; wins over `Accept`.
    format: Option<String>,
    /// Size of the paper, upright. Where left out: letter in US units, or of amounts in US dollars; else A4.
    #[param(inline)]
    pub(super) paper: Option<AskedPaper>,
}

impl AsksFormat for PaperQuery {
    fn format(&self) -> Option<&str> {
        self.format.as_deref()
    }
}

/// A document as PDF or HTML.
///
/// # Errors
/// [`ApiError::Internal`] when its pages cannot be written.
pub(super) fn answer_document(
    document: &Document,
    (format, paper): (Format, Paper),
) -> Result<HttpResponse, ApiError> {
    let mut answer = HttpResponse::Ok();
    answer.content_type(format.content_type());
    if format == Format::Pdf {
        let pages = lay_out_document(document, paper);
        let written = write_pdf(&pages, &document.title).map_err(ApiError::internal)?;
        return Ok(answer.body(written));
    }
    Ok(answer.body(write_document(document)))
}

/// The seller's mark, as it was sent; a fault at `/logo` where it is none.
fn read_logo(sent: Option<&str>, faults: &mut Faults) -> Option<Bitmap> {
    let read = sent.map(Bitmap::from_base64)?;
    match read {
        Ok(logo) => Some(logo),
        Err(why) => {
            let accepted = "a PNG or JPEG of at most 200 kB and 4 million points, as base64";
            faults.push(Fault::new("/logo", why.to_string(), accepted, None));
            None
        }
    }
}

/// What was made and the seller's mark, or every fault of both.
///
/// # Errors
/// Every fault of either.
pub(super) fn with_logo<T>(
    made: Result<T, Faults>,
    sent: Option<&str>,
) -> Result<(T, Option<Bitmap>), Faults> {
    let mut faults = Faults::default();
    let logo = read_logo(sent, &mut faults);
    match made {
        Ok(made) => faults.or((made, logo)),
        Err(wrong) => {
            faults.0.extend(wrong.0);
            Err(faults)
        }
    }
}

/// The paper that is asked for; else letter for amounts in US dollars and A4 for others.
pub(super) fn usual_paper(asked: Option<AskedPaper>, currency: &Currency) -> Paper {
    let units = if *currency == Currency::USD {
        System::Us
    } else {
        System::Metric
    };
    AskedPaper::or_usual(asked, units)
}
