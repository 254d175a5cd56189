//! What is poured around the ramp, taken off: an invented school entrance by hand, faults, both systems.

use super::close;
use super::jobs::{Taken, expanded, straight, taken};
use crossfall::job::{Day, JobRequest, expand};
use crossfall::quantity::Volume;
use crossfall::takeoff::Net;
use serde_json::{Value, json};

fn entrance() -> Value {
    let text = include_str!("../../../examples/school-entrance.json");
    serde_json::from_str(text).expect("JSON")
}

fn net(taken: &Taken, code: &str) -> f64 {
    match taken.line(code).quantity {
        Net::Length(length) => length.feet(),
        Net::Area(area) => area.square_feet(),
        Net::Volume(volume) => volume.cubic_yards(),
        Net::Mass(mass) => mass.short_tons(),
        Net::Count(count) => count,
        other => panic!("{code} is {other:?}"),
    }
}

/// Worked by hand from the sizes of the example; its five steps have four treads of their own, the fifth
/// riser is the landing's face.
#[test]
fn the_concrete_of_a_school_entrance_is_the_sum_of_its_parts() {
    let taken = taken(&entrance());
    let parts: Vec<(&str, f64)> = taken
        .takeoff
        .concrete
        .parts
        .iter()
        .map(|(what, volume)| (what.as_str(), volume.cubic_feet()))
        .collect();
    let part = |name: &str| {
        let found = parts.iter().find(|(what, _)| *what == name);
        found.unwrap_or_else(|| panic!("no {name} in {parts:?}")).1
    };
    close(
        part("steps 1"),
        0.5 * 1.0 * 4.0 * (1.0 + 2.0 + 3.0 + 4.0),
        9,
    );
    close(
        part("cheek walls, steps 1"),
        2.0 * 0.5 * 4.0 * (22.0 + 46.0) / 2.0 / 12.0,
        9,
    );
    close(part("slab 1"), 2.0 * 4.0 * 3.0 / 3.0, 9);
    close(part("patch, tie-in 1"), 5.0 * 1.5 * 5.0 / 12.0, 9);
    close(part("under the slab, turn-down 1"), 10.0 * 8.0 / 12.0, 9);
    close(
        part("under the slab, thickened edge 1"),
        12.0 * 8.0 * (8.0 + 4.0) / 144.0,
        9,
    );
    let sum: Volume = taken.takeoff.concrete.parts.iter().map(|part| part.1).sum();
    close(sum / taken.takeoff.concrete.net, 1.0, 12);
}

/// Taped outside, 8 + 6 ft: the footing's middle is 16 in shorter, the wall's 8 in. Each is an order of
/// its own, before the slab.
#[test]
fn footings_and_walls_are_ordered_before_the_slab() {
    let taken = taken(&entrance());
    let before: Vec<f64> = taken
        .takeoff
        .before
        .iter()
        .map(|order| order.net.cubic_feet())
        .collect();
    close(before[0], (14.0 - 16.0 / 12.0) * 16.0 * 8.0 / 144.0, 9);
    close(before[1], (14.0 - 8.0 / 12.0) * 8.0 / 12.0 * 3.0, 9);
    assert_eq!(before.len(), 2);
}

/// Broken out 5 ft x 18 in of the walk, and 40 ft2 of stoop; sawn 5 ft and 12 ft; a dowel in the middle
/// of each 18 in at most.
#[test]
fn a_tie_in_is_sawn_broken_out_and_doweled() {
    let taken = taken(&entrance());
    close(net(&taken, "breaker-day"), 7.5 + 40.0, 9);
    close(net(&taken, "wet-saw-day"), 5.0 + 12.0, 9);
    close(net(&taken, "dowel-adhesive"), 4.0, 9);
    let dowels = taken.takeoff.bar_marks.iter();
    let mut dowels = dowels.filter(|mark| mark.of == "/elements/1");
    let mark = dowels.next().expect("dowels");
    assert_eq!((mark.count, mark.laps), (4, 0));
    close(mark.length.inches(), 18.0, 9);
}

/// Loose = bank x 1.25 of clay; what is filled back takes 1 / 0.9 of its own volume from the bank.
#[test]
fn what_leaves_the_site_is_what_was_dug_less_what_goes_back_swollen() {
    let dug = taken(&straight(|job| {
        job["elements"] = json!([{"kind": "frost_wall", "legs": ["27 ft"], "thickness": "8 in", "height": "3 ft"}]);
        job["earthwork"] = json!({"soil": "clay", "depth": "0 in", "working_room": "2 ft"});
    }));
    let bank = 27.0 * 3.0 * (8.0 / 12.0 + 4.0) / 27.0;
    let back = 27.0 * 3.0 * 4.0 / 27.0;
    close(net(&dug, "mini-excavator-day"), bank, 9);
    close(net(&dug, "haul-load"), (bank - back / 0.9) * 1.25, 9);
}

#[test]
fn work_of_others_around_the_ramp_is_theirs() {
    let element = |by: &str| {
        taken(&straight(|job| {
            job["elements"] =
                json!([{"kind": "walk", "by": by, "stretches": [{"length": "20 ft"}]}]);
        }))
    };
    let (ours, theirs, none) = (element("us"), element("others"), taken(&straight(|_| {})));
    assert!(ours.takeoff.concrete.net > none.takeoff.concrete.net);
    assert_eq!(theirs.takeoff.concrete.net, none.takeoff.concrete.net);
}

#[test]
fn an_expanded_entrance_expands_to_itself() {
    let once = serde_json::to_string(&expanded(&entrance())).expect("written");
    let again = serde_json::from_str(&once).expect("JSON");
    assert_eq!(
        serde_json::to_string(&expanded(&again)).expect("written"),
        once
    );
}

/// What is stated in one system of units measures alike in the other.
#[test]
fn elements_measure_alike_in_both_systems() {
    let job = |units: &str| {
        taken(&straight(|job| {
            job["units"] = json!(units);
            job["slab"] = json!({"thickness": "5 in"});
            job["elements"] = json!([
                {"kind": "walk", "width": "5 ft", "thickness": "4 in", "stretches": [
                    {"length": "24 ft", "bend": {"to": "left", "degrees": 45}},
                    {"length": "16 ft", "rise": "4 in", "width_end": "6 ft"}]},
                {"kind": "slab", "length": "9 ft", "width": "4 ft", "width_end": "3 ft", "thickness": "4 in",
                 "thickness_end": "8 in", "rise": "3 in"},
                {"kind": "thickened_edge", "length": "9 ft", "depth": "8 in", "width": "8 in", "taper": "8 in"},
                {"kind": "turn_down", "length": "9 ft", "depth": "12 in", "width": "8 in"},
                {"kind": "strip_footing", "legs": ["9 ft", "8 ft"], "width": "16 in", "depth": "8 in"},
                {"kind": "frost_wall", "legs": ["9 ft", "8 ft"], "thickness": "8 in", "height": "3 ft"},
                {"kind": "tie_in", "length": "5 ft", "cut_back": "12 in", "thickness": "4 in"}
            ]);
        }))
    };
    let (us, metric) = (job("us"), job("metric"));
    for (one, twin) in us.geometry.solids.iter().zip(&metric.geometry.solids) {
        close(one.volume() / twin.volume(), 1.0, 9);
        let formed = |solid: &crossfall::geometry::Solid| -> f64 {
            solid.faces.iter().map(|face| face.length.metres()).sum()
        };
        close(formed(one) - formed(twin), 0.0, 9);
    }
    assert_eq!(us.geometry.solids.len(), 7);
}

/// Places of the faults of a job with one element.
fn faults_of(element: Value) -> Vec<String> {
    let job = straight(|job| job["elements"] = json!([element]));
    let sent: JobRequest = serde_json::from_value(job).expect("readable");
    let today: Day = serde_json::from_value(json!("2026-05-04")).expect("a date");
    let Err(faults) = expand(sent, today) else {
        return Vec::new();
    };
    for fault in &faults.0 {
        assert!(
            !fault.accepted.is_empty() && fault.example.is_some(),
            "{fault:?}"
        );
    }
    faults.0.iter().map(|fault| fault.pointer.clone()).collect()
}

/// Each with what is just good beside it.
#[test]
fn an_element_that_cannot_be_built_is_told_where_it_is_wrong() {
    let walk = |stretches: Value| json!({"kind": "walk", "width": "4 ft", "stretches": stretches});
    let bent = |length: &str| {
        walk(json!([{"length": length, "bend": {"to": "left", "degrees": 90}}, {"length": "9 ft"}]))
    };
    let arc = |radius: &str| {
        walk(
            json!([{"length": "9 ft", "bend": {"to": "left", "radius": radius}}, {"length": "9 ft"}]),
        )
    };
    let slab = |from: &str, to: &str| json!({"kind": "slab", "length": "9 ft", "width": from, "width_end": to});
    let wedge = |from: &str, to: &str| json!({"kind": "slab", "length": "9 ft", "width": "4 ft", "thickness": from, "thickness_end": to});
    let wall = |leg: &str| json!({"kind": "frost_wall", "legs": ["9 ft", leg, "9 ft"], "thickness": "12 in", "height": "3 ft"});
    let tie = |ends: u32| json!({"kind": "tie_in", "ends_sawn": ends});
    let cases = [
        (
            bent("2 ft"),
            bent("1 ft 11 in"),
            "/elements/0/stretches/0/length",
        ),
        (
            arc("2 ft"),
            arc("1 ft 11 in"),
            "/elements/0/stretches/0/bend/radius",
        ),
        (
            slab("4 ft", "0 in"),
            slab("4 ft", "-1 in"),
            "/elements/0/width_end",
        ),
        (
            slab("0 in", "1 in"),
            slab("0 in", "0 in"),
            "/elements/0/width_end",
        ),
        (
            wedge("0 in", "4 in"),
            wedge("4 in", "-4 in"),
            "/elements/0/thickness_end",
        ),
        (wall("2 ft 1 in"), wall("2 ft"), "/elements/0/legs/1"),
        (tie(2), tie(3), "/elements/0/ends_sawn"),
        (
            walk(json!([{"length": "9 ft"}])),
            walk(json!([])),
            "/elements/0/stretches",
        ),
    ];
    for (good, bad, place) in cases {
        assert_eq!(faults_of(good.clone()), Vec::<String>::new(), "{good}");
        assert_eq!(faults_of(bad.clone()), [place], "{bad}");
    }
}

/// A curb that takes all of a short edge leaves no face to form.
#[test]
fn no_board_is_bought_for_a_face_of_no_length() {
    let taken = taken(&entrance());
    for list in &taken.takeoff.measures.form_staked {
        assert!(list.length.inches() > 0.1, "{list:?}");
    }
    let words = taken.takeoff.lines.iter().map(|line| &line.working);
    assert!(
        words.clone().all(|text| !text.contains(", 0,")),
        "a piece of nothing"
    );
}
