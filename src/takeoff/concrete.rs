//! Concrete by part: slabs, curbs, and the solid body under them where there is one.
//!
//! Invariants: the parts add up to the whole; a corner counts once; what exists is not poured.
//! Absent here: waste, trucks and orders.

use super::curb::Curbs;
use super::line::{AROUND, MIX};
use super::part::Part;
use super::words::Words;
use crate::geometry::{PouredWith, Solid, Surface, measure_prismoid};
use crate::job::{Support, ThicknessMeasured};
use crate::quantity::{Area, Length, Volume};

/// Concrete of a part, and how it comes about.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Poured {
    /// JSON Pointer into the expanded job.
    pub(super) of: &'static str,
    /// What, and how much.
    pub(super) parts: Vec<(String, Volume)>,
    /// All of it.
    pub(super) net: Volume,
    /// Slab surface.
    pub(super) area: Area,
    /// In words and numbers.
    pub(super) working: String,
}

/// Concrete of a slab: its surface times its thickness square to it, or its plan area times its
/// plumb thickness.
pub fn measure_slab(surface: &Surface, thickness: Length, measured: ThicknessMeasured) -> Volume {
    match measured {
        ThicknessMeasured::SquareToSurface => surface.area * thickness,
        ThicknessMeasured::Vertical => surface.plan_length * surface.width * thickness,
    }
}

/// Concrete under the slab of a solid ramp, down to the level of the foot's slab.
pub fn measure_solid(surface: &Surface) -> Volume {
    let low = surface.elevation_start.max(Length::ZERO);
    let high = surface.elevation_end.max(Length::ZERO);
    let middle = surface.width * ((low + high) / 2.0);
    measure_prismoid(
        surface.plan_length,
        (surface.width * low, surface.width * high),
        middle,
    )
}

pub(super) fn measure_concrete(part: &Part, curbs: &Curbs) -> Poured {
    let slab = &part.job.slab;
    let mut parts: Vec<(String, Volume)> = part
        .surfaces()
        .map(|(index, surface)| {
            let volume = measure_slab(surface, slab.thickness, slab.thickness_measured);
            (
                part.name(|| format!("slab, {}", part.piece_name(index))),
                volume,
            )
        })
        .collect();
    let slabs: Volume = parts.iter().map(|(_, volume)| *volume).sum();
    if curbs.length > Length::ZERO {
        parts.push((part.name(|| "curbs".to_owned()), curbs.volume()));
    }
    let before = parts.len();
    if part.job.ramp.support == Support::Solid {
        let bodies = part.surfaces().map(|(index, surface)| {
            (
                part.name(|| format!("body under {}", part.piece_name(index))),
                measure_solid(surface),
            )
        });
        parts.extend(bodies.filter(|(_, volume)| *volume > Volume::ZERO));
    }
    let body: Volume = parts[before..].iter().map(|(_, volume)| *volume).sum();
    let around = solids_with(part, PouredWith::Slabs);
    parts.extend(name_parts(part, &around));
    let net = parts.iter().map(|(_, volume)| *volume).sum();
    let working = part.say(|| {
        let told = explain(part, curbs, [slabs, body]);
        conclude(part, told, (&around, net))
    });
    Poured {
        of: MIX,
        parts,
        net,
        area: part.area(),
        working,
    }
}

/// Concrete that is poured before the ramp; nothing where there is none.
pub(super) fn measure_before(part: &Part, poured: PouredWith) -> Poured {
    let around = solids_with(part, poured);
    let parts = name_parts(part, &around);
    let net = parts.iter().map(|(_, volume)| *volume).sum();
    let top = |solid: &&Solid| solid.trench.map_or(Area::ZERO, |it| it.length * it.width);
    Poured {
        of: AROUND,
        parts,
        net,
        // What is open at its top is filled by eye.
        area: around.iter().map(top).sum(),
        working: part.say(|| conclude(part, String::new(), (&around, net))),
    }
}

fn solids_with<'a>(part: &Part<'a>, poured: PouredWith) -> Vec<&'a Solid> {
    let solids = part.solids();
    solids.filter(|solid| solid.poured == poured).collect()
}

fn name_parts(part: &Part, solids: &[&Solid]) -> Vec<(String, Volume)> {
    let parts = solids.iter().flat_map(|solid| {
        let named = solid.parts.iter();
        named.map(|(what, volume)| {
            let told = || match solid.name.starts_with(what) {
                true => solid.name.clone(),
                false => format!("{what}, {}", solid.name),
            };
            (part.name(told), *volume)
        })
    });
    parts.collect()
}

/// What stands around the ramp, and the sum in cubic yards.
fn conclude(part: &Part, told: String, (around, net): (&[&Solid], Volume)) -> String {
    let words = part.words;
    let mut text: Vec<String> = Vec::new();
    text.extend((!told.is_empty()).then_some(told));
    text.extend(
        name_parts(part, around)
            .into_iter()
            .map(|(what, volume)| format!("{what} {}", words.space(volume))),
    );
    text.push(format!(
        "{} {} = {} yd3",
        words.space(net),
        words.to_yards(),
        super::words::yards(net)
    ));
    text.join("; ")
}

fn explain(part: &Part, curbs: &Curbs, [slabs, body]: [Volume; 2]) -> String {
    let (words, slab) = (part.words, &part.job.slab);
    let (area, how) = match slab.thickness_measured {
        ThicknessMeasured::SquareToSurface => (part.path_area(), ""),
        ThicknessMeasured::Vertical => (plan_area(part), " on plan"),
    };
    if area.is_zero() {
        return String::new();
    }
    let mut text = format!(
        "slab {}{how} x {} = {}",
        words.area(area),
        words.factor(slab.thickness),
        words.space(slabs)
    );
    if curbs.length > Length::ZERO {
        text += &format!(
            "; curbs {} x {} x {} = {}",
            words.run(curbs.length),
            words.tape(curbs.width),
            words.tape(curbs.height),
            words.space(curbs.volume())
        );
    }
    if body > Volume::ZERO {
        text += &format!(
            "; body down to the foot's level, {}",
            explain_bodies(part, words)
        );
        text += &format!(" = {}", words.space(body));
    }
    text
}

fn explain_bodies(part: &Part, words: Words) -> String {
    /// More bodies than this are counted, not listed.
    const LISTED: usize = 8;
    let bodies: Vec<String> = part
        .surfaces()
        .filter(|(_, surface)| measure_solid(surface) > Volume::ZERO)
        .map(|(index, surface)| {
            format!(
                "{} {} x {} x ({} + {}) / 2",
                part.piece_name(index),
                words.run(surface.plan_length),
                words.run(surface.width),
                words.run(surface.elevation_start.max(Length::ZERO)),
                words.run(surface.elevation_end.max(Length::ZERO))
            )
        })
        .collect();
    let mut text = bodies
        .iter()
        .take(LISTED)
        .cloned()
        .collect::<Vec<_>>()
        .join(" + ");
    if bodies.len() > LISTED {
        text += &format!(" + {} more", bodies.len() - LISTED);
    }
    text
}

fn plan_area(part: &Part) -> Area {
    part.surfaces()
        .map(|(_, surface)| surface.plan_length * surface.width)
        .sum()
}
