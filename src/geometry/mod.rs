//! A job solved in space: surfaces with elevations, edges, clear widths, joints, height budget, and the
//! grades that a crew sets.
//!
//! Invariants: elevations are on the centre line, from the foot up; cross slope is left out of
//! lengths and areas (it adds under 0.02 %); every length along a run is along the sloping surface
//! unless its name says plan. Absent: any judgement, any material, any limit of a building code.

mod edge;
mod fall;
mod grade;
mod joint;
mod layout;
mod solid;
mod surface;
pub mod survey;

pub use edge::{EdgeLine, Stands};
pub use fall::{Across, Lie, Plane, Ruled};
pub use grade::{
    Grade, GradedPiece, GradedPoint, GradedStation, Grades, MOST_STATIONS, Mark, count_stations,
    grade,
};
pub use joint::{IsolationJoint, JointLayout, JointWarning, PanelGrid};
pub use layout::{Place, Point, check_apart, place_pieces, turn_of};
pub use solid::{
    Bed, FormHeld, MatShape, PouredWith, Replaced, Solid, SolidFace, Top, Trench, measure_prismoid,
};
pub use surface::{Surface, SurfaceKind};

use crate::job::{Job, Work};
use crate::quantity::{Area, Length};

/// A job solved in space.
#[derive(Clone, Debug, PartialEq)]
pub struct Geometry {
    /// One surface a piece of the path, in its order.
    pub surfaces: Vec<Surface>,
    /// Every stretch of edge of every piece.
    pub edges: Vec<EdgeLine>,
    /// Joints.
    pub joints: JointLayout,
    /// What is poured around the ramp.
    pub solids: Vec<Solid>,
    /// What the height is made of, from the foot up.
    pub height_budget: Vec<HeightStep>,
}

/// One step of the height budget.
#[derive(Clone, Debug, PartialEq)]
pub struct HeightStep {
    /// JSON Pointer into the expanded job.
    pub subject: String,
    /// What it is.
    pub what: HeightWhat,
    /// How much it adds.
    pub rise: Length,
}

/// What a step of the height budget is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeightWhat {
    /// A run's rise.
    Run,
    /// What a landing rises along the path.
    Landing,
    /// A door's threshold above the slab.
    Threshold,
}

/// Solves a job in space.
pub fn solve(job: &Job) -> Geometry {
    let surfaces = surface::measure_surfaces(job);
    let edges = edge::measure_edges(job, &surfaces);
    let joints = joint::lay_out_joints(job, &surfaces, &edges);
    let height_budget = surface::measure_heights(job);
    Geometry {
        surfaces,
        edges,
        joints,
        solids: solid::measure_solids(job),
        height_budget,
    }
}

/// Whether two jobs say the same of all that [`solve`] reads.
pub fn reads_the_same(a: &Job, b: &Job) -> bool {
    a.ramp == b.ramp
        && a.elements == b.elements
        && a.joints == b.joints
        && a.slab.thickness == b.slab.thickness
}

impl Geometry {
    /// Sum of the runs' rises.
    pub fn total_rise(&self) -> Length {
        let runs = self
            .height_budget
            .iter()
            .filter(|step| step.what == HeightWhat::Run);
        runs.map(|step| step.rise).sum()
    }

    /// Sum of every step, from the foot to the top of the threshold.
    pub fn total_height(&self) -> Length {
        self.height_budget.iter().map(|step| step.rise).sum()
    }

    /// Length on plan along the path, landings included.
    pub fn plan_length(&self) -> Length {
        self.surfaces
            .iter()
            .map(|surface| surface.plan_length)
            .sum()
    }

    /// Length along the surface along the path, landings included.
    pub fn surface_length(&self) -> Length {
        self.surfaces
            .iter()
            .map(|surface| surface.surface_length)
            .sum()
    }

    /// Area of the new surfaces of the ramp.
    pub fn new_area(&self) -> Area {
        self.new_surfaces().map(|surface| surface.area).sum()
    }

    /// Area of everything finished at its top: the ramp's new surfaces and what is poured around it.
    pub fn finished_area(&self) -> Area {
        let around: Area = self.solids.iter().map(Solid::top_area).sum();
        self.new_area() + around
    }

    /// Surfaces that this job pours.
    pub fn new_surfaces(&self) -> impl Iterator<Item = &Surface> {
        self.surfaces
            .iter()
            .filter(|surface| surface.work == Work::New)
    }

    /// Edges of pieces that this job pours.
    pub fn new_edges(&self) -> impl Iterator<Item = &EdgeLine> {
        self.edges
            .iter()
            .filter(|edge| self.surfaces[edge.piece].work == Work::New)
    }
}

/// JSON Pointer of a piece of the path.
pub fn piece_pointer(index: usize) -> String {
    format!("/ramp/path/{index}")
}
