//! What a grade sheet left open, answered.

use crate::job::choice::{EdgeKind, Side};
use crate::job::fill::{Fill, Place};
use crate::job::full::{GradeSheet, Job};
use crate::job::sent::{BenchmarkRequest, GradeSheetRequest};
use crate::job::{Assumption, Piece};
use crate::quantity::{Faults, Length};

/// How the grade sheet of a job is wanted, with the defaults that were used.
///
/// # Errors
/// All faults of the section, each at its place in the request as sent.
pub fn expand_grade_sheet(
    sent: Option<GradeSheetRequest>,
    job: &Job,
) -> Result<(GradeSheet, Vec<Assumption>), Faults> {
    let mut fill = Fill::new(job.units);
    let sheet = fill_grade_sheet(&mut fill, sent.unwrap_or_default(), job);
    fill.faults.or((sheet, fill.assumptions))
}

fn fill_grade_sheet(fill: &mut Fill, sent: GradeSheetRequest, job: &Job) -> GradeSheet {
    let root = Place::default();
    let place = root.field("grade_sheet");
    let step = fill.quantity(&place.field("step"), sent.step);
    let datum = fill.quantity(&place.field("datum"), sent.datum);
    let at = place.field("benchmark");
    let line_of_sight = sent.benchmark.map(|sent| sight(fill, &at, sent, datum));
    GradeSheet {
        step,
        falls_to: fill.choice(
            &place.field("falls_to"),
            sent.falls_to,
            away_from_walls(job),
        ),
        twist_over: fill.optional(&place.field("twist_over"), sent.twist_over),
        datum,
        line_of_sight,
    }
}

/// Elevation of the line of sight.
fn sight(fill: &mut Fill, place: &Place<'_>, sent: BenchmarkRequest, datum: Length) -> Length {
    let elevation = fill.quantity_else(&place.field("elevation"), sent.elevation, datum);
    let rod = fill.optional(&place.field("rod"), Some(sent.rod));
    elevation + rod.unwrap_or(sent.rod)
}

/// Away from the side along which more wall stands; to the right where neither has more.
fn away_from_walls(job: &Job) -> Side {
    let walls = |side: fn(&Piece) -> Option<EdgeKind>| {
        let kinds = job.ramp.path.iter().filter_map(side);
        kinds.filter(|kind| *kind == EdgeKind::AgainstWall).count()
    };
    if walls(|piece| piece.edges().right) > walls(|piece| piece.edges().left) {
        Side::Left
    } else {
        Side::Right
    }
}
