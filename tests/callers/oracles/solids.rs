//! Volumes of what is poured against the convex hulls of their corners, and plans against shapes of their own.
//!
//! Invariant: corners are written from the numbers of the case alone, never from our answer.

use super::ask;
use crossfall::geometry::{Solid, measure_prismoid, solve};
use crossfall::job::{Day, JobRequest, expand};
use crossfall::quantity::{Area, Length};
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

    /// A whole number from `least` to `most`.
    pub(crate) fn whole(&mut self, least: u32, most: u32) -> u32 {
        self.next(f64::from(least), f64::from(most) + 1.0) as u32
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

/// A section along the way it runs, drawn out over a width.
fn drawn_out(section: &[[f64; 2]], width: f64) -> Value {
    let at = |across: f64| section.iter().map(move |[x, z]| [*x, across, *z]);
    json!(at(0.0).chain(at(width)).collect::<Vec<_>>())
}

#[track_caller]
fn agree(ours: &[f64], theirs: &Value, what: &str) {
    let theirs = theirs.as_array().expect("a number to each case");
    assert_eq!(ours.len(), theirs.len());
    for (case, (ours, theirs)) in ours.iter().zip(theirs).enumerate() {
        let theirs = theirs.as_f64().expect("a number");
        assert!(
            (ours - theirs).abs() <= 1e-9 * theirs,
            "{what} {case}: {ours} is not {theirs}"
        );
    }
}

/// Our solids of a short ramp with something around it.
fn solids(around: Value) -> Vec<Solid> {
    let mut job = json!({"units": "metric", "ramp": {"path": [
        {"kind": "landing"}, {"kind": "run", "rise": "150 mm", "length": "1.8 m"}, {"kind": "landing"}
    ]}});
    for (name, value) in around.as_object().expect("sections") {
        match name.as_str() {
            "steps" | "curb_ramps" => job["ramp"][name] = value.clone(),
            _ => job[name] = value.clone(),
        }
    }
    let sent: JobRequest = serde_json::from_value(job).expect("the test's job is readable");
    let today: Day = serde_json::from_value(json!("2026-05-04")).expect("a date");
    solve(&expand(sent, today).expect("no fault").job).solids
}

fn metres(metres: f64) -> String {
    format!("{metres} m")
}

#[test]
fn a_prismoid_is_the_hull_of_its_corners() {
    let mut numbers = Numbers(7);
    let (mut ours, mut bodies) = (Vec::new(), Vec::new());
    for _ in 0..500 {
        let length = numbers.next(0.5, 20.0);
        let first = (numbers.next(0.1, 4.0), numbers.next(0.1, 2.0));
        let last = (numbers.next(0.1, 4.0), numbers.next(0.1, 2.0));
        let area = |(wide, high): (f64, f64)| Area::from_square_metres(wide * high);
        let middle = ((first.0 + last.0) / 2.0, (first.1 + last.1) / 2.0);
        let ends = (area(first), area(last));
        let volume = measure_prismoid(Length::from_metres(length), ends, area(middle));
        ours.push(volume.cubic_metres());
        bodies.push(json!([corners(length, [first, last])]));
    }
    agree(&ours, &ask("solids.py", &json!(bodies)), "prismoid");
}

/// A slab that widens, grows thicker and climbs: thickness is square to its surface, so that it is the
/// level slab as long as its slope.
#[test]
fn slabs_that_taper_both_ways_are_the_hulls_of_their_corners() {
    let mut numbers = Numbers(11);
    let (mut ours, mut bodies) = (Vec::new(), Vec::new());
    for _ in 0..200 {
        let (length, rise) = (numbers.next(0.5, 20.0), numbers.next(0.0, 2.0));
        let first = (numbers.next(0.4, 4.0), numbers.next(0.05, 0.6));
        let last = (numbers.next(0.4, 4.0), numbers.next(0.05, 0.6));
        let solid = solids(json!({"elements": [{
            "kind": "slab", "length": metres(length), "rise": metres(rise),
            "width": metres(first.0), "width_end": metres(last.0),
            "thickness": metres(first.1), "thickness_end": metres(last.1),
        }]}));
        ours.push(solid[0].volume().cubic_metres());
        bodies.push(json!([corners(length.hypot(rise), [first, last])]));
    }
    agree(&ours, &ask("solids.py", &json!(bodies)), "slab");
}

/// Each step is a box from the ground to its tread; on a waist, a triangle over the pitch and a strip of
/// the waist below it.
#[test]
fn flights_are_the_sum_of_their_steps_and_walls() {
    let mut numbers = Numbers(13);
    let (mut ours, mut bodies) = (Vec::new(), Vec::new());
    for case in 0..200 {
        let count = numbers.whole(1, 9);
        let (riser, tread) = (numbers.next(0.1, 0.2), numbers.next(0.25, 0.5));
        let (width, waist) = (numbers.next(0.9, 3.0), numbers.next(0.1, 0.3));
        let (thick, above, below) = (
            numbers.next(0.1, 0.3),
            numbers.next(0.0, 0.3),
            numbers.next(0.0, 0.6),
        );
        let on_waist = case % 2 == 1;
        let solid = solids(json!({"steps": [{
            "risers": vec![metres(riser); count as usize], "treads": vec![metres(tread); count as usize],
            "width": metres(width),
            "build": {
                "support": if on_waist { "on_waist" } else { "on_grade" }, "waist": metres(waist),
                "cheek_walls": {"thickness": metres(thick), "above": metres(above), "below": metres(below)}
            }
        }]}));
        ours.push(solid[0].volume().cubic_metres());
        let mut flight: Vec<Value> = (0..count)
            .map(|step| {
                let (x, z) = (f64::from(step) * tread, f64::from(step) * riser);
                let top = z + riser;
                if on_waist {
                    drawn_out(&[[x, z], [x, top], [x + tread, top]], width)
                } else {
                    drawn_out(
                        &[[x, 0.0], [x, top], [x + tread, top], [x + tread, 0.0]],
                        width,
                    )
                }
            })
            .collect();
        let (run, rise) = (f64::from(count) * tread, f64::from(count) * riser);
        if on_waist {
            let down = waist * run.hypot(rise) / run;
            flight.push(drawn_out(
                &[[0.0, 0.0], [run, rise], [run, rise - down], [0.0, -down]],
                width,
            ));
        }
        let wall = [
            [0.0, -below],
            [0.0, riser + above],
            [run, rise + above],
            [run, -below],
        ];
        flight.extend([drawn_out(&wall, thick), drawn_out(&wall, thick)]);
        bodies.push(json!(flight));
    }
    agree(&ours, &ask("solids.py", &json!(bodies)), "flight");
}

/// A level walk with mitred bends, and a wall on square legs, are their centre line given a width.
#[test]
fn walks_and_walls_are_lines_given_a_width() {
    let mut numbers = Numbers(17);
    let (mut areas, mut sides, mut plans) = (Vec::new(), Vec::new(), Vec::new());
    let mut lefts = Vec::new();
    for _ in 0..200 {
        let (count, width) = (numbers.whole(1, 4), numbers.next(0.9, 2.5));
        let (mut at, mut heading) = ([0.0, 0.0], 0.0_f64);
        let (mut spots, mut stretches) = (vec![at], Vec::new());
        for stretch in 0..count {
            let length = numbers.next(4.0, 12.0);
            let degrees = numbers.whole(5, 80);
            let to = if numbers.next(0.0, 1.0) < 0.5 {
                "left"
            } else {
                "right"
            };
            at = [
                at[0] + length * heading.cos(),
                at[1] + length * heading.sin(),
            ];
            spots.push(at);
            let turn = f64::from(degrees).to_radians();
            heading += if to == "left" { turn } else { -turn };
            let bend = (stretch + 1 < count).then(|| json!({"to": to, "degrees": degrees}));
            stretches.push(json!({"length": metres(length), "bend": bend}));
        }
        let solid = solids(json!({"elements": [
            {"kind": "walk", "width": metres(width), "right": "against_wall", "end": "against_wall", "stretches": stretches}
        ]}));
        areas.push(solid[0].top_area().square_metres());
        let left: f64 = solid[0].faces.iter().map(|face| face.length.metres()).sum();
        let others: f64 = solid[0].isolation.iter().map(|side| side.metres()).sum();
        sides.push(left + others);
        lefts.push(left);
        plans.push(json!({"spots": spots, "width": width}));
    }
    for _ in 0..100 {
        let (long, wide, thick) = (
            numbers.next(2.0, 9.0),
            numbers.next(2.0, 9.0),
            numbers.next(0.1, 0.5),
        );
        let third = numbers.next(2.0, 9.0);
        let spots = [[0.0, 0.0], [long, 0.0], [long, wide], [long + third, wide]];
        let solid = solids(json!({"elements": [{
            "kind": "frost_wall", "legs": [metres(long), metres(wide), metres(third)],
            "measured": "centre_line", "thickness": metres(thick), "height": "1 m"
        }]}));
        areas.push(solid[0].volume().cubic_metres());
        sides.push(solid[0].faces.iter().map(|face| face.length.metres()).sum());
        plans.push(json!({"spots": spots, "width": thick}));
    }
    let theirs = ask("plans.py", &json!(plans));
    agree(&areas, &theirs["areas"], "area");
    agree(&sides, &theirs["sides"], "sides");
    let of_walks = theirs["lefts"].as_array().expect("a side to each")[..lefts.len()].to_vec();
    agree(&lefts, &json!(of_walks), "left side");
}
