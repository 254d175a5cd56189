//! Corners, strips and edges: what is counted once, what is formed, what is left alone.

use super::close;
use super::jobs::{expanded, straight, taken};
use serde_json::json;

/// Worked: slab 38.097 x 5 ft (28 ft at 1:12 is 28.097 along the surface); formed sides twice
/// 38.097 ft; ends against a walk and a wall.
#[test]
fn stone_reaches_past_formed_sides_and_not_past_walls() {
    let taken = taken(&straight(|_| {}));
    let along = 10.0 + libm::hypot(28.0, 28.0 / 12.0);
    close(
        taken.takeoff.measures.base_area.square_feet(),
        along * 6.0,
        6,
    );
}

/// Worked: a head landing formed on three sides has two corners of 6 in x 6 in more.
#[test]
fn stone_counts_each_corner_once() {
    let job = straight(|job| {
        job["ramp"]["path"][2] =
            json!({"kind": "landing", "length": "5 ft", "edges": {"end": "formed"}});
    });
    let along = 10.0 + libm::hypot(28.0, 28.0 / 12.0);
    let area = along * 6.0 + 5.0 * 0.5 + 2.0 * 0.25;
    close(
        taken(&job).takeoff.measures.base_area.square_feet(),
        area,
        6,
    );
}

fn switchback(gap: &str) -> serde_json::Value {
    json!({"ramp": {"width": "5 ft", "gap": gap, "curb": "none", "path": [
        {"kind": "landing", "work": "existing", "length": "5 ft"},
        {"kind": "run", "rise": "12 in", "length": "16 ft"},
        {"kind": "landing", "length": "5 ft", "turn": "back_left"},
        {"kind": "run", "rise": "12 in", "length": "16 ft"},
        {"kind": "landing", "work": "existing", "length": "5 ft"}
    ]}})
}

/// Worked: runs 2 ft apart have two strips of 6 in between them, runs 6 in apart one of 6 in.
#[test]
fn the_strip_between_runs_side_by_side_counts_once() {
    let run = libm::hypot(16.0, 1.0);
    let area = |gap: &str| {
        taken(&switchback(gap))
            .takeoff
            .measures
            .base_area
            .square_feet()
    };
    // Runs, their four sides, the landing with its open end, both sides and the edge between the
    // runs; corners: two at the far side; where a strip meets a strip inside, it counts once.
    let wide =
        2.0 * run * 5.0 + 4.0 * run * 0.5 + 12.0 * 5.0 + 12.0 * 0.5 + 2.0 * 5.0 * 0.5 + 2.0 * 0.5
            - 2.0 * 0.25
            + 2.0 * 0.25;
    close(area("2 ft"), wide, 6);
    let narrow = 2.0 * run * 5.0
        + 2.0 * run * 0.5
        + run * 0.5
        + 10.5 * 5.0
        + 10.5 * 0.5
        + 2.0 * 5.0 * 0.5
        + 2.0 * 0.25;
    close(area("6 in"), narrow, 6);
}

/// Worked: at a turn to the left both inner strips cover one corner of 6 in x 6 in together.
#[test]
fn the_inner_corner_of_a_turn_counts_once() {
    let job = json!({"ramp": {"width": "5 ft", "curb": "none", "path": [
        {"kind": "landing", "work": "existing", "length": "5 ft"},
        {"kind": "run", "rise": "6 in", "length": "8 ft"},
        {"kind": "landing", "length": "5 ft", "width": "5 ft", "turn": "left"},
        {"kind": "run", "rise": "6 in", "length": "8 ft"},
        {"kind": "landing", "work": "existing", "length": "5 ft"}
    ]}});
    let run = libm::hypot(8.0, 0.5);
    let area = 2.0 * run * 6.0 + 25.0 + 2.0 * 2.5 + 0.25 - 0.25;
    close(
        taken(&job).takeoff.measures.base_area.square_feet(),
        area,
        6,
    );
}

/// Worked: curbs of 6 in along three edges of a head landing 5 x 5 ft share two corners.
#[test]
fn curbs_share_their_corners() {
    let job = straight(|job| {
        job["ramp"]["path"][2] = json!({"kind": "landing", "length": "5 ft",
            "edges": {"end": "formed"}, "curbs": ["left", "right", "end"]});
    });
    let taken = taken(&job);
    let run = libm::hypot(28.0, 28.0 / 12.0);
    close(
        taken.takeoff.measures.curb_length.feet(),
        2.0 * run + 15.0 - 2.0 * 0.5,
        6,
    );
    let faces = 2.0 * run + 2.0 * 4.5 + 4.0;
    close(taken.takeoff.measures.curb_face_form.feet(), faces, 6);
}

#[test]
fn what_exists_is_not_taken_off() {
    let all = taken(&straight(|_| {}));
    let job = straight(|job| {
        job["ramp"]["path"][0]["work"] = json!("existing");
        job["ramp"]["path"][2]["work"] = json!("existing");
    });
    let run = taken(&job);
    let area = libm::hypot(28.0, 28.0 / 12.0) * 5.0;
    close(run.takeoff.measures.surface_area.square_feet(), area, 6);
    assert!(run.takeoff.concrete.net < all.takeoff.concrete.net);
    // Bars end at the joints to what exists, and filler stands there.
    assert_eq!(run.takeoff.bar_marks[0].of, "/ramp/path/1");
    close(run.takeoff.measures.isolation_length.feet(), 10.0, 6);
    assert!(
        run.takeoff
            .concrete
            .parts
            .iter()
            .all(|(what, _)| !what.contains("landing"))
    );
}

/// Worked: a run and landings 5 ft wide and a turning landing 6 ft wide between.
#[test]
fn a_landing_wider_than_its_run_has_bars_of_its_own() {
    let job = json!({"ramp": {"width": "5 ft", "curb": "none", "path": [
        {"kind": "landing", "length": "5 ft"},
        {"kind": "run", "rise": "12 in", "length": "16 ft"},
        {"kind": "landing", "length": "8 ft", "width": "8 ft"}
    ]}, "reinforcement": {"spacing_along": "24 in", "spacing_across": "24 in"}});
    let taken = taken(&job);
    let marks: Vec<(u32, f64)> = taken
        .takeoff
        .bar_marks
        .iter()
        .map(|mark| (mark.count, (mark.length.inches() * 10.0).round() / 10.0))
        .collect();
    let whole = 13.0 * 12.0 + libm::hypot(16.0, 1.0) * 12.0 - 4.0 + 20.0;
    let first = (whole * 10.0).round() / 10.0;
    // Four along through all; across in the narrow and in the wide part; one more along at 8 ft.
    assert_eq!(marks, [(4, first), (11, 56.0), (5, 92.0), (1, 92.0)]);
}

#[test]
fn joints_of_one_part_are_those_of_the_geometry() {
    for job in [
        straight(|_| {}),
        switchback("6 in"),
        super::jobs::reading_room(),
    ] {
        let taken = taken(&job);
        let (found, all) = (
            taken.takeoff.measures.joint_length,
            taken.geometry.joints.contraction_length,
        );
        close(found.feet(), all.feet(), 6);
    }
}

/// A board is the smallest that covers its face, and the curb's inner board may hang a little high.
#[test]
fn boards_cover_their_faces() {
    let taken = taken(&straight(|_| {}));
    assert!(
        taken.has("board-2x10-16ft") && taken.has("board-2x6-12ft") && taken.has("board-2x4-16ft")
    );
    let thick = super::jobs::taken(&straight(|job| {
        job["slab"] = json!({"thickness": "5 1/2 in"})
    }));
    assert!(thick.has("board-2x6-12ft") && thick.has("board-2x12-16ft"));
}

/// A form on a wall has screws and no stakes, and no stone beyond it.
#[test]
fn a_form_on_a_wall_has_screws_and_no_stone_beyond() {
    let job = straight(|job| {
        job["ramp"]["path"][1]["edges"] = json!({"left": "form_on_wall"});
    });
    let (open, wall) = (taken(&straight(|_| {})), taken(&job));
    let run = libm::hypot(28.0, 28.0 / 12.0);
    close(wall.takeoff.measures.form_on_wall.feet(), run, 6);
    let less = open.takeoff.measures.base_area - wall.takeoff.measures.base_area;
    close(less.square_feet(), run * 0.5, 6);
    // 28.1 ft is a board of 16 ft and one of 12.1 ft: 9 and 8 screws at 24 in.
    assert_eq!(wall.order("concrete-screw-3in"), "17");
    assert!(!open.has("concrete-screw-3in"));
    assert!(wall.advises("screw_embedment") && !open.advises("screw_embedment"));
}

/// Worked: the body of a solid ramp is plan length x width x mean height above the foot.
#[test]
fn a_solid_ramp_holds_the_wedge_and_the_block_under_it() {
    let job = straight(|job| {
        job["ramp"]["support"] = json!("solid");
        job["ramp"]["curb"] = json!("none");
        job["slab"] = json!({"thickness_measured": "vertical"});
    });
    let taken = taken(&job);
    let height = 28.0 / 12.0;
    let body = 28.0 * 5.0 * height / 2.0 + 5.0 * 5.0 * height;
    let slab = 38.0 * 5.0 * 5.0 / 12.0;
    close(taken.takeoff.concrete.net.cubic_feet(), body + slab, 6);
    // Its stone lies level: 38 ft on plan.
    close(
        taken.takeoff.measures.base_area.square_feet(),
        38.0 * 6.0,
        6,
    );
    // The forms taper from the slab to the whole height.
    let highest = taken
        .takeoff
        .measures
        .form_staked
        .iter()
        .map(|stretch| stretch.height.inches());
    close(highest.fold(0.0, f64::max), 33.0, 6);
    assert!(expanded(&job).ramp.handrails.as_option().is_some());
}
