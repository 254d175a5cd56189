//! Jobs that the tests of crew hours plan, all invented: three usual ramps and a law's ramp of any
//! size. Absent: any expected figure.

use crossfall::catalog::Catalog;
use crossfall::crew::{CrewHours, Rates, plan_hours};
use crossfall::geometry::{Geometry, solve};
use crossfall::job::{Day, Job, JobRequest, expand};
use crossfall::takeoff::{Takeoff, take_off};
use serde_json::{Value, json};

/// A job and what is computed from it.
pub(super) struct Solved {
    pub(super) job: Job,
    pub(super) geometry: Geometry,
    pub(super) takeoff: Takeoff,
}

impl Solved {
    pub(super) fn of(sent: Value) -> Self {
        let request: JobRequest = serde_json::from_value(sent).expect("a readable job");
        let today = Day::parse("2026-05-04").expect("a day that exists");
        let job = expand(request, today).expect("a job without faults").job;
        let geometry = solve(&job);
        let takeoff = take_off(&job, &geometry, Catalog::built_in());
        Self {
            job,
            geometry,
            takeoff,
        }
    }

    pub(super) fn hours(&self) -> CrewHours {
        plan_hours(&self.job, &self.geometry, &self.takeoff, Rates::built_in())
    }
}

/// 28 in over 28 ft, landings 5 ft by 5 ft at both ends, a door at the head.
pub(super) fn straight() -> Value {
    json!({"name": "Potting shed, north door (invented)", "ramp": {"width": "5 ft", "path": [
        {"kind": "landing", "edges": {"start": "against_walk", "left": "formed", "right": "formed"}},
        {"kind": "run", "rise": "28 in", "length": "28 ft"},
        {"kind": "landing", "edges": {"end": "against_wall", "left": "formed", "right": "formed"},
         "door": {"edge": "end", "leaf": "36 in"}}
    ]}})
}

/// Two runs round a corner, curbs, boards under the slab, the second run along a wall.
pub(super) fn corner() -> Value {
    json!({"name": "Reading room, east entrance (invented)", "ramp": {"width": "5 ft",
        "curb": {"width": "6 in", "height": "4 in"}, "path": [
        {"kind": "landing", "edges": {"start": "against_walk", "left": "formed", "right": "formed"},
         "curbs": []},
        {"kind": "run", "rise": "13 in", "length": "13 ft"},
        {"kind": "landing", "turn": "left", "length": "5 ft", "edges": {"right": "formed", "end": "against_wall"}},
        {"kind": "run", "rise": "15 in", "length": "15 ft 2 in", "edges": {"left": "formed", "right": "against_wall"}},
        {"kind": "landing", "edges": {"left": "formed", "right": "against_wall", "end": "formed"},
         "door": {"edge": "right", "leaf": "36 in"}}
    ]}, "insulation": {"thickness": "2 in"}})
}

/// Two runs side by side, boards screwed to the wall along one of them.
pub(super) fn switchback() -> Value {
    json!({"name": "Net loft, south stair (invented)", "ramp": {"width": "4 ft 6 in", "path": [
        {"kind": "landing", "edges": {"start": "against_walk", "left": "formed", "right": "formed"}},
        {"kind": "run", "rise": "12 in", "length": "13 ft", "edges": {"left": "formed", "right": "formed"}},
        {"kind": "landing", "turn": "back_left", "length": "5 ft"},
        {"kind": "run", "rise": "12 in", "length": "13 ft", "edges": {"left": "form_on_wall", "right": "formed"}},
        {"kind": "landing", "edges": {"end": "against_wall", "left": "form_on_wall", "right": "formed"}}
    ]}})
}

/// The three above, and the demo jobs of the project.
pub(super) fn usual() -> [(&'static str, Value); 6] {
    let demo = |text| serde_json::from_str(text).expect("a demo job is JSON");
    [
        ("straight", straight()),
        ("corner", corner()),
        ("switchback", switchback()),
        (
            "demo straight",
            demo(include_str!("../../../examples/straight.json")),
        ),
        (
            "demo L",
            demo(include_str!("../../../examples/l-shape.json")),
        ),
        (
            "demo switchback",
            demo(include_str!("../../../examples/switchback.json")),
        ),
    ]
}

/// Puts a value at a pointer of a job, making objects on the way.
pub(super) fn with(mut job: Value, pointer: &str, value: Value) -> Value {
    let mut at = &mut job;
    for part in pointer.trim_start_matches('/').split('/') {
        at = match part.parse::<usize>() {
            Ok(index) => &mut at[index],
            Err(_) => &mut at[part],
        };
    }
    *at = value;
    job
}
