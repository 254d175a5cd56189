//! Bars in what is poured around the ramp: mats flat and upright, and bars in a line.
//!
//! Invariants: a mat is spaced as the ramp's, its cover is the ramp's edge cover; a bar longer than the
//! stock is lapped. Absent: where each bar lies.

use super::part::Part;
use super::steel::{BarWay, Mat, Spaced, count_bars, make_mark};
use crate::catalog::BarRow;
use crate::geometry::{MatShape, Solid};
use crate::job::Reinforcement;
use crate::quantity::Length;

pub(super) fn lay_around(part: &Part, (steel, row): (&Reinforcement, &BarRow), mat: &mut Mat) {
    let mut around = Around {
        part,
        steel,
        row,
        mat,
    };
    for solid in part.solids() {
        let wired = |shape: &&MatShape| steel.wire.is_some() && !shape.upright;
        for shape in solid.mats.iter().filter(|shape| !wired(shape)) {
            around.lay(solid, shape);
        }
        if let Some(replaced) = &solid.replaced {
            let dowels = (replaced.dowels, replaced.dowel_length);
            around.add(solid, BarWay::Along, dowels);
        }
        for (count, length) in &solid.lines {
            let net = *length - steel.edge_cover * 2.0;
            around.add(solid, BarWay::Along, (*count, net));
        }
    }
}

struct Around<'a, 'b> {
    part: &'b Part<'a>,
    steel: &'b Reinforcement,
    row: &'b BarRow,
    mat: &'b mut Mat,
}

impl Around<'_, '_> {
    fn count(&self, length: Length, spacing: Length) -> u32 {
        count_bars(&Spaced {
            length,
            cover: self.steel.edge_cover,
            spacing,
            count: self.steel.count,
        })
    }

    fn lay(&mut self, solid: &Solid, shape: &MatShape) {
        let cover = self.steel.edge_cover * 2.0;
        let along = self.count(shape.width, self.steel.spacing_across);
        let across = self.count(shape.length, self.steel.spacing_along);
        let bars = [
            (BarWay::Along, along, shape.length - cover),
            (BarWay::Across, across, shape.width - cover),
        ];
        for (way, count, net) in bars {
            self.add(solid, way, (count * shape.times, net));
        }
        self.mat.crossings += f64::from(along) * f64::from(across) * f64::from(shape.times);
    }

    fn add(&mut self, solid: &Solid, way: BarWay, (count, net): (u32, Length)) {
        let bars = (self.part, self.steel, self.row);
        let mark = make_mark(bars, (way, count, net), (solid.of.clone(), None));
        self.mat.marks.extend(mark);
    }
}
