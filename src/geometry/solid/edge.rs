//! Thickened edges and turn-downs: what hangs under the edge of a slab.
//!
//! Invariant: only what is below the slab is measured here; the slab is measured without it.

use super::{FormHeld, Solid, SolidFace, Trench};
use crate::job::{ThickenedEdge, TurnDown};

/// # Source
/// Section of a thickened edge: depth x (bottom + taper / 2).
pub(super) fn measure_thickened(edge: &ThickenedEdge) -> Solid {
    let section = edge.depth * (edge.width + edge.taper / 2.0);
    Solid {
        by: Some(edge.by),
        parts: vec![("under the slab", section * edge.length)],
        lines: vec![(edge.bars, edge.length)],
        trench: Some(Trench {
            length: edge.length,
            width: edge.width + edge.taper / 2.0,
            depth: edge.depth,
            open_sides: 0,
        }),
        ..Solid::default()
    }
}

pub(super) fn measure_turn_down(edge: &TurnDown) -> Solid {
    Solid {
        by: Some(edge.by),
        parts: vec![("under the slab", edge.depth * edge.width * edge.length)],
        // Its inner face is poured against the ground.
        faces: vec![SolidFace {
            length: edge.length,
            heights: (edge.depth, edge.depth),
            held: FormHeld::Staked,
            in_sight: false,
        }],
        lines: vec![(edge.bars, edge.length)],
        trench: Some(Trench {
            length: edge.length,
            width: edge.width,
            depth: edge.depth,
            open_sides: 1,
        }),
        ..Solid::default()
    }
}
