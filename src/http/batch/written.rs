//! Answered rows as CSV, as one object a line, or as parts of one JSON document.
//!
//! Invariants: every row that was sent has one row in the answer, in its order; a figure that is not
//! known is an empty cell or null, never 0; the columns of a table come back first, as they were
//! sent. Absent: what a row comes to.

use super::plan::{Columns, Plan};
use super::row::{Input, Row};
use super::summary::SummaryAnswer;
use crate::batch::{Status, is_under_least};
use crate::estimate::Estimate;
use crate::figures::{Figure, Found, Shown};
use crate::http::figures::{figures_in_json, input_names};
use crate::http::format::Format;
use crate::job::{Assumption, Job};
use crate::quantity::{Fault, Faults};
use crate::sheet::{Cell, CsvWriter, Dialect};
use serde::Serialize;
use serde_json::{Map, Value, json};
use std::io;

/// Longest text of what is wrong with a row of a table, in characters; JSON lists every fault.
const REASON_AT_MOST: usize = 1_000;

/// What stands between two rows of one JSON document.
const BETWEEN: &[u8] = b",\n";

/// One row in JSON.
#[derive(Serialize)]
struct RowObject<'a> {
    row: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    input: Option<Map<String, Value>>,
    status: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    figures: Option<Map<String, Value>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_known: Vec<Value>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    errors: Vec<Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    assumptions: Option<&'a [Assumption]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    job: Option<&'a Job>,
}

/// Writes one row behind the others of its group; `first` says that none stands before it at all.
///
/// # Errors
/// A value that cannot be written, which every room prevents.
pub(super) fn write_row(
    plan: &Plan,
    row: &Row,
    (first, into): (bool, &mut Vec<u8>),
) -> io::Result<()> {
    match plan.asked.format {
        Format::Csv => {
            let cells = csv_cells(plan, row);
            write_cells(plan, &cells, into)
        }
        Format::Json => {
            if !first {
                into.extend_from_slice(BETWEEN);
            }
            Ok(serde_json::to_writer(&mut *into, &object(plan, row)?)?)
        }
        _ => {
            serde_json::to_writer(&mut *into, &object(plan, row)?)?;
            into.push(b'\n');
            Ok(())
        }
    }
}

/// What stands before the first row.
///
/// # Errors
/// As [`write_row`].
pub(super) fn head(plan: &Plan) -> io::Result<Vec<u8>> {
    let mut head = Vec::new();
    match plan.asked.format {
        Format::Csv => {
            let marked = plan.columns.as_ref().is_some_and(|c| c.style.marked);
            if marked {
                head.extend_from_slice("\u{feff}".as_bytes());
            }
            let names = names(plan);
            let cells: Vec<Out<'_>> = names.iter().map(|name| Out::Text(name.into())).collect();
            write_cells(plan, &cells, &mut head)?;
        }
        Format::Json => head.extend_from_slice(b"{\"rows\":[\n"),
        _ => {}
    }
    Ok(head)
}

/// What stands behind the last row.
///
/// # Errors
/// As [`write_row`].
pub(super) fn tail(plan: &Plan, summary: &SummaryAnswer) -> io::Result<Vec<u8>> {
    let mut tail = Vec::new();
    match plan.asked.format {
        Format::Csv if plan.asked.summary_row => {
            let cells = figure_cells(plan, |figure| summary.cell(figure.name));
            write_cells(plan, &cells, &mut tail)?;
        }
        Format::Csv => {}
        Format::Json => {
            tail.extend_from_slice(b"\n],\n\"summary\":");
            serde_json::to_writer(&mut tail, summary)?;
            tail.extend_from_slice(b"}\n");
        }
        _ => {
            serde_json::to_writer(&mut tail, &json!({"summary": summary}))?;
            tail.push(b'\n');
        }
    }
    Ok(tail)
}

/// What tells that no further row follows, and why.
pub(super) fn aborted(plan: &Plan, why: &str) -> Vec<u8> {
    let mut told = Vec::new();
    let written = match plan.asked.format {
        Format::Csv => {
            let cells = figure_cells(plan, |figure| match figure.name {
                "status" => Some(Out::Text("aborted".into())),
                "note" => Some(Out::Text(why.into())),
                _ => None,
            });
            write_cells(plan, &cells, &mut told)
        }
        _ => serde_json::to_writer(&mut told, &json!({"aborted": {"detail": why}}))
            .map_err(Into::into),
    };
    // Nothing better can be told where even this cannot be written.
    drop(written);
    told.push(b'\n');
    told
}

/// A cell of an answer.
pub(super) enum Out<'a> {
    /// A text.
    Text(std::borrow::Cow<'a, str>),
    /// A decimal number.
    Number(String),
}

fn names(plan: &Plan) -> Vec<String> {
    let figures: Vec<&str> = plan
        .asked
        .figures
        .iter()
        .map(|figure| figure.name)
        .collect();
    let sent = plan
        .columns
        .iter()
        .flat_map(|columns| columns.heading.names());
    let mut names = input_names(sent.map(String::as_str), &figures);
    names.extend(figures.iter().map(|name| (*name).to_owned()));
    names
}

fn write_cells(plan: &Plan, cells: &[Out<'_>], into: &mut Vec<u8>) -> io::Result<()> {
    let dialect = plan
        .columns
        .as_ref()
        .map_or_else(Dialect::default, |c| c.style.dialect);
    let mut writer = CsvWriter::new(into, dialect);
    let cells: Vec<Cell<'_>> = cells
        .iter()
        .map(|cell| match cell {
            Out::Text(text) if text.is_empty() => Cell::Empty,
            Out::Text(text) => Cell::Text(text),
            Out::Number(number) => Cell::Number(number),
        })
        .collect();
    writer.write(&cells)?;
    writer.finish().map(drop)
}

/// A row of figures alone, behind as many empty cells as the table had columns.
fn figure_cells<'a>(plan: &Plan, cell: impl Fn(&Figure) -> Option<Out<'a>>) -> Vec<Out<'a>> {
    let columns = plan
        .columns
        .as_ref()
        .map_or(0, |columns: &Columns| columns.heading.names().len());
    let empty = || Out::Text("".into());
    let sent = std::iter::repeat_with(empty).take(columns);
    let figures = plan.asked.figures.iter();
    let figures = figures.map(|figure| cell(figure).unwrap_or_else(empty));
    sent.chain(figures).collect()
}

fn csv_cells<'a>(plan: &Plan, row: &'a Row) -> Vec<Out<'a>> {
    let mut cells = figure_cells(plan, |figure| figure_cell(plan, row, figure));
    if let Input::Cells(sent) = &row.input {
        for (cell, sent) in cells.iter_mut().zip(sent) {
            *cell = Out::Text(sent.into());
        }
    }
    cells
}

fn figure_cell<'a>(plan: &Plan, row: &'a Row, figure: &Figure) -> Option<Out<'a>> {
    match &row.outcome {
        Err(faults) => match figure.name {
            "status" => Some(Out::Text(Status::Error.word().into())),
            "note" => Some(Out::Text(reason(faults).into())),
            _ => None,
        },
        Ok(estimate) => match found(plan, estimate, figure) {
            Ok(Shown::Number(number) | Shown::Money(number)) => Some(Out::Number(number)),
            Ok(Shown::Text(text)) => Some(Out::Text(text.into())),
            Err(_) => None,
        },
    }
}

/// A figure of a priced row; a price under the least of its visits is what to know first of it.
fn found(plan: &Plan, estimate: &Estimate, figure: &Figure) -> Found {
    match plan.asked.least {
        Some(least) if figure.name == "note" && is_under_least(estimate, plan.asked.least) => {
            let visits = estimate.hours.visits.len();
            let text = format!("priced under the least of {least} a visit for {visits} visits");
            Ok(Shown::Text(text))
        }
        _ => figure.of(estimate),
    }
}

/// What is wrong with a row, as one text: each column, what stands there, what would be accepted.
fn reason(faults: &Faults) -> String {
    let told: Vec<String> = faults.0.iter().map(Fault::sentence).collect();
    let told = told.join("; ");
    if told.chars().count() <= REASON_AT_MOST {
        return told;
    }
    let head: String = told.chars().take(REASON_AT_MOST - 1).collect();
    format!("{head}…")
}

fn object<'a>(plan: &Plan, row: &'a Row) -> io::Result<RowObject<'a>> {
    let mut object = RowObject {
        row: row.number,
        input: input(plan, row),
        status: Status::Error.word(),
        figures: None,
        not_known: Vec::new(),
        errors: Vec::new(),
        assumptions: None,
        job: None,
    };
    match &row.outcome {
        Err(faults) => {
            for fault in &faults.0 {
                object.errors.push(serde_json::to_value(fault)?);
            }
        }
        Ok(estimate) => {
            object.status = Status::of(estimate).word();
            let figures = plan.asked.figures.iter();
            let found: Vec<(&'static str, Found)> = figures
                .map(|figure| (figure.name, found(plan, estimate, figure)))
                .collect();
            let found = found.iter().map(|(name, found)| (*name, found));
            let (figures, not_known) = figures_in_json(found)?;
            object.figures = Some(figures);
            object.not_known = not_known;
            if plan.asked.with_job {
                object.assumptions = Some(&estimate.assumptions);
                object.job = Some(&estimate.job);
            }
        }
    }
    Ok(object)
}

fn input(plan: &Plan, row: &Row) -> Option<Map<String, Value>> {
    match &row.input {
        Input::Nothing => None,
        Input::Keys(keys) => Some(keys.clone()),
        Input::Cells(cells) => {
            let names = plan
                .columns
                .iter()
                .flat_map(|columns| columns.heading.names());
            let pairs = names.zip(cells).filter(|(name, _)| !name.is_empty());
            Some(
                pairs
                    .map(|(name, cell)| (name.clone(), json!(cell)))
                    .collect(),
            )
        }
    }
}
