//! Jobs for the rules to judge, built from JSON text through the same path as a request takes.

use crossfall::geometry::{Geometry, solve};
use crossfall::job::{Day, Job, JobRequest, expand};
use crossfall::rules::{Check, Finding, RuleSets, check};
use serde_json::{Map, Value, json};

/// A job of one shape, with room at every limit and rails of our own.
pub(crate) fn template(name: &str) -> Value {
    let foot = json!({"kind": "landing", "work": "existing"});
    let run = || json!({"kind": "run", "rise": "15 in", "length": "20 ft"});
    let landing = || json!({"kind": "landing", "length": "60 in"});
    let path = match name {
        "headless" => vec![foot, run()],
        "two" => vec![foot, run(), landing(), run(), landing()],
        "corner" | "back" => {
            let turn = if name == "corner" {
                "left"
            } else {
                "back_left"
            };
            let turning = json!({"kind": "landing", "turn": turn, "length": "60 in", "curbs": []});
            vec![foot, run(), turning, run(), landing()]
        }
        "door" => {
            let door = json!({"edge": "end", "leaf": "36 in", "beyond_latch": "60 in"});
            let head = json!({"kind": "landing", "length": "60 in", "width": "10 ft", "curbs": [], "door": door});
            vec![foot, run(), head]
        }
        _ => vec![foot, run(), landing()],
    };
    let mut ramp = json!({"path": path, "width": "5 ft", "handrails": {"by": "us"}});
    match name {
        "level" => ramp["level_changes"] = json!([{}]),
        "curb_ramp" => ramp["curb_ramps"] = json!([{}]),
        "steps" => ramp["steps"] = json!([{}]),
        "straight" | "two" | "corner" | "back" | "door" | "headless" => {}
        other => panic!("no template {other}"),
    }
    json!({"site": {"rule_sets": ["ada-2010"]}, "ramp": ramp})
}

/// Writes `pointer=value; pointer=value` into a job; a length goes when a slope is set.
pub(crate) fn set_all(job: &mut Value, assignments: &str) {
    for one in assignments
        .split(';')
        .map(str::trim)
        .filter(|one| !one.is_empty())
    {
        let (pointer, value) = one
            .split_once('=')
            .unwrap_or_else(|| panic!("no = in {one}"));
        let value = serde_json::from_str(value).unwrap_or_else(|_| Value::from(value));
        set(job, pointer, value);
        if let Some(run) = pointer
            .strip_suffix("/slope")
            .and_then(|run| job.pointer_mut(run))
        {
            run.as_object_mut()
                .expect("a run is an object")
                .remove("length");
        }
    }
}

fn set(job: &mut Value, pointer: &str, value: Value) {
    let mut place = job;
    for part in pointer.trim_start_matches('/').split('/') {
        place = match part.parse::<usize>() {
            Ok(index) => &mut place[index],
            Err(_) => {
                if !place.is_object() {
                    *place = Value::Object(Map::new());
                }
                &mut place[part]
            }
        };
    }
    *place = value;
}

/// A job as it is sent, expanded and solved in space.
pub(crate) fn solved(sent: &Value) -> (Job, Geometry) {
    let text = sent.to_string();
    let request: JobRequest =
        serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error} in {text}"));
    let today = Day::parse("2026-05-04").expect("a day that exists");
    let job = expand(request, today)
        .unwrap_or_else(|faults| panic!("{faults} in {text}"))
        .job;
    let geometry = solve(&job);
    (job, geometry)
}

/// What the built-in rule sets say of a template with changes.
pub(crate) fn judge(name: &str, assignments: &str) -> Check {
    let mut sent = template(name);
    set_all(&mut sent, assignments);
    let (job, geometry) = solved(&sent);
    check(&job, &geometry, RuleSets::built_in()).expect("built-in rule sets are known")
}

/// The finding of a rule on a subject. Where a rule judges one thing twice, the worse comes first.
pub(crate) fn find<'a>(check: &'a Check, rule: &str, subject: &str) -> Option<&'a Finding> {
    let here = |finding: &&Finding| finding.rule == rule && finding.subject == subject;
    let room = |finding: &&Finding| finding.tightness().unwrap_or(f64::INFINITY);
    let found = check.findings.iter().filter(here);
    found.min_by(|a, b| room(a).total_cmp(&room(b)))
}

/// The finding of a rule on a subject, which must be there.
pub(crate) fn found<'a>(check: &'a Check, rule: &str, subject: &str) -> &'a Finding {
    find(check, rule, subject).unwrap_or_else(|| panic!("no finding {rule} on {subject}"))
}
