//! `GET /v1/short-form`: what one line may hold, column by column.
//!
//! Invariant: told from the table that reads the lines. Absent: any job.

use super::format::{Format, answer_csv, answer_json, choose_format, vary, write_texts};
use super::problem::{ApiError, Problem};
use crate::job::{ShortColumn, short_columns};
use crate::quantity::System;
use actix_web::web::Query;
use actix_web::{HttpRequest, HttpResponse, get};
use serde::{Deserialize, Serialize};
use utoipa::{IntoParams, ToSchema};

/// How the description is wanted.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub(super) struct ShortFormQuery {
    /// `json` or `csv`; wins over `Accept`.
    format: Option<String>,
}

/// Every column.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct ShortFormResponse {
    /// In the order in which they are described.
    columns: Vec<ColumnResponse>,
}

/// One column.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct ColumnResponse {
    /// Its name without a unit.
    #[schema(examples("rise"))]
    column: &'static str,
    /// How it may be called: the bare name holds a text with a unit, the others a plain number in
    /// their unit.
    forms: Vec<String>,
    /// What it holds: `length`, `slope`, `percent`, `stress`, `count`, `choice`, `yes_no`, `date` or
    /// `text`.
    #[serde(rename = "type")]
    kind: &'static str,
    /// True when a line is nothing without it.
    required: bool,
    /// The words that may be chosen.
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    #[schema(required = false)]
    choices: &'static [String],
    /// What a blank cell means with `units=us`.
    blank_us: Option<&'static str>,
    /// The same with `units=metric`.
    blank_metric: Option<&'static str>,
    /// Least and most with `units=us`, both allowed.
    range_us: Option<[&'static str; 2]>,
    /// The same with `units=metric`.
    range_metric: Option<[&'static str; 2]>,
    /// True for a column that only a batch has a use for.
    batch_only: bool,
    /// What it means.
    meaning: &'static str,
}

impl ColumnResponse {
    fn of(column: &'static ShortColumn) -> Self {
        let blank = |system| column.default_in(system).or(column.otherwise());
        let range = |system| column.range_in(system).map(|(least, most)| [least, most]);
        Self {
            column: &column.name,
            forms: column.forms(),
            kind: column.kind.word(),
            required: column.required,
            choices: &column.words,
            blank_us: blank(System::Us),
            blank_metric: blank(System::Metric),
            range_us: range(System::Us),
            range_metric: range(System::Metric),
            batch_only: column.is_batch_only(),
            meaning: &column.meaning,
        }
    }
}

/// Describe the short form
///
/// The columns of one ramp job on one line: of a query of `/v1/cell` and `/v1/row`, of a CSV table or a
/// workbook, and the keys of a JSON object in a batch. Capitals are the same as small letters; a blank
/// cell means what `blank_us` or `blank_metric` says.
#[utoipa::path(
    tag = "spreadsheets",
    operation_id = "describe_short_form",
    params(ShortFormQuery),
    responses(
        (status = 200, description = "Every column.", content((ShortFormResponse = "application/json"), (String = "text/csv"))),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/short-form")]
pub(super) async fn get_short_form(
    request: HttpRequest,
    query: Query<ShortFormQuery>,
) -> Result<HttpResponse, ApiError> {
    let offered = [Format::Json, Format::Csv];
    let format = choose_format(query.format.as_deref(), request.headers(), &offered)?;
    let columns = short_columns().iter().map(ColumnResponse::of);
    Ok(vary(match format {
        Format::Csv => answer_csv(write_csv(columns)?),
        _ => answer_json(&ShortFormResponse {
            columns: columns.collect(),
        })?,
    }))
}

const HEADING: [&str; 13] = [
    "column",
    "forms",
    "type",
    "required",
    "choices",
    "blank_us",
    "blank_metric",
    "least_us",
    "most_us",
    "least_metric",
    "most_metric",
    "batch_only",
    "meaning",
];

fn write_csv(columns: impl Iterator<Item = ColumnResponse>) -> Result<String, ApiError> {
    let columns: Vec<(ColumnResponse, [String; 2])> = columns
        .map(|column| {
            let joined = [column.forms.join(" "), column.choices.join(" ")];
            (column, joined)
        })
        .collect();
    let yes = |is| if is { "yes" } else { "no" };
    let cells = columns.iter().map(|(column, [forms, choices])| {
        let [least_us, most_us] = column.range_us.unwrap_or_default();
        let [least_metric, most_metric] = column.range_metric.unwrap_or_default();
        vec![
            column.column,
            forms,
            column.kind,
            yes(column.required),
            choices,
            column.blank_us.unwrap_or_default(),
            column.blank_metric.unwrap_or_default(),
            least_us,
            most_us,
            least_metric,
            most_metric,
            yes(column.batch_only),
            column.meaning,
        ]
    });
    let heading = std::iter::once(HEADING.to_vec());
    write_texts(&heading.chain(cells).collect::<Vec<_>>())
}
