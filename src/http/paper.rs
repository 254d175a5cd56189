//! Documents for the office as an answer: pages of PDF, or HTML that prints.
//!
//! Absent: what a document says.

use super::format::Format;
use super::problem::ApiError;
use crate::documents::drawing::{Bitmap, Paper, write_pdf};
use crate::documents::paper::{Document, lay_out_document, write_document};
use crate::quantity::{Fault, Faults};
use actix_web::HttpResponse;

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
pub(super) fn read_logo(sent: Option<&str>, faults: &mut Faults) -> Option<Bitmap> {
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
