//! A job solved in space, as a caller reads it.

use super::{View, plain};
use crate::geometry::{
    EdgeLine, Geometry, HeightWhat, Stands, Surface, SurfaceKind, piece_pointer,
};
use crate::job::{EdgeName, Job, Work};
use crate::quantity::Citation;
use crate::quantity::shown::{Ft2M2, FtM, InMm, SlopePct};
use crate::quantity::slack::round_to;
use serde::Serialize;
use utoipa::ToSchema;

/// A job solved in space; elevations are on the centre line.
#[derive(Debug, Serialize, ToSchema)]
pub struct GeometryAnswer {
    /// Sum of the runs' rises.
    pub total_rise: InMm,
    /// From the foot to the top of everything in `height_budget`.
    pub total_height: InMm,
    /// On plan along the path, landings included.
    pub total_plan_length: FtM,
    /// Along the surface.
    pub total_surface_length: FtM,
    /// New surface of the ramp.
    pub surface_area: Ft2M2,
    /// What the height is made of, from the foot up.
    pub height_budget: Vec<HeightAnswer>,
    /// One a piece of the path.
    pub surfaces: Vec<SurfaceAnswer>,
    /// Every stretch of edge.
    pub edges: Vec<EdgeAnswer>,
    /// Joints.
    pub joints: JointsAnswer,
}

/// One step of the height budget.
#[derive(Debug, Serialize, ToSchema)]
pub struct HeightAnswer {
    /// JSON Pointer into the expanded job.
    pub subject: String,
    /// `run`, `landing` or `threshold`.
    pub what: &'static str,
    /// What it adds.
    pub rise: InMm,
}

/// The surface of one piece.
#[derive(Debug, Serialize, ToSchema)]
pub struct SurfaceAnswer {
    /// JSON Pointer into the expanded job.
    pub subject: String,
    /// `landing` or `run`.
    pub kind: &'static str,
    /// New or existing.
    pub work: Work,
    /// From the foot to its lower end, on plan.
    pub station: FtM,
    /// On plan.
    pub plan_length: FtM,
    /// Along the surface.
    pub surface_length: FtM,
    /// The plan length as the tape shows it.
    pub plan_length_tape: String,
    /// Along the path.
    pub slope: SlopePct,
    /// Across it.
    pub cross_slope: SlopePct,
    /// Slab edge to slab edge.
    pub slab_width: InMm,
    /// Between curbs.
    pub clear_width: InMm,
    /// Between handrails, where their place is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub between_rails: Option<InMm>,
    /// Between two walls, where they stand on both sides.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub between_walls: Option<InMm>,
    /// Along the surface times slab width.
    pub area: Ft2M2,
    /// Lower end above the foot.
    pub elevation_start: InMm,
    /// Upper end above the foot.
    pub elevation_end: InMm,
}

/// One stretch of edge.
#[derive(Debug, Serialize, ToSchema)]
pub struct EdgeAnswer {
    /// JSON Pointer of its piece.
    pub subject: String,
    /// Which edge of it.
    pub edge: EdgeName,
    /// `formed`, `against_wall`, `form_on_wall`, `against_walk`, `joined` or `joined_to_existing`.
    pub stands: &'static str,
    /// Along the surface.
    pub length: FtM,
    /// True when the curb runs along it.
    pub curb: bool,
}

/// Joints.
#[derive(Debug, Serialize, ToSchema)]
pub struct JointsAnswer {
    /// Contraction joints, creases among them.
    pub contraction: ContractionAnswer,
    /// Isolation joints in all.
    pub isolation_length: FtM,
    /// Panels of each new piece.
    pub panels: Vec<PanelAnswer>,
    /// Longest side of any panel.
    pub longest_panel: FtM,
    /// Worst ratio of a panel's sides.
    #[serde(serialize_with = "plain")]
    pub worst_aspect: f64,
    /// Spacings that ask for attention.
    pub warnings: Vec<JointWarningAnswer>,
}

/// Contraction joints.
#[derive(Debug, Serialize, ToSchema)]
pub struct ContractionAnswer {
    /// How many.
    pub count: u32,
    /// In all.
    pub length: FtM,
    /// Depth.
    pub depth: InMm,
}

/// Panels of one piece.
#[derive(Debug, Serialize, ToSchema)]
pub struct PanelAnswer {
    /// JSON Pointer of the piece.
    pub subject: String,
    /// Panels along the path.
    pub along: u32,
    /// Panels across.
    pub across: u32,
    /// Length of each.
    pub length: FtM,
    /// Width of each.
    pub width: FtM,
}

/// A joint spacing that asks for attention.
#[derive(Debug, Serialize, ToSchema)]
pub struct JointWarningAnswer {
    /// JSON Pointer of the piece.
    pub subject: String,
    /// What to know.
    pub text: String,
    /// Where the limit comes from.
    pub source: Citation,
}

impl GeometryAnswer {
    /// Geometry, shown.
    pub fn of(job: &Job, geometry: &Geometry, view: View) -> Self {
        let system = view.system;
        let joints = &geometry.joints;
        let surfaces = geometry.surfaces.iter().enumerate();
        Self {
            total_rise: InMm::of(geometry.total_rise(), system),
            total_height: InMm::of(geometry.total_height(), system),
            total_plan_length: FtM::of(geometry.plan_length(), system),
            total_surface_length: FtM::of(geometry.surface_length(), system),
            surface_area: Ft2M2::of(geometry.new_area(), system),
            height_budget: geometry
                .height_budget
                .iter()
                .map(|step| HeightAnswer {
                    subject: step.subject.clone(),
                    what: height_what(step.what),
                    rise: InMm::of(step.rise, system),
                })
                .collect(),
            surfaces: surfaces
                .map(|(index, surface)| show_surface(index, surface, view))
                .collect(),
            edges: geometry
                .edges
                .iter()
                .map(|edge| show_edge(edge, view))
                .collect(),
            joints: JointsAnswer {
                contraction: ContractionAnswer {
                    count: joints.contraction_count,
                    length: FtM::of(joints.contraction_length, system),
                    depth: InMm::of(job.joints.depth, system),
                },
                isolation_length: FtM::of(joints.isolation_length(), system),
                panels: show_panels(geometry, view),
                longest_panel: FtM::of(joints.longest_panel(), system),
                worst_aspect: round_to(joints.worst_aspect(), 2),
                warnings: show_warnings(geometry, view),
            },
        }
    }
}

fn show_surface(index: usize, surface: &Surface, view: View) -> SurfaceAnswer {
    let system = view.system;
    SurfaceAnswer {
        subject: piece_pointer(index),
        kind: match surface.kind {
            SurfaceKind::Landing => "landing",
            SurfaceKind::Run => "run",
        },
        work: surface.work,
        station: FtM::of(surface.station, system),
        plan_length: FtM::of(surface.plan_length, system),
        surface_length: FtM::of(surface.surface_length, system),
        plan_length_tape: surface.plan_length.tape(system),
        slope: SlopePct::of(surface.slope, system),
        cross_slope: SlopePct::of(surface.cross_slope, system),
        slab_width: InMm::of(surface.width, system),
        clear_width: InMm::of(surface.clear_width, system),
        between_rails: surface.between_rails.map(|width| InMm::of(width, system)),
        between_walls: surface.between_walls.map(|width| InMm::of(width, system)),
        area: Ft2M2::of(surface.area, system),
        elevation_start: InMm::of(surface.elevation_start, system),
        elevation_end: InMm::of(surface.elevation_end, system),
    }
}

fn show_edge(edge: &EdgeLine, view: View) -> EdgeAnswer {
    EdgeAnswer {
        subject: piece_pointer(edge.piece),
        edge: edge.name,
        stands: match edge.stands {
            Stands::Edge(kind) => kind.as_str(),
            Stands::Joined => "joined",
            Stands::JoinedToExisting => "joined_to_existing",
        },
        length: FtM::of(edge.length, view.system),
        curb: edge.curb,
    }
}

fn show_panels(geometry: &Geometry, view: View) -> Vec<PanelAnswer> {
    let panels = geometry.joints.panels.iter();
    panels
        .map(|grid| PanelAnswer {
            subject: piece_pointer(grid.piece),
            along: grid.along,
            across: grid.across,
            length: FtM::of(grid.length, view.system),
            width: FtM::of(grid.width, view.system),
        })
        .collect()
}

fn show_warnings(geometry: &Geometry, view: View) -> Vec<JointWarningAnswer> {
    let warnings = geometry.joints.warnings.iter();
    warnings
        .map(|warning| JointWarningAnswer {
            subject: warning.subject.clone(),
            text: format!(
                "a panel of {} is longer than {} times the thickness ({}): set joints closer",
                warning.panel.tape(view.system),
                warning.factor,
                warning.limit.tape(view.system)
            ),
            source: warning.source.clone(),
        })
        .collect()
}

const fn height_what(what: HeightWhat) -> &'static str {
    match what {
        HeightWhat::Run => "run",
        HeightWhat::Landing => "landing",
        HeightWhat::Threshold => "threshold",
    }
}
