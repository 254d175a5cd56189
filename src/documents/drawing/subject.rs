//! What is drawn: a job solved in space, where its pieces lie, how they fall, and its bars.

use crate::geometry::{Geometry, Grades, Place, SurfaceKind};
use crate::job::{Job, Work};
use crate::takeoff::Takeoff;

/// A job as the rooms above have worked it out.
#[derive(Clone, Copy, Debug)]
pub struct Subject<'a> {
    /// The job.
    pub job: &'a Job,
    /// Solved in space.
    pub geometry: &'a Geometry,
    /// Where its pieces lie, on plan.
    pub places: &'a [Place],
    /// How they fall.
    pub grades: &'a Grades,
    /// What is ordered, for its bars.
    pub takeoff: &'a Takeoff,
}

impl Subject<'_> {
    /// What a piece is called on a drawing: as it is counted in the path.
    pub(super) fn name(&self, piece: usize) -> String {
        let kind = match self.geometry.surfaces[piece].kind {
            SurfaceKind::Landing => "landing",
            SurfaceKind::Run => "run",
        };
        let existing = match self.geometry.surfaces[piece].work {
            Work::New => "",
            Work::Existing => ", existing",
        };
        format!("{kind} {piece}{existing}")
    }

    /// The piece that stands for all in a section: the first new run, else the first new piece.
    pub(super) fn typical(&self) -> Option<usize> {
        let surfaces = &self.geometry.surfaces;
        let new = |index: &usize| surfaces[*index].work == Work::New;
        let run = |index: &usize| surfaces[*index].kind == SurfaceKind::Run;
        let mut all = (0..surfaces.len()).filter(new);
        all.clone().find(run).or_else(|| all.next())
    }
}
