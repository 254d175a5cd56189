//! Tie-ins: a strip of an existing slab that is sawn, broken out and poured anew.
//!
//! Invariants: the patch is as thick as the ramp's slab; dowels stand along the cut alone.

use super::{Replaced, Solid, Top};
use crate::job::{Job, TieIn, TieJoint};
use crate::quantity::{Length, Slope, ceil};

pub(super) fn measure(job: &Job, tie: &TieIn) -> Solid {
    let area = tie.length * tie.cut_back;
    let sawn = tie.length + tie.cut_back * f64::from(tie.ends_sawn);
    let doweled = tie.joint == TieJoint::Doweled;
    // A dowel in the middle of each spacing: no hole near an end of the cut.
    let dowels = if doweled {
        ceil(tie.length / tie.dowel_spacing).max(1.0) as u32
    } else {
        0
    };
    let mut solid = Solid {
        by: Some(tie.by),
        parts: vec![("patch", area * job.slab.thickness)],
        tops: vec![Top {
            area,
            slope: Slope::ZERO,
            stepped: false,
        }],
        isolation: if doweled {
            Vec::new()
        } else {
            vec![tie.length]
        },
        replaced: Some(Replaced {
            area,
            thickness: tie.thickness,
            sawn,
            dowels,
            dowel_length: if doweled {
                tie.dowel_length
            } else {
                Length::ZERO
            },
        }),
        ..Solid::default()
    };
    solid.bed.area = area;
    solid
}
