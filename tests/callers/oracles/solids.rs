//! Volumes of what is poured against the convex hulls of their corners.

use super::ask;
use crossfall::quantity::{Area, Length};
use crossfall::takeoff::measure_prismoid;
use serde_json::{Value, json};

/// The same numbers at every run: a linear congruential generator (Knuth's MMIX constants, from memory).
pub(crate) struct Numbers(pub(crate) u64);

impl Numbers {
    /// From `least` to below `most`.
    pub(crate) fn next(&mut self, least: f64, most: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = self.0.wrapping_add(1_442_695_040_888_963_407);
        let share = (self.0 >> 11) as f64 / (1_u64 << 53) as f64;
        least + share * (most - least)
    }
}

/// A body between two upright rectangles in a straight line, its sides plane.
fn corners(length: f64, ends: [(f64, f64); 2]) -> Value {
    let end = |along: f64, (wide, high): (f64, f64)| {
        let side = wide / 2.0;
        [
            [along, -side, 0.0],
            [along, side, 0.0],
            [along, -side, high],
            [along, side, high],
        ]
    };
    json!([end(0.0, ends[0]), end(length, ends[1])].concat())
}

/// Where only one of the two dimensions tapers, the sides are plane and the body is convex.
#[test]
fn a_prismoid_is_the_hull_of_its_corners() {
    let mut numbers = Numbers(7);
    let (mut ours, mut solids) = (Vec::new(), Vec::new());
    for case in 0..500 {
        let length = numbers.next(0.5, 20.0);
        let first = (numbers.next(0.1, 4.0), numbers.next(0.1, 2.0));
        let last = match case % 3 {
            0 => (first.0, numbers.next(0.1, 2.0)),
            1 => (numbers.next(0.1, 4.0), first.1),
            // Both in the same proportion: a frustum.
            _ => {
                let share = numbers.next(0.1, 1.0);
                (first.0 * share, first.1 * share)
            }
        };
        let area = |(wide, high): (f64, f64)| Area::from_square_metres(wide * high);
        let middle = ((first.0 + last.0) / 2.0, (first.1 + last.1) / 2.0);
        let volume = measure_prismoid(
            Length::from_metres(length),
            (area(first), area(last)),
            area(middle),
        );
        ours.push(volume.cubic_metres());
        solids.push(corners(length, [first, last]));
    }
    let theirs = ask("solids.py", &Value::Array(solids));
    for (case, ours) in ours.iter().enumerate() {
        let theirs = theirs[case].as_f64().expect("a volume");
        assert!(
            (ours - theirs).abs() <= 1e-9 * theirs,
            "{case}: {ours} is not {theirs}"
        );
    }
}
