//! A caution is there where a fact of the job calls it, and only there.

use crate::worked::priced;
use serde_json::{Value, json};

fn job(rise: &str, length: &str) -> Value {
    json!({"ramp": {"path": [
        {"kind": "landing"},
        {"kind": "run", "rise": rise, "length": length},
        {"kind": "landing"},
    ]}})
}

fn told(job: &Value) -> String {
    let estimate = priced(&job.to_string());
    let texts = estimate.cautions.iter();
    texts
        .map(|one| format!("{}: {}\n", one.kind, one.text))
        .collect()
}

/// 29 CFR 1926.1153 Table 1, read through the identical Californian text: rows of walk-behind and handheld saws
/// with water; none of an early-entry saw that cuts dry (from memory).
#[test]
fn a_saw_calls_for_its_own_control() {
    let mut sent = job("12 in", "12 ft");
    sent["joints"] = json!({"method": "sawn", "saw": "early_entry"});
    let early = told(&sent);
    assert!(
        early.contains("no row of Table 1") && !early.contains("walk-behind"),
        "{early}"
    );
    sent["joints"]["saw"] = json!("conventional");
    let wet = told(&sent);
    assert!(
        wet.contains("walk-behind") && !wet.contains("no row of Table 1"),
        "{wet}"
    );
    sent["joints"] = json!({"method": "tooled"});
    assert!(!told(&sent).contains("silica"), "{}", told(&sent));
}

#[test]
fn boards_on_a_wall_are_drilled_for() {
    let mut sent = job("12 in", "12 ft");
    sent["joints"] = json!({"method": "tooled"});
    assert!(!told(&sent).contains("Drilling"));
    sent["ramp"]["path"][1]["edges"] = json!({"left": "form_on_wall"});
    assert!(told(&sent).contains("Drilling"), "{}", told(&sent));
}

/// 29 CFR 1926.501(b)(1), from memory: 6 ft or more above a lower level.
#[test]
fn an_edge_is_guarded_from_six_feet_on() {
    let high = |rise: &str, length| told(&job(rise, length)).contains("fall:");
    assert!(!high("71 in", "72 ft") && high("72 in", "72 ft"));
}

#[test]
fn bars_and_bags_call_for_theirs() {
    let mut sent = job("12 in", "12 ft");
    sent["reinforcement"] = json!("none");
    let bare = told(&sent);
    assert!(
        !bare.contains("bars:") && !bare.contains("lifting:"),
        "{bare}"
    );
    sent["reinforcement"] = json!({"bar": "no. 4"});
    sent["crew"] = json!({"placing": "bags"});
    let full = told(&sent);
    assert!(
        full.contains("bars:") && full.contains("lifting:"),
        "{full}"
    );
    assert!(
        full.contains("wet_concrete:") && full.contains("washout:"),
        "{full}"
    );
}
