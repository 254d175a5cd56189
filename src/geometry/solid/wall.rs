//! Strip footings and frost walls.
//!
//! Invariants: a footing is poured before the wall on it, a wall before the slab; both faces of a wall
//! are formed, of a footing where it is formed at all.

use super::leg::centre_line;
use super::{FormHeld, MatShape, PouredWith, Solid, SolidFace, Trench};
use crate::job::{FrostWall, StripFooting};
use crate::quantity::Length;

pub(super) fn measure_footing(footing: &StripFooting) -> Solid {
    let along = (footing.measured, footing.closed);
    let length = centre_line(&footing.legs, along, footing.width);
    let faces = if footing.formed {
        // The two faces together are as long as twice the centre line; their ends are left to the trench.
        both_faces(length, (footing.depth, footing.depth), FormHeld::Staked)
    } else {
        Vec::new()
    };
    Solid {
        by: Some(footing.by),
        poured: PouredWith::Footings,
        parts: vec![("footing", length * footing.width * footing.depth)],
        faces,
        lines: vec![(footing.bars, length)],
        trench: Some(Trench {
            length,
            width: footing.width,
            depth: footing.depth,
            open_sides: if footing.formed { 2 } else { 0 },
        }),
        ..Solid::default()
    }
}

pub(super) fn measure_wall(wall: &FrostWall) -> Solid {
    let along = (wall.measured, wall.closed);
    let length = centre_line(&wall.legs, along, wall.thickness);
    let mean = (wall.height + wall.height_end) / 2.0;
    let mut faces = both_faces(length, (wall.height, wall.height_end), FormHeld::Braced);
    if !wall.closed {
        let end = |height: Length| SolidFace {
            length: wall.thickness,
            heights: (height, height),
            held: FormHeld::Braced,
            in_sight: false,
        };
        let ends = [wall.height, wall.height_end].into_iter();
        faces.extend(ends.filter(|height| !height.at_most(Length::ZERO)).map(end));
    }
    Solid {
        by: Some(wall.by),
        poured: PouredWith::Walls,
        parts: vec![("wall", length * wall.thickness * mean)],
        faces,
        mats: vec![MatShape {
            length,
            width: mean,
            times: 1,
            upright: true,
        }],
        trench: Some(Trench {
            length,
            width: wall.thickness,
            depth: mean,
            open_sides: 2,
        }),
        ..Solid::default()
    }
}

/// Inner and outer face: at square corners one is as much longer as the other is shorter.
fn both_faces(length: Length, heights: (Length, Length), held: FormHeld) -> Vec<SolidFace> {
    let face = SolidFace {
        length,
        heights,
        held,
        in_sight: false,
    };
    vec![face, face]
}
