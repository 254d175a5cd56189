//! The readings of a survey as rows: first the shots, then the windows of a level.
//!
//! Invariant: lengths in inches or millimetres, as the headings say; a cell that says nothing is empty.

use super::csv::{table, text};
use crate::estimate::SurveyAnswered;
use crate::geometry::survey::{Point, Window};
use crate::job::LevelDirection;
use crate::quantity::{Length, System, round_to};
use crate::rules::{Decided, Measured};

/// Names of the columns; `*` stands for the unit of a length.
const COLUMNS: [&str; 15] = [
    "reading",
    "kind",
    "piece",
    "along_*",
    "across_*",
    "to_along_*",
    "to_across_*",
    "elevation_*",
    "drawn_*",
    "above_drawn_*",
    "slope_pct",
    "uncertainty_pct",
    "limit_pct",
    "verdict",
    "in_field_tolerance",
];

/// The readings of a survey, one row each.
pub fn write_survey_readings(answer: &SurveyAnswered, system: System) -> String {
    let unit = match system {
        System::Us => "in",
        System::Metric => "mm",
    };
    let columns: Vec<String> = COLUMNS.iter().map(|name| name.replace('*', unit)).collect();
    let named: Vec<&str> = columns.iter().map(String::as_str).collect();
    let points = answer.surveyed.points.iter().enumerate();
    let shots = points.map(|(index, point)| shot(index, point, system));
    let decided = answer.check.iter().flat_map(|check| &check.windows);
    let decided = decided.map(Option::as_ref).chain(std::iter::repeat(None));
    let windows = answer.surveyed.windows.iter().zip(decided);
    let windows = windows.map(|(window, decided)| row(window, decided, system));
    table(&named, shots.chain(windows))
}

fn shot(index: usize, point: &Point, system: System) -> Vec<String> {
    let lengths = [point.elevation, point.drawn, point.elevation - point.drawn];
    let [elevation, drawn, above] = lengths.map(|length| number(length, system));
    let empty = String::new;
    vec![
        format!("/survey/shots/{index}"),
        point.layer.to_string(),
        point.piece.to_string(),
        number(point.along, system),
        number(point.across, system),
        empty(),
        empty(),
        elevation,
        drawn,
        above,
        empty(),
        empty(),
        empty(),
        empty(),
        empty(),
    ]
}

fn row(window: &Window, decided: Option<&Decided>, system: System) -> Vec<String> {
    let (from, to) = match window.direction {
        LevelDirection::Along => ((window.from, window.at), (window.to, window.at)),
        LevelDirection::Across => ((window.at, window.from), (window.at, window.to)),
    };
    let percent = |percent: f64| round_to(percent, 3).to_string();
    let limit = decided.and_then(|decided| match decided.limit? {
        Measured::Slope(slope) => Some(percent(slope.percent())),
        _ => None,
    });
    let verdict = match (window.slope, decided) {
        (None, _) => "not_measured",
        (_, None) => "",
        (_, Some(decided)) => decided.verdict.as_str(),
    };
    let tolerance = decided.and_then(|decided| decided.in_field_tolerance);
    let read = |text: String| window.slope.map_or_else(String::new, |_| text);
    let slope = window.slope.map(|slope| percent(slope.percent()));
    let empty = String::new;
    vec![
        text(&window.subject),
        format!("window_{}", window.direction),
        window.piece.to_string(),
        number(from.0, system),
        number(from.1, system),
        number(to.0, system),
        number(to.1, system),
        empty(),
        empty(),
        empty(),
        slope.unwrap_or_default(),
        read(percent(window.uncertainty.percent())),
        limit.unwrap_or_default(),
        verdict.to_owned(),
        tolerance.map_or_else(empty, |inside| inside.to_string()),
    ]
}

fn number(length: Length, system: System) -> String {
    let value = match system {
        System::Us => round_to(length.inches(), 3),
        System::Metric => round_to(length.millimetres(), 2),
    };
    value.to_string()
}
