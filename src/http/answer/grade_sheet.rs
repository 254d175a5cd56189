//! Grades, as a caller reads them.

use super::View;
use crate::geometry::{
    Geometry, Grade, GradedPiece, GradedPoint, GradedStation, Grades, Lie, SurfaceKind,
    piece_pointer,
};
use crate::job::{GradeSheet, Side, Work};
use crate::quantity::shown::{ElevationFtM, FtM, InMm, SlopePct};
use crate::quantity::{Length, Slope, System};
use serde::Serialize;
use utoipa::ToSchema;

/// The grades of one piece of the path.
#[derive(Debug, Serialize, ToSchema)]
pub struct GradedPieceAnswer {
    /// JSON Pointer into the expanded job.
    pub subject: String,
    /// `landing` or `run`.
    pub kind: &'static str,
    /// New or existing; an existing piece has finished grades only.
    pub work: Work,
    /// How it lies, in words.
    pub lies: String,
    /// Of a landing: its steepest slope in any direction; of a run that twists: along its steeper edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steepest: Option<SlopePct>,
    /// From the lower end up.
    pub stations: Vec<GradedStationAnswer>,
}

/// The grades across one station.
#[derive(Debug, Serialize, ToSchema)]
pub struct GradedStationAnswer {
    /// From the foot of the path, on plan.
    pub station: FtM,
    /// From the lower end of the piece, on plan.
    pub along: FtM,
    /// The same, on the tape.
    pub along_tape: String,
    /// `end`, `crease`, `joint` or `step`.
    pub mark: &'static str,
    /// How much lower one edge is than the other.
    pub cross_fall: InMm,
    /// The same as a slope.
    pub cross_slope: SlopePct,
    /// To which side it falls; left out where it is level across.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub falls_to: Option<Side>,
    /// At the left edge of the slab.
    pub left: GradedPointAnswer,
    /// Midway between the edges.
    pub centre: GradedPointAnswer,
    /// At the right edge.
    pub right: GradedPointAnswer,
}

/// The grades of one point.
#[derive(Debug, Serialize, ToSchema)]
pub struct GradedPointAnswer {
    /// Finished surface.
    pub finish: GradeAnswer,
    /// Top of the form, over a curb the top of the curb; left out where no form stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub form_top: Option<GradeAnswer>,
    /// Bottom of the slab, plumb below.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom_of_slab: Option<GradeAnswer>,
    /// Bottom of the insulation.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom_of_insulation: Option<GradeAnswer>,
    /// Bottom of the stone: what is dug to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bottom_of_stone: Option<GradeAnswer>,
}

/// An elevation, and what the rod reads there.
#[derive(Debug, Serialize, ToSchema)]
pub struct GradeAnswer {
    /// Above the datum.
    pub elevation: ElevationFtM,
    /// The same in feet and inches to the sixteenth, or in millimetres.
    pub elevation_tape: String,
    /// What the rod reads; left out without a benchmark, and above the line of sight.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rod: Option<ElevationFtM>,
    /// The same in feet and inches to the sixteenth, or in millimetres.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rod_tape: Option<String>,
}

impl GradedPieceAnswer {
    /// Every piece, shown.
    pub fn of_all(geometry: &Geometry, grades: &Grades, view: View) -> Vec<Self> {
        let pieces = grades.pieces.iter();
        pieces
            .map(|piece| Self::of(geometry, piece, view.system))
            .collect()
    }

    fn of(geometry: &Geometry, piece: &GradedPiece, system: System) -> Self {
        let surface = &geometry.surfaces[piece.piece];
        let steepest = match &piece.lie {
            Lie::Plane(plane) => Some(plane.steepest()),
            Lie::Ruled(ruled) => ruled.steepest_edge(),
        };
        Self {
            subject: piece_pointer(piece.piece),
            kind: match surface.kind {
                SurfaceKind::Landing => "landing",
                SurfaceKind::Run => "run",
            },
            work: surface.work,
            lies: piece.lie.in_words(),
            steepest: steepest.map(|slope| SlopePct::of(slope, system)),
            stations: piece
                .stations
                .iter()
                .map(|station| GradedStationAnswer::of(station, surface.width, system))
                .collect(),
        }
    }
}

impl GradedStationAnswer {
    fn of(graded: &GradedStation, width: Length, system: System) -> Self {
        let across = Slope::from_ratio(graded.to_left.ratio().abs());
        let [left, centre, right] = graded
            .points
            .map(|point| GradedPointAnswer::of(point, system));
        Self {
            station: FtM::of(graded.station, system),
            along: FtM::of(graded.along, system),
            along_tape: graded.along.tape(system),
            mark: graded.mark.as_str(),
            cross_fall: InMm::of(across * width, system),
            cross_slope: SlopePct::of(across, system),
            falls_to: graded.falls_to(),
            left,
            centre,
            right,
        }
    }
}

impl GradedPointAnswer {
    fn of(point: GradedPoint, system: System) -> Self {
        let show = |grade: Option<Grade>| grade.map(|grade| GradeAnswer::of(grade, system));
        Self {
            finish: GradeAnswer::of(point.finish, system),
            form_top: show(point.form_top),
            bottom_of_slab: show(point.slab_bottom),
            bottom_of_insulation: show(point.insulation_bottom),
            bottom_of_stone: show(point.stone_bottom),
        }
    }
}

impl GradeAnswer {
    fn of(grade: Grade, system: System) -> Self {
        Self {
            elevation: ElevationFtM::of(grade.elevation, system),
            elevation_tape: grade.elevation.tape(system),
            rod: grade.rod.map(|rod| ElevationFtM::of(rod, system)),
            rod_tape: grade.rod.map(|rod| rod.tape(system)),
        }
    }
}

/// What the crew should know of a sheet, in sentences.
pub fn tell_notes(
    geometry: &Geometry,
    grades: &Grades,
    wanted: &GradeSheet,
    view: View,
) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some((count, highest)) = grades.out_of_sight {
        notes.push(format!(
            "{count} points stand above the line of sight, the highest by {}: set the instrument up higher, or give another benchmark.",
            highest.tape_up(view.system)
        ));
    }
    for piece in &grades.pieces {
        notes.extend(twist_note(geometry, piece));
    }
    if wanted.line_of_sight.is_none() {
        notes.push("Give a benchmark with the rod read on it to have rod readings.".to_owned());
    }
    notes
}

fn twist_note(geometry: &Geometry, piece: &GradedPiece) -> Option<String> {
    let Lie::Ruled(ruled) = &piece.lie else {
        return None;
    };
    let edge = ruled.steepest_edge()?;
    let centre = geometry.surfaces[piece.piece].slope;
    Some(format!(
        "The run at {} twists to meet its landings: along one edge it rises {:.2} % where its middle rises {:.2} %. Hold a level on that edge before the pour.",
        piece_pointer(piece.piece),
        edge.percent(),
        centre.percent()
    ))
}
