//! `GET /v1/figures`: every figure with its unit, places and meaning.
//!
//! Absent: any job.

use super::{ApiError, Format, Problem};
use crate::figures::{FIGURES, Figure, ValueType};
use crate::http::format::{answer_csv, answer_json, choose_format, vary, write_texts};
use crate::quantity::System;
use actix_web::web::Query;
use actix_web::{HttpRequest, HttpResponse, get};
use serde::{Deserialize, Serialize};
use utoipa::{IntoParams, ToSchema};

/// How the list is wanted.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub(super) struct ListQuery {
    /// `json` or `csv`; wins over `Accept`.
    format: Option<String>,
}

/// Every figure.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct FiguresResponse {
    /// In the order in which they are described.
    figures: Vec<FigureResponse>,
}

/// One figure.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct FigureResponse {
    /// Its name, in the address of a cell and in the heading of a row.
    #[schema(examples("total"))]
    figure: &'static str,
    /// What kind of value it is.
    value_type: ValueType,
    /// Its unit with `units=us`; null where it has none.
    unit_us: Option<&'static str>,
    /// Its unit with `units=metric`.
    unit_metric: Option<&'static str>,
    /// Most decimals with `units=us`; null for what is no number, and for money, whose decimals are
    /// those of its currency.
    places_us: Option<u8>,
    /// The same with `units=metric`.
    places_metric: Option<u8>,
    /// True when a row shows it without being asked.
    usual: bool,
    /// What it means.
    meaning: &'static str,
}

impl FigureResponse {
    fn of(figure: &Figure, usual: bool) -> Self {
        Self {
            figure: figure.name,
            value_type: figure.shape.value_type,
            unit_us: figure.unit(System::Us),
            unit_metric: figure.unit(System::Metric),
            places_us: figure.shape.places(System::Us),
            places_metric: figure.shape.places(System::Metric),
            usual,
            meaning: figure.meaning,
        }
    }
}

/// List the figures
///
/// What `/v1/cell/{figure}` and `/v1/row` can give, with the unit that each has in either system.
#[utoipa::path(
    tag = "spreadsheets",
    operation_id = "list_figures",
    params(ListQuery),
    responses(
        (status = 200, description = "Every figure.", content((FiguresResponse = "application/json"), (String = "text/csv"))),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/figures")]
pub(super) async fn get_figures(
    request: HttpRequest,
    query: Query<ListQuery>,
) -> Result<HttpResponse, ApiError> {
    let offered = [Format::Json, Format::Csv];
    let format = choose_format(query.format.as_deref(), request.headers(), &offered)?;
    let usual = Figure::usual();
    let is_usual = |figure: &Figure| usual.iter().any(|one| one.name == figure.name);
    let rows = FIGURES
        .iter()
        .map(|figure| FigureResponse::of(figure, is_usual(figure)));
    Ok(vary(match format {
        Format::Csv => answer_csv(write_csv(rows)?),
        _ => answer_json(&FiguresResponse {
            figures: rows.collect(),
        })?,
    }))
}

const COLUMNS: [&str; 8] = [
    "figure",
    "value_type",
    "unit_us",
    "unit_metric",
    "places_us",
    "places_metric",
    "usual",
    "meaning",
];

fn write_csv(rows: impl Iterator<Item = FigureResponse>) -> Result<String, ApiError> {
    let rows: Vec<(FigureResponse, [String; 2])> = rows
        .map(|row| {
            let places = [row.places_us, row.places_metric];
            let places = places.map(|places| places.map(|p| p.to_string()).unwrap_or_default());
            (row, places)
        })
        .collect();
    let cells = rows.iter().map(|(row, [us, metric])| {
        vec![
            row.figure,
            row.value_type.word(),
            row.unit_us.unwrap_or_default(),
            row.unit_metric.unwrap_or_default(),
            us,
            metric,
            if row.usual { "yes" } else { "no" },
            row.meaning,
        ]
    });
    let heading = std::iter::once(COLUMNS.to_vec());
    write_texts(&heading.chain(cells).collect::<Vec<_>>())
}
