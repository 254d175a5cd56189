//! Section 2, task by task: what is said where a task alone is ours, written here by hand from what its row in
//! `src/crew/rates.toml` describes.

use super::{proposed, request_of, small_request};
use crate::worked::DEMO_JOBS;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// Every task, twelve units of it and no job: its sentence, or nothing where it is passed over on purpose.
const SAID: [(&str, &str); 58] = [
    (
        "layout",
        "Lay out lines and grades from one benchmark, both edges, creases and landings.",
    ),
    ("material-pickup", ""),
    ("fine-grade", "Fine grade and compact 12 u of ground."),
    ("stone", "Place and compact the stone base."),
    ("stone-barrow", "Place and compact the stone base."),
    (
        "stone-level",
        "Level the stone under the insulation boards.",
    ),
    ("form-edge-low", EDGES),
    ("form-edge-high", EDGES),
    ("form-edge-slope", EDGES),
    (
        "form-side",
        "Form high sides, 12 u in all, and take the forms away.",
    ),
    (
        "form-on-wall",
        "Screw boards to the wall that stands there for 12 u of slab edge, and take them away.",
    ),
    ("insulation", "Lay board insulation."),
    (
        "isolation-filler",
        "Set filler against what stands there, 12 u in all.",
    ),
    ("bars-cut", "Cut and set the reinforcement, on chairs."),
    (
        "bars",
        "Set the reinforcement, on chairs, from bars cut by others.",
    ),
    ("form-curb", "Form and finish 12 u of curbs."),
    ("inspection-wait", ""),
    ("grade-check", ""),
    (
        "protect-building",
        "Cover the building and its doors while we pour.",
    ),
    ("place-chute", PLACED),
    ("place-barrow", PLACED),
    ("place-buggy", PLACED),
    ("place-pump", PLACED),
    (
        "place-bags",
        "Mix from bags and place about 12 u of concrete.",
    ),
    ("strike-off", ""),
    ("finish", "Strike off, float, edge and finish."),
    ("curb-finish", ""),
    ("joint-tooled", "Tool the joints."),
    ("expose", "Expose the stone of the surface."),
    ("cure-compound", "Cure with a compound."),
    ("cover-on", "Cure under a wet cover."),
    ("washout", "Contain the washout."),
    ("clean-up-pour", "Take our own debris away."),
    ("saw-early-entry", "Saw the joints, 12 u in all."),
    ("saw-conventional", "Saw the joints, 12 u in all."),
    ("strip-staked", ""),
    ("strip-side", ""),
    ("strip-wall", ""),
    ("rub", "Rub the formed faces that stay in sight."),
    (
        "level-walk",
        "Read the slopes with a level, and hand over the readings.",
    ),
    ("cover-off", ""),
    ("backfill", "Backfill along the open edges."),
    ("handrail", "Set the handrails."),
    (
        "break-out",
        "Break out 12 u of existing concrete, and haul it off.",
    ),
    (
        "cut-existing",
        "Saw 12 u of existing concrete where the drawing shows it.",
    ),
    ("dig-hand", "Dig to the depths shown, 12 u in all."),
    ("dig-machine", "Dig to the depths shown, 12 u in all."),
    (
        "fill-back",
        "Fill the trenches back beside what stands in them, 12 u in all.",
    ),
    (
        "form-wall",
        "Form and brace 12 u of wall faces, and take the forms away.",
    ),
    (
        "footings-walls",
        "Pour what the ramp is poured after, 12 u of concrete.",
    ),
    (
        "drill-dowel",
        "Drill and bond dowels into what stands there.",
    ),
    ("form-riser", ""),
    ("finish-steps", "Form, pour and finish the steps."),
    (
        "seal-surface",
        "Return to spray one coat of penetrating sealer.",
    ),
    (
        "seal-joints",
        "Seal joints against what stands there, 12 u in all.",
    ),
    ("load-unload", ""),
    ("clean-up", "Take our own debris away."),
    ("secure", ""),
];
const EDGES: &str = "Form the edges, 12 u in all, and take the forms away.";
const PLACED: &str = "Place about 12 u of concrete.";

fn points(request: &Value) -> Vec<String> {
    proposed(request).0.sections[1].points.clone()
}

fn table(text: &str) -> toml::Table {
    toml::from_str(text).expect("rows")
}

fn with_tasks(codes: &[&str]) -> Value {
    let mut request = small_request("USD", "100.00");
    let task = |code: &&str| json!({"code": code, "quantity": {"value": 12, "unit": "u"}});
    let tasks: Vec<Value> = codes.iter().map(task).collect();
    request["estimate"]["crew_hours"] = json!({"tasks": tasks});
    request
}

#[test]
fn each_task_alone_is_told_by_its_own_sentence_and_no_other() {
    for (code, said) in SAID {
        let found = points(&with_tasks(&[code])).join(" ");
        assert_eq!(found, said, "{code}");
    }
    assert!(points(&with_tasks(&[])).is_empty());
}

#[test]
fn every_task_of_the_crew_is_known_here() {
    let rates = table(include_str!("../../../src/crew/rates.toml"));
    let ours: BTreeSet<&str> = rates["task"]
        .as_table()
        .expect("tasks")
        .keys()
        .map(String::as_str)
        .collect();
    let here: BTreeSet<&str> = SAID.iter().map(|(code, _)| *code).collect();
    assert_eq!(ours, here);
}

/// A task stands in one row with a sentence or in one without, which says why.
#[test]
fn a_task_without_a_sentence_is_passed_over_on_purpose() {
    let text = table(include_str!("../../../src/proposal/text.toml"));
    let codes = |rows: &str| -> Vec<String> {
        let rows = text[rows].as_array().expect("rows").iter();
        let tasks = rows.flat_map(|row| row["tasks"].as_array().expect("tasks"));
        tasks
            .map(|code| code.as_str().expect("a code").to_owned())
            .collect()
    };
    let silent = codes("silent");
    let mut all = [codes("work"), silent.clone()].concat();
    all.sort();
    let mut here: Vec<&str> = SAID.iter().map(|(code, _)| *code).collect();
    here.sort_unstable();
    assert_eq!(all, here);
    for (code, said) in SAID {
        assert_eq!(
            said.is_empty(),
            silent.iter().any(|one| one == code),
            "{code}"
        );
    }
}

/// A board on a wall that others built is no wall of ours, and a trench is no open edge.
#[test]
fn demo_jobs_name_no_work_of_others() {
    let l_shape = points(&request_of(DEMO_JOBS[1].1)).join("\n");
    assert!(l_shape.contains("Screw boards to the wall"), "{l_shape}");
    for wrong in ["footing", "Pour ", "Form and brace", "ackfill"] {
        assert!(!l_shape.contains(wrong), "{wrong}: {l_shape}");
    }
    let school = DEMO_JOBS[3].1.replace("2027-04-12", "2026-05-04");
    let school = points(&request_of(&school)).join("\n");
    for right in [
        "Pour footings and walls, before the ramp.",
        "Fill the trenches back",
        "Form and brace",
        // Two of one kind in one entry of the job.
        "2 × slab",
    ] {
        assert!(school.contains(right), "{right}: {school}");
    }
    assert!(!school.contains("ackfill"), "{school}");
}
