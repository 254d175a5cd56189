//! A refusal in place of the value, for programs that show a status of 400 or more as nothing.
//!
//! Invariants: decided from the address alone, before anything is read or let in, so that every
//! refusal can be told; what is told is one short line; no key is given back. Absent: what is
//! refused and why.

use super::Format;
use super::ask::Asked;
use super::row::{OFFERED, OPTIONS, content_type};
use super::written::{element, escape, input_names, xml};
use crate::figures::Figure;
use crate::http::format::choose_format;
use crate::http::format::write_texts;
use crate::http::reason::Reason;
use crate::http::roles::is_figure;
use actix_web::HttpResponse;
use actix_web::dev::ServiceRequest;
use actix_web::http::header;
use serde_json::json;

/// How a spreadsheet knows that a text is no value.
const MARK: &str = "#ERR";

/// The path of a row; the others are those of cells.
const ROW: &str = "/v1/row";

/// Where a refusal is to stand.
#[derive(Debug)]
pub(in crate::http) enum Inline {
    /// In a cell.
    Cell,
    /// In a row of a format.
    Row(InlineRow),
}

/// A row that tells of a refusal.
#[derive(Debug)]
pub(in crate::http) struct InlineRow {
    format: Format,
    heading: bool,
    columns: Vec<String>,
}

impl Inline {
    /// Where a refusal of this request is to stand; none where it is to be a problem.
    pub(in crate::http) fn asked(request: &ServiceRequest) -> Option<Self> {
        let path = request.match_info().as_str();
        if !is_figure(path) {
            return None;
        }
        let asked = Asked::of(request.query_string(), &OPTIONS).ok()?;
        if asked.option("errors") != Some("inline") {
            return None;
        }
        if path != ROW {
            return Some(Self::Cell);
        }
        let format = choose_format(asked.option("format"), request.headers(), &OFFERED);
        Some(Self::Row(InlineRow {
            format: format.unwrap_or(Format::Json),
            heading: asked.option("header") != Some("no"),
            columns: columns(&asked),
        }))
    }

    /// The answer that tells why.
    pub(in crate::http) fn tell(&self, reason: &Reason) -> HttpResponse {
        let text = format!("{MARK} {}", reason.text);
        let (kind, body) = match self {
            Self::Cell => (Format::Text.content_type(), text),
            Self::Row(row) => (
                content_type(row.format, row.heading),
                row.tell(reason, &text),
            ),
        };
        HttpResponse::Ok()
            .content_type(kind)
            .insert_header((header::CACHE_CONTROL, "no-store"))
            .body(body)
    }
}

/// The columns that the row would have had.
fn columns(asked: &Asked) -> Vec<String> {
    if let Some(named) = asked.option("figures") {
        return named
            .split(',')
            .map(|name| name.trim().to_owned())
            .collect();
    }
    let figures: Vec<&str> = Figure::usual().iter().map(|figure| figure.name).collect();
    let inputs = asked.inputs.iter().map(|(name, _)| name.as_str());
    let inputs = input_names(inputs, &figures).into_iter();
    let figures = figures.iter().map(|name| (*name).to_owned());
    inputs.chain(figures).collect()
}

impl InlineRow {
    fn tell(&self, reason: &Reason, text: &str) -> String {
        match self.format {
            Format::Csv => self.tell_csv(text),
            Format::Xml => {
                let told = [element("status", "error"), element("note", &reason.text)].concat();
                let code = escape(reason.code);
                xml(&format!(
                    "{told}<error code=\"{code}\">{}</error>",
                    escape(text)
                ))
            }
            _ => json!({"status": "error", "note": text}).to_string(),
        }
    }

    /// The same columns; the reason under `note`, or where neither it nor `status` was asked for, first.
    fn tell_csv(&self, text: &str) -> String {
        let has = |name: &str| self.columns.iter().any(|column| column == name);
        let nowhere = !has("status") && !has("note");
        let cells = self.columns.iter().enumerate();
        let cells: Vec<&str> = cells
            .map(|(place, column)| match column.as_str() {
                "status" => "error",
                "note" => text,
                _ if nowhere && place == 0 => text,
                _ => "",
            })
            .collect();
        let heading = self.columns.iter().map(String::as_str).collect();
        let rows = match self.heading {
            true => vec![heading, cells],
            false => vec![cells],
        };
        // Writing into memory cannot fail.
        write_texts(&rows).unwrap_or_default()
    }
}
