//! A grade sheet as rows: one a point, in the path's order, from left to right.
//!
//! Invariant: elevations and rod readings twice, as a number in the unit that the heading names and as
//! the tape shows them; a cell that says nothing is empty.

use super::csv::{table, text};
use crate::geometry::{Geometry, Grade, GradedPoint, GradedStation, Grades};
use crate::quantity::{Length, System, round_to};

/// What is told of every point, beside its finished grade.
const GRADES: [&str; 5] = [
    "finish",
    "form_top",
    "bottom_of_slab",
    "bottom_of_insulation",
    "bottom_of_stone",
];

/// The grades of a path, one row a point.
pub fn write_grades(geometry: &Geometry, grades: &Grades, system: System) -> String {
    let unit = match system {
        System::Us => "ft",
        System::Metric => "m",
    };
    let columns = columns(unit);
    let named: Vec<&str> = columns.iter().map(String::as_str).collect();
    let rows = grades.pieces.iter().flat_map(|piece| {
        let stations = piece.stations.iter();
        let width = geometry.surfaces[piece.piece].width;
        stations.flat_map(move |station| {
            let points = station.points.iter();
            points.map(move |point| row(piece.piece, (station, width), point, system))
        })
    });
    table(&named, rows)
}

fn columns(unit: &str) -> Vec<String> {
    let fall = if unit == "ft" {
        "cross_fall_in"
    } else {
        "cross_fall_mm"
    };
    let mut columns = vec![
        "piece".to_owned(),
        format!("station_{unit}"),
        format!("along_{unit}"),
        "along".to_owned(),
        "mark".to_owned(),
        fall.to_owned(),
        "falls_to".to_owned(),
        "across".to_owned(),
    ];
    for grade in GRADES {
        columns.push(format!("{grade}_{unit}"));
        columns.push(grade.to_owned());
        columns.push(format!("{grade}_rod_{unit}"));
        columns.push(format!("{grade}_rod"));
    }
    columns
}

fn row(
    piece: usize,
    (station, width): (&GradedStation, Length),
    point: &GradedPoint,
    system: System,
) -> Vec<String> {
    let fall = (station.to_left * width).abs();
    let fall = match system {
        System::Us => round_to(fall.inches(), 2),
        System::Metric => round_to(fall.millimetres(), 1),
    };
    let mut cells = vec![
        piece.to_string(),
        number(station.station, system),
        number(station.along, system),
        station.along.tape(system),
        station.mark.as_str().to_owned(),
        fall.to_string(),
        station
            .falls_to()
            .map_or_else(String::new, |side| side.to_string()),
        point.across.as_str().to_owned(),
    ];
    let grades = [
        Some(point.finish),
        point.form_top,
        point.slab_bottom,
        point.insulation_bottom,
        point.stone_bottom,
    ];
    for grade in grades {
        cells.extend(grade_cells(grade, system));
    }
    cells
}

fn grade_cells(grade: Option<Grade>, system: System) -> [String; 4] {
    let rod = grade.and_then(|grade| grade.rod);
    let elevation = grade.map(|grade| grade.elevation);
    let shown = |length: Option<Length>| length.map_or_else(String::new, |l| number(l, system));
    // A tape below the datum begins with a minus, which a spreadsheet would take for a formula.
    let taped = |length: Option<Length>| length.map_or_else(String::new, |l| text(&l.tape(system)));
    [shown(elevation), taped(elevation), shown(rod), taped(rod)]
}

fn number(length: Length, system: System) -> String {
    let value = match system {
        System::Us => length.feet(),
        System::Metric => length.metres(),
    };
    round_to(value, 3).to_string()
}
