//! Jobs to take off: the model job, and how a job is made from JSON.

use crossfall::catalog::Catalog;
use crossfall::geometry::{Geometry, solve};
use crossfall::job::{Day, Job, JobRequest, expand};
use crossfall::takeoff::{Line, Takeoff, take_off};
use serde_json::{Value, json};

/// Answers every question of a job written as JSON.
pub(crate) fn expanded(job: &Value) -> Job {
    let sent: JobRequest = serde_json::from_value(job.clone()).expect("the test's job is readable");
    let today: Day = serde_json::from_value(json!("2026-05-04")).expect("a date");
    expand(sent, today)
        .expect("the test's job has no fault")
        .job
}

/// A job solved in space and taken off.
pub(crate) struct Taken {
    pub(crate) job: Job,
    pub(crate) geometry: Geometry,
    pub(crate) takeoff: Takeoff,
}

impl Taken {
    /// The only line of a code.
    pub(crate) fn line(&self, code: &str) -> &Line {
        let mut lines = self.takeoff.lines.iter().filter(|line| line.code == code);
        let line = lines.next().unwrap_or_else(|| panic!("no line {code}"));
        assert!(lines.next().is_none(), "two lines {code}");
        line
    }

    /// The order of a line, as it is printed.
    pub(crate) fn order(&self, code: &str) -> String {
        self.line(code).order.to_string()
    }

    /// True when there is a line of a code.
    pub(crate) fn has(&self, code: &str) -> bool {
        self.takeoff.lines.iter().any(|line| line.code == code)
    }

    /// True when there is an advice of a kind.
    pub(crate) fn advises(&self, kind: &str) -> bool {
        self.takeoff
            .advices
            .iter()
            .any(|advice| advice.kind == kind)
    }
}

/// Takes a job off.
pub(crate) fn taken(job: &Value) -> Taken {
    let job = expanded(job);
    let geometry = solve(&job);
    let takeoff = take_off(&job, &geometry, Catalog::built_in());
    Taken {
        job,
        geometry,
        takeoff,
    }
}

/// The invented reading room: an L with a turning landing, as the trade would tape it.
pub(crate) fn reading_room() -> Value {
    json!({
        "units": "us",
        "site": {"exposure": "F3", "truck_to_pour": "12 ft"},
        "ramp": {
            "width": "5 ft 6 in",
            "path": [
                {"kind": "landing", "length": "5 ft",
                 "edges": {"start": "against_walk", "left": "formed", "right": "formed"}, "curbs": []},
                {"kind": "run", "rise": "13 in", "length": "13 ft",
                 "edges": {"left": "formed", "right": "formed"}, "curbs": ["left", "right"]},
                {"kind": "landing", "length": "5 ft 6 in", "width": "5 ft 6 in", "turn": "left",
                 "edges": {"right": "formed", "end": "against_wall"}, "curbs": ["right"]},
                {"kind": "run", "rise": "15 in", "length": "15 ft 2 in", "measured": "surface",
                 "edges": {"left": "formed", "right": "against_wall"}, "curbs": ["left"]},
                {"kind": "landing", "length": "5 ft 6 in",
                 "edges": {"left": "formed", "end": "formed", "right": "against_wall"},
                 "curbs": ["left", "end"]}
            ],
            "curb": {"width": "6 in", "height": "4 in"},
            "handrails": {"by": "others"}
        },
        "slab": {
            "thickness": "5 in",
            "concrete": {"strength": "4500 psi", "air": "6 %", "slump": "4 in"},
            "waste": "10 %"
        },
        "base": {"material": "dense_graded_stone", "depth": "4 in", "waste": "5 %"},
        "insulation": {"class": "XPS IV", "thickness": "2 in"},
        "reinforcement": {
            "bar": "no. 4", "spacing_along": "18 in", "spacing_across": "18 in",
            "edge_cover": "2 in", "lap_diameters": 40, "count": "net"
        },
        "joints": {"spacing": "6 ft", "depth": "1 1/4 in", "sealant_depth": "1/2 in"},
        "curing": {"method": "compound", "coverage": "150 ft2/gal"},
        "sealer": {"product": "silane", "coverage": "125 ft2/gal", "earliest_age": "14 d", "waste": "5 %"},
        "crew": {"members": [{"class": "finisher", "count": 1}, {"class": "labourer", "count": 2}]}
    })
}

/// A straight ramp between a foot and a head landing, which `change` may alter.
pub(crate) fn straight(change: impl FnOnce(&mut Value)) -> Value {
    let mut job = json!({
        "ramp": {
            "width": "5 ft",
            "path": [
                {"kind": "landing", "length": "5 ft"},
                {"kind": "run", "rise": "28 in", "length": "28 ft"},
                {"kind": "landing", "length": "5 ft"}
            ]
        }
    });
    change(&mut job);
    job
}
