//! What is poured around the ramp: volumes, faces and surfaces, worked by hand and held to their laws.

use crate::worked::solved;
use crossfall::geometry::{Geometry, Solid};
use proptest::prelude::*;
use serde_json::{Value, json};

/// A job of a short ramp and these elements.
fn around(elements: &Value) -> Geometry {
    let job = json!({
        "ramp": {"path": [{"kind": "landing"}, {"kind": "run", "rise": "6 in", "length": "6 ft"}, {"kind": "landing"}]},
        "elements": elements
    });
    solved(&job.to_string()).1
}

fn only(element: Value) -> Solid {
    around(&json!([element])).solids.remove(0)
}

/// A flight beside a short ramp.
fn flight(steps: Value) -> Solid {
    let job = json!({
        "ramp": {
            "path": [{"kind": "landing"}, {"kind": "run", "rise": "6 in", "length": "6 ft"}, {"kind": "landing"}],
            "steps": [steps]
        }
    });
    solved(&job.to_string()).1.solids.remove(0)
}

fn cubic_feet(solid: &Solid) -> f64 {
    solid.volume().cubic_feet()
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!(
        (found - wanted).abs() <= 1e-9 * wanted.abs().max(1.0),
        "{found} is not {wanted}"
    );
}

#[track_caller]
fn printed(found: f64, wanted: f64, digits: i32) {
    assert!(
        (found - wanted).abs() <= 0.5 * 10_f64.powi(-digits) + 1e-9,
        "{found} is not {wanted}"
    );
}

/// W1. Source: NAVEDTRA 14070, Engineering Aid, worked example p. 103 of the online copy: walls 85.76 +
/// 50.04, footings 133.32 + 69.32, slab 188.96, in all 527.40 ft3. The source lays out the short sides
/// between the long ones; taped outside, corners count once all the same.
#[test]
fn w1_a_house_foundation_built_of_elements_holds_what_is_printed() {
    let geometry = around(&json!([
        {"kind": "frost_wall", "legs": ["32 ft", "20.01 ft", "32 ft", "20.01 ft"], "closed": true,
         "measured": "outside", "thickness": "0.67 ft", "height": "2 ft"},
        {"kind": "strip_footing", "legs": ["33.33 ft", "21.33 ft", "33.33 ft", "21.33 ft"], "closed": true,
         "measured": "outside", "width": "2 ft", "depth": "1 ft"},
        {"kind": "slab", "length": "30.67 ft", "width": "18.67 ft", "thickness": "0.33 ft"}
    ]));
    let volumes: Vec<f64> = geometry.solids.iter().map(cubic_feet).collect();
    printed(volumes[0], 85.76 + 50.04, 2);
    printed(volumes[1], 133.32 + 69.32, 2);
    printed(volumes[2], 188.96, 2);
    printed(volumes.iter().sum(), 527.40, 1);
}

/// W5. Source: EN5466, Concrete Engineering, p. 2-45: 1.25 x 8.5 x 75 ft is 796.9 ft3.
/// W33. Source: textbook problem solution: footings 110 x 3 x 1 and 131 x 2 x 1 ft are 592 ft3, 21.926 yd3.
#[test]
fn w5_and_w33_footings_hold_what_is_printed() {
    let footing = |length: &str, width: &str, depth: &str| json!({"kind": "strip_footing", "legs": [length], "width": width, "depth": depth});
    printed(
        cubic_feet(&only(footing("75 ft", "8.5 ft", "1.25 ft"))),
        796.9,
        1,
    );
    let two = around(&json!([
        footing("110 ft", "3 ft", "1 ft"),
        footing("131 ft", "2 ft", "1 ft")
    ]));
    let sum: f64 = two.solids.iter().map(cubic_feet).sum();
    printed(sum, 592.0, 6);
    printed(sum / 27.0, 21.926, 3);
}

/// Worked: 7/12 x 11/12 x 4 ft x (1 + 2 + 3 + 4) = 21.3889 ft3 with the top tread; 6 without.
#[test]
fn four_steps_on_the_ground_hold_ten_boxes_with_their_top_tread_and_six_without() {
    let steps = |treads: usize| json!({"risers": vec!["7 in"; 4], "treads": vec!["11 in"; treads], "width": "4 ft", "build": {}});
    printed(cubic_feet(&flight(steps(4))), 21.3889, 4);
    near(
        cubic_feet(&flight(steps(3))),
        7.0 / 12.0 * 11.0 / 12.0 * 4.0 * 6.0,
    );
}

/// Worked: width x (waist x sqrt(rise2 + run2) + steps x riser x tread / 2).
#[test]
fn a_waist_holds_its_own_thickness_and_the_triangles_of_its_steps() {
    let solid = flight(json!({
        "risers": vec!["7 in"; 4], "treads": vec!["11 in"; 4], "width": "4 ft",
        "build": {"support": "on_waist", "waist": "6 in"}
    }));
    let (rise, run) = (28.0 / 12.0, 44.0 / 12.0);
    let waist = 0.5 * f64::hypot(rise, run);
    near(
        cubic_feet(&solid),
        4.0 * (waist + 4.0 * 7.0 / 12.0 * 11.0 / 12.0 / 2.0),
    );
}

/// Worked: thickness x run x (first height + last height) / 2, each 4 in above and 12 in below.
#[test]
fn cheek_walls_are_trapezoids() {
    let solid = flight(json!({
        "risers": vec!["6 in"; 5], "treads": vec!["12 in"; 4], "width": "4 ft",
        "build": {"cheek_walls": {"thickness": "6 in", "above": "4 in", "below": "12 in"}}
    }));
    let walls = solid.parts.iter().find(|(what, _)| *what == "cheek walls");
    let heights = (6.0 + 16.0, 30.0 + 16.0);
    let each = 0.5 * 4.0 * (heights.0 + heights.1) / 2.0 / 12.0;
    near(walls.expect("walls").1.cubic_feet(), 2.0 * each);
    let all: f64 = solid.parts.iter().map(|part| part.1.cubic_feet()).sum();
    near(all, cubic_feet(&solid));
}

/// Worked: depth x (bottom + taper / 2), and 45 degrees is a taper as wide as it is deep.
#[test]
fn a_thickened_edge_is_a_trapezoid_under_the_slab() {
    let edge = only(
        json!({"kind": "thickened_edge", "length": "20 ft", "depth": "8 in", "width": "10 in"}),
    );
    near(cubic_feet(&edge), 20.0 * 8.0 * (10.0 + 4.0) / 144.0);
    let turned =
        only(json!({"kind": "turn_down", "length": "20 ft", "depth": "18 in", "width": "8 in"}));
    near(cubic_feet(&turned), 20.0 * 18.0 * 8.0 / 144.0);
}

/// Worked: a wedge 30 ft long, 5 ft wide, from nothing to 2.5 ft, is 187.5 ft3 (slope length 30 ft: level).
#[test]
fn a_wedge_is_half_of_its_box() {
    let wedge = only(json!({
        "kind": "slab", "length": "30 ft", "width": "5 ft", "thickness": "0 in", "thickness_end": "30 in"
    }));
    near(cubic_feet(&wedge), 187.5);
}

/// Pappus: what a width sweeps about its middle is the middle's way times the width, at a mitre as in an arc.
#[test]
fn a_walk_of_even_width_covers_its_centre_line_times_its_width() {
    let walk = only(
        json!({"kind": "walk", "width": "5 ft", "thickness": "4 in", "stretches": [
            {"length": "24 ft", "bend": {"to": "left", "degrees": 45}},
            {"length": "16 ft", "bend": {"to": "right", "degrees": 90, "radius": "6 ft"}},
            {"length": "20 ft"}
        ]}),
    );
    let arc = 6.0 * std::f64::consts::FRAC_PI_2;
    near(walk.top_area().square_feet(), 5.0 * (60.0 + arc));
    near(cubic_feet(&walk), 5.0 * (60.0 + arc) / 3.0);
}

/// Worked: both feet of a flare spread rise / slope along the curb; at 1:10 and 6 in that is 5 ft. Its plane
/// leans both ways, so that its surface is half of sqrt((length x rise)2 + (spread x rise)2 + (spread x length)2).
#[test]
fn flares_spread_to_the_top_of_the_curb() {
    let job = json!({"ramp": {
        "path": [{"kind": "landing"}, {"kind": "run", "rise": "6 in", "length": "6 ft"}, {"kind": "landing"}],
        "curb_ramps": [{"rise": "6 in", "length": "6 ft", "width": "4 ft", "flare": "1:10",
                        "build": {"thickness": "6 in"}}]
    }});
    let solid = solved(&job.to_string()).1.solids.remove(0);
    let ramp = 4.0 * f64::hypot(6.0, 0.5);
    let flare = 0.5 * ((6.0_f64 * 0.5).powi(2) + (5.0_f64 * 0.5).powi(2) + 30.0_f64.powi(2)).sqrt();
    near(cubic_feet(&solid), (ramp + 2.0 * flare) / 2.0);
    near(solid.faces[0].length.feet(), 4.0 + 10.0);
}

/// A closed wall is formed on faces that together are twice its centre line; an open one has ends besides.
#[test]
fn faces_of_walls_go_round_them() {
    let formed = |closed: bool| -> f64 {
        let wall = only(json!({
            "kind": "frost_wall", "legs": ["12 ft", "8 ft", "12 ft", "8 ft"], "closed": closed,
            "measured": "centre_line", "thickness": "8 in", "height": "3 ft"
        }));
        wall.faces.iter().map(|face| face.length.feet()).sum()
    };
    near(formed(true), 80.0);
    near(formed(false), 80.0 + 2.0 * 8.0 / 12.0);
}

proptest! {
    #![proptest_config(crate::config())]

    /// A slab cut across holds as much, has the same top and as much side as in one piece.
    #[test]
    fn a_slab_split_in_two_is_the_same_slab(
        length in 2.0..60.0_f64, part in 0.1..0.9_f64, rise in 0.0..4.0_f64,
        widths in (1.5..20.0_f64, 1.5..20.0_f64), thick in (2.0..20.0_f64, 2.0..20.0_f64),
    ) {
        let at = |(from, to): (f64, f64), share: f64| from + (to - from) * share;
        let piece = |from: f64, to: f64| json!({
            "kind": "slab", "length": format!("{} ft", length * (to - from)),
            "rise": format!("{} ft", rise * (to - from)),
            "width": format!("{} ft", at(widths, from)), "width_end": format!("{} ft", at(widths, to)),
            "thickness": format!("{} in", at(thick, from)), "thickness_end": format!("{} in", at(thick, to)),
        });
        let whole = only(piece(0.0, 1.0));
        let split = around(&json!([piece(0.0, part), piece(part, 1.0)]));
        let sums = |measure: fn(&Solid) -> f64| split.solids.iter().map(measure).sum::<f64>();
        let sides = |solid: &Solid| solid.faces[2..].iter().map(|face| face.length.feet()).sum::<f64>();
        prop_assert!((cubic_feet(&whole) / sums(cubic_feet) - 1.0).abs() < 1e-9);
        prop_assert!((whole.top_area().square_feet() / sums(|solid| solid.top_area().square_feet()) - 1.0).abs() < 1e-9);
        prop_assert!((sides(&whole) / sums(sides) - 1.0).abs() < 1e-9);
    }

    /// A straight stretch taped in two is the same walk, whatever bends beside it.
    #[test]
    fn a_walk_taped_in_two_pieces_is_the_same_walk(
        length in 20.0..60.0_f64, part in 0.3..0.7_f64, degrees in 1..90_u32, ends in (3.0..8.0_f64, 3.0..8.0_f64),
    ) {
        let bend = json!({"to": "left", "degrees": degrees});
        let walk = |second: Vec<Value>| {
            let stretches = [vec![json!({"length": "20 ft", "bend": bend})], second].concat();
            only(json!({"kind": "walk", "width": format!("{} ft", ends.0), "stretches": stretches}))
        };
        let whole = walk(vec![json!({"length": format!("{length} ft"), "width_end": format!("{} ft", ends.1)})]);
        let middle = ends.0 + (ends.1 - ends.0) * part;
        let split = walk(vec![
            json!({"length": format!("{} ft", length * part), "width_end": format!("{middle} ft")}),
            json!({"length": format!("{} ft", length * (1.0 - part)), "width_end": format!("{} ft", ends.1)}),
        ]);
        prop_assert!((cubic_feet(&whole) / cubic_feet(&split) - 1.0).abs() < 1e-9);
        let sides = |solid: &Solid| solid.faces.iter().map(|face| face.length.feet()).sum::<f64>();
        prop_assert!((sides(&whole) / sides(&split) - 1.0).abs() < 1e-9);
    }

    /// More of any size never holds less, and the parts add up.
    #[test]
    fn a_thicker_or_deeper_element_never_holds_less(inches in 4.0..20.0_f64, more in 0.0..4.0_f64) {
        let all = |inches: f64| -> f64 {
            let inches = format!("{inches} in");
            let geometry = around(&json!([
                {"kind": "walk", "thickness": inches, "stretches": [{"length": "9 ft"}]},
                {"kind": "thickened_edge", "length": "9 ft", "depth": inches},
                {"kind": "turn_down", "length": "9 ft", "width": inches},
                {"kind": "strip_footing", "legs": ["9 ft", "8 ft"], "depth": inches},
                {"kind": "frost_wall", "legs": ["9 ft", "8 ft"], "height": inches},
                {"kind": "tie_in", "cut_back": inches}
            ]));
            geometry.solids.iter().map(cubic_feet).sum()
        };
        prop_assert!(all(inches + more) >= all(inches));
    }
}
