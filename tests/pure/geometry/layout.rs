//! Where pieces lie on the ground.

use crate::worked::{DEMO_JOBS, solved};
use crossfall::geometry::{Place, check_apart, place_pieces};
use crossfall::quantity::Faults;

fn places(text: &str) -> Vec<Place> {
    let (job, geometry) = solved(text);
    place_pieces(&job, &geometry.surfaces, |surface| surface.plan_length)
}

fn around(turns: &[&str]) -> Result<(), Faults> {
    let run = r#"{"kind": "run", "rise": "6 in", "length": "8 ft"}"#;
    let landings = turns.iter().map(|turn| {
        format!(r#"{run}, {{"kind": "landing", "length": "60 in", "turn": "{turn}"}}"#)
    });
    let path: Vec<String> = landings.collect();
    let path = path.join(", ");
    check_apart(&places(&format!(
        r#"{{"ramp": {{"width": "60 in", "curb": "none", "path": [{{"kind": "landing"}}, {path}, {run}, {{"kind": "landing"}}]}}}}"#
    )))
}

#[test]
fn the_demo_jobs_do_not_lie_on_themselves() {
    for (_, text) in DEMO_JOBS {
        assert_eq!(check_apart(&places(text)), Ok(()));
    }
}

/// Walked by hand on squared paper: four equal runs with three left turns close a square, and the head
/// lands on the foot.
#[test]
fn a_path_that_turns_into_itself_is_told_at_the_piece_that_lies_on_another() {
    assert!(around(&["left", "left"]).is_ok());
    let faults = around(&["left", "left", "left"]).expect_err("it comes back");
    assert_eq!(faults.0[0].pointer, "/ramp/path/8");
    assert!(faults.0[0].found.contains("/ramp/path/0"));
    assert!(around(&["left", "right", "left"]).is_ok());
    assert!(around(&["back_left", "back_right"]).is_ok());
}

/// Squared paper again: after a left turn the run sets off to the left, its right side flush with the
/// far end of the landing.
#[test]
fn a_left_turn_sets_off_to_the_left_from_the_far_end() {
    let text = r#"{"ramp": {"width": "60 in", "curb": "none", "path": [{"kind": "landing", "length": "60 in"},
        {"kind": "run", "rise": "6 in", "length": "8 ft"}, {"kind": "landing", "length": "72 in", "turn": "left"},
        {"kind": "run", "rise": "6 in", "length": "8 ft"}, {"kind": "landing"}]}}"#;
    let run = places(text)[3];
    let corners = run
        .corners()
        .map(|point| (point.x.inches().round(), point.y.inches().round()));
    let far = 60.0 + 96.0 + 72.0;
    assert_eq!(corners[0], (0.0, far - 60.0));
    assert_eq!(corners[1], (0.0, far));
    assert_eq!(corners[2], (-96.0, far));
}
