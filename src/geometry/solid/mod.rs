//! What is poured around the ramp, solved in space: volumes, surfaces, faces, beds, joints.
//!
//! Invariants: volumes are exact for the shapes described, by the prismoidal formula where a size tapers;
//! corners count once; the parts of a solid add up to it. Absent: any material, waste, a limit.

mod curb_ramp;
mod edge;
mod leg;
mod slab;
mod steps;
mod tie_in;
mod walk;
mod wall;

use crate::job::{By, EdgeKind, Element, Job};
use crate::quantity::{Area, Length, Slope, Volume};

/// When a solid is poured: what others stand on comes first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum PouredWith {
    /// Before the walls.
    Footings,
    /// Before the slabs.
    Walls,
    /// With the ramp.
    #[default]
    Slabs,
}

/// Something poured around the ramp.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Solid {
    /// JSON Pointer into the expanded job.
    pub of: String,
    /// What it is called: `walk 1`, counted by kind in the order of the job.
    pub name: String,
    /// Who builds it.
    pub by: Option<By>,
    /// When it is poured.
    pub poured: PouredWith,
    /// What of it is poured, and how much.
    pub parts: Vec<(&'static str, Volume)>,
    /// Finished surfaces.
    pub tops: Vec<Top>,
    /// Faces that are formed.
    pub faces: Vec<SolidFace>,
    /// What it lies on, where that is stone.
    pub bed: Bed,
    /// Where a mat of bars lies.
    pub mats: Vec<MatShape>,
    /// Bars in a line, and how long each is drawn.
    pub lines: Vec<(u32, Length)>,
    /// Contraction joints, each.
    pub contraction: Vec<Length>,
    /// Isolation joints, each.
    pub isolation: Vec<Length>,
    /// What is dug for it.
    pub trench: Option<Trench>,
    /// Existing concrete that it takes the place of.
    pub replaced: Option<Replaced>,
}

/// A finished surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Top {
    /// Along the surface.
    pub area: Area,
    /// Rise over plan length, along.
    pub slope: Slope,
    /// Treads and risers, finished by hand.
    pub stepped: bool,
}

/// A face that is formed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SolidFace {
    /// Along it.
    pub length: Length,
    /// Its height at one end and at the other.
    pub heights: (Length, Length),
    /// What holds the form.
    pub held: FormHeld,
    /// It stays in sight.
    pub in_sight: bool,
}

/// What holds the form of a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FormHeld {
    /// Stakes in the ground.
    Staked,
    /// Braces, on both sides of a wall.
    Braced,
    /// Screws in an existing wall.
    OnWall,
    /// The forms beside it: risers, the inner faces of cheek walls.
    Hung,
}

/// What a solid lies on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bed {
    /// Under the solid.
    pub area: Area,
    /// Edges past which the bed reaches.
    pub open: Length,
    /// Corners at which two such edges meet.
    pub corners: u32,
}

/// Where a mat of bars lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MatShape {
    /// The way the solid runs.
    pub length: Length,
    /// Across it; upright in a wall.
    pub width: Length,
    /// How many alike.
    pub times: u32,
    /// It stands in a wall.
    pub upright: bool,
}

/// A trench.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trench {
    /// Along it.
    pub length: Length,
    /// Of what stands in it.
    pub width: Length,
    /// Deep, the mean.
    pub depth: Length,
    /// Sides on which room is needed to set a form: none, one or two.
    pub open_sides: u32,
}

/// Existing concrete that is broken out for a solid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Replaced {
    /// Its surface.
    pub area: Area,
    /// Its thickness.
    pub thickness: Length,
    /// Sawn beforehand.
    pub sawn: Length,
    /// Holes drilled for dowels.
    pub dowels: u32,
    /// Length of each dowel.
    pub dowel_length: Length,
}

impl Solid {
    /// All of it.
    pub fn volume(&self) -> Volume {
        self.parts.iter().map(|(_, volume)| *volume).sum()
    }

    /// All finished surfaces.
    pub fn top_area(&self) -> Area {
        self.tops.iter().map(|top| top.area).sum()
    }

    fn add_edge(&mut self, kind: EdgeKind, length: Length, heights: (Length, Length)) {
        if length.at_most(Length::ZERO) || heights.0.max(heights.1).at_most(Length::ZERO) {
            return;
        }
        let held = match kind {
            EdgeKind::Formed => FormHeld::Staked,
            EdgeKind::FormOnWall => FormHeld::OnWall,
            EdgeKind::AgainstWall | EdgeKind::AgainstWalk => {
                self.isolation.push(length);
                return;
            }
        };
        if kind == EdgeKind::Formed {
            self.bed.open += length;
        }
        self.faces.push(SolidFace {
            length,
            heights,
            held,
            in_sight: false,
        });
    }
}

/// Every solid of a job, in its order: steps, curb ramps, then the elements.
pub(super) fn measure_solids(job: &Job) -> Vec<Solid> {
    let mut solids = Vec::new();
    let named = |kind: &str, of: String, solids: &[Solid]| {
        let count = solids.iter().filter(|solid| {
            let rest = solid.name.strip_prefix(kind);
            rest.is_some_and(|rest| rest.trim_start().parse::<u32>().is_ok())
        });
        let name = format!("{kind} {}", count.count() + 1);
        (of, name)
    };
    for (index, flight) in job.ramp.steps.iter().enumerate() {
        if let Some(solid) = steps::measure(flight) {
            let (of, name) = named("steps", format!("/ramp/steps/{index}"), &solids);
            solids.push(Solid { of, name, ..solid });
        }
    }
    for (index, ramp) in job.ramp.curb_ramps.iter().enumerate() {
        if let Some(solid) = curb_ramp::measure(job, ramp) {
            let (of, name) = named("curb ramp", format!("/ramp/curb_ramps/{index}"), &solids);
            solids.push(Solid { of, name, ..solid });
        }
    }
    for (index, element) in job.elements.iter().enumerate() {
        let (kind, solid) = measure_element(job, element);
        let (of, name) = named(kind, format!("/elements/{index}"), &solids);
        solids.push(Solid { of, name, ..solid });
    }
    solids
}

fn measure_element(job: &Job, element: &Element) -> (&'static str, Solid) {
    match element {
        Element::Walk(walk) => ("walk", walk::measure(job, walk)),
        Element::Slab(slab) => ("slab", slab::measure(job, slab)),
        Element::ThickenedEdge(edge) => ("thickened edge", edge::measure_thickened(edge)),
        Element::TurnDown(edge) => ("turn-down", edge::measure_turn_down(edge)),
        Element::StripFooting(footing) => ("strip footing", wall::measure_footing(footing)),
        Element::FrostWall(wall) => ("frost wall", wall::measure_wall(wall)),
        Element::TieIn(tie) => ("tie-in", tie_in::measure(job, tie)),
    }
}

/// Volume of a body whose width, or depth, or both taper evenly over its length.
///
/// # Source
/// Prismoidal formula: length / 6 x (first + 4 middle + last).
pub fn measure_prismoid(length: Length, ends: (Area, Area), middle: Area) -> Volume {
    (ends.0 + middle * 4.0 + ends.1) * (length / 6.0)
}

/// Along a slope: the hypotenuse of a plan length and a rise.
fn along_slope(plan: Length, rise: Length) -> Length {
    Length::from_metres(libm::hypot(plan.metres(), rise.metres()))
}
