//! The whole grade sheet as a sheet of its own.

use super::block::{Block, Body, Sheet};
use crate::documents::drawing::Title;
use crate::geometry::{Across, Geometry, Grade, GradedPoint, GradedStation, Grades, SurfaceKind};
use crate::quantity::{Length, System};

const HEADS: [&str; 14] = [
    "piece",
    "at",
    "along",
    "left",
    "middle",
    "right",
    "cross fall",
    "form left",
    "form right",
    "slab bottom",
    "dig to",
    "rod left",
    "rod middle",
    "rod right",
];

/// Every station of a path, under what the crew should know.
pub fn write_grade_sheet(
    (geometry, grades): (&Geometry, &Grades),
    notes: &[String],
    title: &Title,
) -> Sheet {
    let pieces = grades.pieces.iter();
    let rows = pieces.flat_map(|piece| {
        let surface = &geometry.surfaces[piece.piece];
        let kind = match surface.kind {
            SurfaceKind::Landing => "landing",
            SurfaceKind::Run => "run",
        };
        let name = format!("{kind} {}", piece.piece);
        let width = surface.width;
        let stations = piece.stations.iter();
        stations.map(move |station| row(&name, (station, width), title.system))
    });
    let table = Body::Table {
        heads: HEADS.map(str::to_owned).to_vec(),
        rows: rows.collect(),
        to_fill: false,
    };
    let lies = grades
        .pieces
        .iter()
        .map(|piece| format!("Piece {}: {}.", piece.piece, piece.lie.in_words()));
    let told = notes.iter().cloned().chain(lies).collect();
    Sheet {
        title: if title.job.is_empty() {
            "Ramp without a name".to_owned()
        } else {
            title.job.clone()
        },
        subtitle: format!("Grade sheet, {}, crossfall {}", title.day, title.version),
        blocks: vec![
            Block::wide(
                "Elevations of the finished surface, tops of forms, bottoms, and what the rod reads on the surface",
                table,
            ),
            Block::wide("To know", Body::Lines(told)),
        ],
    }
}

fn row(name: &str, (station, width): (&GradedStation, Length), system: System) -> Vec<String> {
    let point = |across: Across| station.points.iter().find(|point| point.across == across);
    let tape = |length: Option<Length>| {
        length.map_or_else(|| "-".to_owned(), |length| length.tape(system))
    };
    let at = |across: Across, of: fn(&GradedPoint) -> Option<Grade>| {
        tape(point(across).and_then(of).map(|grade| grade.elevation))
    };
    let rod = |across: Across| tape(point(across).and_then(|point| point.finish.rod));
    let fall = (station.to_left * width).abs();
    let side = station.falls_to().map_or("", |side| side.as_str());
    let finish = |across: Across| at(across, |point| Some(point.finish));
    let form = |across: Across| at(across, |point| point.form_top);
    let dig = |point: &GradedPoint| {
        point
            .stone_bottom
            .or(point.insulation_bottom)
            .or(point.slab_bottom)
    };
    vec![
        name.to_owned(),
        station.mark.as_str().to_owned(),
        station.along.tape(system),
        finish(Across::Left),
        finish(Across::Centre),
        finish(Across::Right),
        format!("{} {side}", fall.tape(system))
            .trim_end()
            .to_owned(),
        form(Across::Left),
        form(Across::Right),
        at(Across::Centre, |point| point.slab_bottom),
        at(Across::Centre, dig),
        rod(Across::Left),
        rod(Across::Centre),
        rod(Across::Right),
    ]
}
