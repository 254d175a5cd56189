//! Jobs that the tests of crew hours plan, all invented: three usual ramps and a law's ramp of any
//! size. Absent: any expected figure.

use crossfall::crew::{CrewHours, Rates, plan_hours};
use crossfall::geometry::{Geometry, solve};
use crossfall::job::{Day, Job, JobRequest, expand};
use crossfall::quantity::{Area, Length, Span, Volume};
use crossfall::takeoff::{FormStretch, Measures, Takeoff};
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
        let takeoff = take_off(&job, &geometry);
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

pub(super) fn usual() -> [(&'static str, Value); 3] {
    [
        ("straight", straight()),
        ("corner", corner()),
        ("switchback", switchback()),
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

fn take_off(job: &Job, geometry: &Geometry) -> Takeoff {
    use crossfall::geometry::Stands;
    use crossfall::job::{By, EdgeKind};
    let area = geometry.new_area();
    let t = job.slab.thickness;
    let volume = area * t;
    let mut m = Measures::default();
    m.surface_area = area;
    m.base_area = area * 1.2;
    if job.base.as_option().is_some_and(|b| b.by.is_ours()) {
        m.stone_volume = area * 1.2 * Length::from_inches(4.0);
    }
    if job.insulation.as_option().is_some() {
        m.insulation_area = area;
    }
    m.bar_mass = crossfall::quantity::Mass::from_pounds(area.square_feet() * 0.85);
    for e in geometry.new_edges() {
        match e.stands {
            Stands::Edge(EdgeKind::Formed) => m.form_staked.push(FormStretch {
                height: t,
                length: e.length,
                slope: e.elevation_low != e.elevation_high,
            }),
            Stands::Edge(EdgeKind::FormOnWall) => m.form_on_wall += e.length,
            Stands::Edge(_) => {
                m.isolation_length += e.length;
                m.sealed_length += e.length
            }
            _ => {}
        }
        if e.curb {
            m.curb_length += e.length;
            m.curb_face_form += e.length;
        }
        if e.is_formed() {
            m.rubbed_area += e.length * t;
        }
    }
    m.joint_length = geometry.joints.contraction_length;
    m.concrete_volume = volume;
    if job.curing.by.is_ours() {
        m.curing_area = area;
    }
    if job.sealer.as_option().is_some_and(|s| s.by.is_ours()) {
        m.sealer_area = area;
    }
    if job.site_work.backfill == By::Us {
        m.backfill_length = m.form_staked.iter().map(|f| f.length).sum();
    }
    m.loads = if matches!(job.crew.placing, crossfall::job::Placing::Bags) {
        0
    } else {
        1
    };
    let _ = (Area::ZERO, Volume::ZERO);
    let mut takeoff = Takeoff::default();
    takeoff.concrete.unload_minutes_needed = Span::from_minutes(13.0 * volume.cubic_yards());
    takeoff.measures = m;
    takeoff
}
