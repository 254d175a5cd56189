//! Curb ramps with flares.
//!
//! Invariants: the ramp falls to the gutter; each flare is one plane through the ramp's side and the top of
//! the curb; thickness is square to the surface.
//!
//! # Source
//! 2010 ADA Standards, 406.3 and Figure 406.3: flares slope along the curb, from the ramp's side to its top.

use super::{Bed, FormHeld, MatShape, Solid, SolidFace, Top, along_slope};
use crate::job::{CurbRamp, Job};
use crate::quantity::{Area, Length, Slope};

/// A curb ramp as it is built; nothing where it is only judged.
pub(super) fn measure(job: &Job, ramp: &CurbRamp) -> Option<Solid> {
    let build = ramp.build.as_ref()?;
    let thickness = build.thickness.unwrap_or(job.slab.thickness);
    let along = along_slope(ramp.length, ramp.rise);
    let surface = along * build.width;
    let flare = ramp.flare.map(|slope| measure_flare(ramp, slope));
    let (flared, spread) = flare.unwrap_or_default();
    let mut parts = vec![("curb ramp", surface * thickness)];
    let mut tops = vec![Top {
        area: surface,
        slope: Slope::from_ratio(ramp.rise / ramp.length),
        stepped: false,
    }];
    if let Some(slope) = ramp.flare {
        parts.push(("flares", flared * thickness * 2.0));
        tops.push(Top {
            area: flared * 2.0,
            slope,
            stepped: false,
        });
    }
    Some(Solid {
        by: Some(build.by),
        parts,
        tops,
        // At the gutter; its other sides meet what is there.
        faces: vec![SolidFace {
            length: build.width + spread * 2.0,
            heights: (thickness, thickness),
            held: FormHeld::Staked,
            in_sight: false,
        }],
        bed: Bed {
            area: surface + flared * 2.0,
            ..Bed::default()
        },
        mats: vec![MatShape {
            length: along,
            width: build.width,
            times: 1,
            upright: false,
        }],
        isolation: vec![build.width + spread * 2.0],
        ..Solid::default()
    })
}

/// Surface of one flare, and how far it spreads along the curb.
fn measure_flare(ramp: &CurbRamp, slope: Slope) -> (Area, Length) {
    let spread = Length::from_metres(ramp.rise.metres() / slope.ratio());
    // Half the product of two edges from the ramp's foot: to the back of its side, and along the curb.
    let (length, rise, wide) = (ramp.length.metres(), ramp.rise.metres(), spread.metres());
    let (x, y, z) = (-length * rise, -wide * rise, wide * length);
    let area = libm::sqrt(x * x + y * y + z * z) / 2.0;
    (Area::from_square_metres(area), spread)
}
