//! Joint layout: a joint at every crease, even panels between, isolation against what exists.
//!
//! Invariants: panels of one piece are equal; the stated spacing is exceeded by at most the slack;
//! no panel is longer than its aspect row allows. Absent: depth and means of cutting.

use super::edge::{EdgeLine, Stands};
use super::piece_pointer;
use super::surface::Surface;
use crate::job::{EdgeKind, EdgeName, Job, Work};
use crate::quantity::{Citation, Length, ceil};
use serde::Deserialize;
use std::sync::LazyLock;

/// Joints of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct JointLayout {
    /// Number of contraction joints: creases, and those between panels.
    pub contraction_count: u32,
    /// Their length in all.
    pub contraction_length: Length,
    /// Isolation joints, one a stretch of edge.
    pub isolation: Vec<IsolationJoint>,
    /// Panels of each new piece.
    pub panels: Vec<PanelGrid>,
    /// What a person should know about the spacing.
    pub warnings: Vec<JointWarning>,
}

/// The panels of one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct PanelGrid {
    /// Index of the piece.
    pub piece: usize,
    /// Panels along the path.
    pub along: u32,
    /// Panels across.
    pub across: u32,
    /// Length of each, along the surface.
    pub length: Length,
    /// Width of each.
    pub width: Length,
}

/// An isolation joint.
#[derive(Clone, Debug, PartialEq)]
pub struct IsolationJoint {
    /// Index of the piece.
    pub piece: usize,
    /// Along which edge.
    pub edge: EdgeName,
    /// How long.
    pub length: Length,
}

/// A spacing that asks for attention.
#[derive(Clone, Debug, PartialEq)]
pub struct JointWarning {
    /// JSON Pointer of the piece.
    pub subject: String,
    /// The longest panel.
    pub panel: Length,
    /// What it is measured against.
    pub limit: Length,
    /// How many times the thickness that is.
    pub factor: f64,
    /// Where that comes from.
    pub source: Citation,
}

#[derive(Debug, Deserialize)]
struct Row {
    factor: f64,
    #[serde(flatten)]
    source: Citation,
}

#[derive(Debug, Deserialize)]
struct Rows {
    warn_above: Row,
    cap: Row,
    panel_aspect: Row,
    joint_along_above: Row,
}

static ROWS: LazyLock<Rows> = LazyLock::new(|| {
    toml::from_str(include_str!("joint.toml")).expect("the embedded joint rows are read by a test")
});

impl PanelGrid {
    /// Longer side over shorter side.
    pub fn aspect(&self) -> f64 {
        let ratio = self.length / self.width;
        ratio.max(1.0 / ratio)
    }
}

impl JointLayout {
    /// Isolation joints in all.
    pub fn isolation_length(&self) -> Length {
        self.isolation.iter().map(|joint| joint.length).sum()
    }

    /// The longest side of any panel.
    pub fn longest_panel(&self) -> Length {
        self.panels
            .iter()
            .map(|p| p.length.max(p.width))
            .fold(Length::ZERO, Length::max)
    }

    /// The worst ratio of a panel's sides; 1 when there is none.
    pub fn worst_aspect(&self) -> f64 {
        self.panels
            .iter()
            .map(PanelGrid::aspect)
            .fold(1.0, f64::max)
    }
}

pub(super) fn lay_out_joints(job: &Job, surfaces: &[Surface], edges: &[EdgeLine]) -> JointLayout {
    let new = |index: &usize| surfaces[*index].work == Work::New;
    let panels: Vec<PanelGrid> = (0..surfaces.len())
        .filter(new)
        .map(|index| lay_out_panels(job, &surfaces[index], index))
        .collect();
    let mut count = 0;
    let mut length = Length::ZERO;
    for grid in &panels {
        let surface = &surfaces[grid.piece];
        let (across, along) = (grid.along - 1, grid.across - 1);
        count += across + along;
        length =
            length + surface.width * f64::from(across) + surface.surface_length * f64::from(along);
    }
    // A crease belongs to two pieces and is counted at the upper one.
    for edge in edges
        .iter()
        .filter(|edge| edge.name == EdgeName::Start && edge.stands == Stands::Joined)
    {
        if let Some(crease) = crease_below(edges, edge) {
            count += 1;
            length += crease;
        }
    }
    let isolation = find_isolation(surfaces, edges);
    let warnings = panels
        .iter()
        .filter_map(|grid| warn_of_spacing(job, grid))
        .collect();
    JointLayout {
        contraction_count: count,
        contraction_length: length,
        isolation,
        panels,
        warnings,
    }
}

/// Length of the crease between a piece and the one below it.
fn crease_below(edges: &[EdgeLine], start: &EdgeLine) -> Option<Length> {
    // A landing that turns back has its next run at the same edge; that crease is counted there.
    let first = edges
        .iter()
        .find(|edge| edge.piece == start.piece && edge.name == EdgeName::Start)?;
    std::ptr::eq(first, start).then_some(start.length)
}

/// Panels along and across a slab of such a size.
pub(super) fn count_panels(job: &Job, length: Length, width: Length) -> (u32, u32) {
    let most = job.joints.spacing * (1.0 + job.joints.slack.fraction());
    let wide = job.joints.spacing * ROWS.joint_along_above.factor;
    let across = if width.at_most(wide) {
        1
    } else {
        panels_in(width, most)
    };
    let width = width / f64::from(across);
    let longest = most.min(width * ROWS.panel_aspect.factor);
    (panels_in(length, longest), across)
}

fn lay_out_panels(job: &Job, surface: &Surface, index: usize) -> PanelGrid {
    let (along, across) = count_panels(job, surface.surface_length, surface.width);
    let width = surface.width / f64::from(across);
    PanelGrid {
        piece: index,
        along,
        across,
        length: surface.surface_length / f64::from(along),
        width,
    }
}

fn panels_in(length: Length, most: Length) -> u32 {
    // Bounds rows keep this between one and a few thousand.
    ceil(length / most).clamp(1.0, 1e6) as u32
}

fn find_isolation(surfaces: &[Surface], edges: &[EdgeLine]) -> Vec<IsolationJoint> {
    let against = |edge: &&EdgeLine| {
        surfaces[edge.piece].work == Work::New
            && matches!(
                edge.stands,
                Stands::JoinedToExisting
                    | Stands::Edge(EdgeKind::AgainstWall | EdgeKind::AgainstWalk)
            )
    };
    edges
        .iter()
        .filter(against)
        .map(|edge| IsolationJoint {
            piece: edge.piece,
            edge: edge.name,
            length: edge.length,
        })
        .collect()
}

fn warn_of_spacing(job: &Job, grid: &PanelGrid) -> Option<JointWarning> {
    let thickness = job.slab.thickness;
    let panel = grid.length.max(grid.width);
    let row = [&ROWS.cap, &ROWS.warn_above]
        .into_iter()
        .find(|row| !panel.at_most(thickness * row.factor))?;
    Some(JointWarning {
        subject: piece_pointer(grid.piece),
        panel,
        limit: thickness * row.factor,
        factor: row.factor,
        source: row.source.clone(),
    })
}
