//! Figures for a spreadsheet: which there are, one of a job for a cell, many of a job for a row.
//!
//! Invariants: the job is a line of the short form in the query, and nothing is kept of it; a key in
//! the query is never given back; a figure that cannot be known is no number. Absent: the figures,
//! and the columns of the short form.

mod ask;
mod cell;
mod inline;
mod list;
mod row;
mod written;

pub(super) use ask::read_figures;
pub(super) use inline::Inline;
pub(super) use written::{figures_in_json, input_names};

use super::format::Format;
use super::problem::{ApiError, Problem};
use super::today::Today;
use crate::http::Routes;
use actix_web::HttpRequest;
use actix_web::HttpResponse;
use actix_web::http::header::{self, ETag, EntityTag, Header as _, IfNoneMatch};

/// The routes of this resource.
pub(super) fn configure(config: &mut Routes<'_, '_>) {
    config.service(list::get_figures);
    config.service(cell::get_cell);
    config.service(row::get_row);
}

/// Seconds for which an answer may be held by whoever asked.
const HELD_SECONDS: u32 = 60;

/// A good answer: its media type, its text, and the age of the book in seconds.
struct Good {
    content_type: &'static str,
    body: String,
    book_age: u64,
}

/// Sends an answer with its tag, or 304 where the caller has it already.
///
/// `part` is the figure or the format that the tag names beside the fingerprint.
fn send(request: &HttpRequest, (fingerprint, part): (&str, &str), good: Good) -> HttpResponse {
    let tag = EntityTag::new_weak(format!("{fingerprint}-{part}"));
    let held = match IfNoneMatch::parse(request) {
        Ok(IfNoneMatch::Any) => true,
        Ok(IfNoneMatch::Items(tags)) => tags.iter().any(|held| held.weak_eq(&tag)),
        Err(_) => false,
    };
    let mut answer = if held {
        HttpResponse::NotModified()
    } else {
        HttpResponse::Ok()
    };
    answer
        .insert_header(ETag(tag))
        .insert_header((
            header::CACHE_CONTROL,
            format!("private, max-age={HELD_SECONDS}"),
        ))
        .insert_header((header::VARY, "Accept"))
        .insert_header(("Crossfall-Book-Age", good.book_age));
    if held {
        return answer.finish();
    }
    answer.content_type(good.content_type).body(good.body)
}
