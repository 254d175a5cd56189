//! Slabs with four sides: pads, slabs that widen or grow thicker, wedges.
//!
//! Invariant: a width tapers evenly to both sides; thickness is square to the surface.

use super::{Bed, MatShape, Solid, SolidFace, Top, along_slope, measure_prismoid};
use crate::geometry::joint::count_panels;
use crate::job::{EdgeKind, Job, SlabElement};
use crate::quantity::{Area, Length, Slope};

pub(super) fn measure(job: &Job, slab: &SlabElement) -> Solid {
    let one = measure_one(job, slab);
    let times = f64::from(slab.count);
    let repeat = |faces: &[SolidFace]| -> Vec<SolidFace> {
        (0..slab.count).flat_map(|_| faces.to_vec()).collect()
    };
    let lengths = |lengths: &[Length]| -> Vec<Length> {
        (0..slab.count).flat_map(|_| lengths.to_vec()).collect()
    };
    let times_top = |top: &Top| Top {
        area: top.area * times,
        ..*top
    };
    Solid {
        by: Some(slab.by),
        parts: one
            .parts
            .iter()
            .map(|(what, volume)| (*what, *volume * times))
            .collect(),
        tops: one.tops.iter().map(times_top).collect(),
        faces: repeat(&one.faces),
        bed: Bed {
            area: one.bed.area * times,
            open: one.bed.open * times,
            corners: one.bed.corners * slab.count,
        },
        mats: one
            .mats
            .iter()
            .map(|mat| MatShape {
                times: slab.count,
                ..*mat
            })
            .collect(),
        contraction: lengths(&one.contraction),
        isolation: lengths(&one.isolation),
        ..Solid::default()
    }
}

fn measure_one(job: &Job, slab: &SlabElement) -> Solid {
    let along = along_slope(slab.length, slab.rise);
    let area = |share: f64| -> Area {
        let mean = |from: Length, to: Length| from + (to - from) * share;
        mean(slab.width, slab.width_end) * mean(slab.thickness, slab.thickness_end)
    };
    let volume = measure_prismoid(along, (area(0.0), area(1.0)), area(0.5));
    let top = along * ((slab.width + slab.width_end) / 2.0);
    let mut solid = Solid {
        parts: vec![("slab", volume)],
        tops: vec![Top {
            area: top,
            slope: Slope::from_ratio((slab.rise / slab.length).abs()),
            stepped: false,
        }],
        mats: vec![MatShape {
            length: along,
            width: top / along,
            times: 1,
            upright: false,
        }],
        ..Solid::default()
    };
    solid.bed.area = top;
    let side = along_slope(along, (slab.width_end - slab.width) / 2.0);
    let (from, to) = (slab.thickness, slab.thickness_end);
    let end = slab.end.unwrap_or(EdgeKind::Formed);
    solid.add_edge(slab.start, slab.width, (from, from));
    solid.add_edge(end, slab.width_end, (to, to));
    solid.add_edge(slab.left, side, (from, to));
    solid.add_edge(slab.right, side, (from, to));
    let open = |edge: EdgeKind| u32::from(edge == EdgeKind::Formed);
    solid.bed.corners = (open(slab.start) + open(end)) * (open(slab.left) + open(slab.right));
    let panels = count_panels(job, along, top / along);
    solid.contraction = (1..panels.0)
        .map(|place| {
            let share = f64::from(place) / f64::from(panels.0);
            slab.width + (slab.width_end - slab.width) * share
        })
        .collect();
    solid.contraction.extend((1..panels.1).map(|_| along));
    solid
}
