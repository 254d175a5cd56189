//! A priced answer goes along where it is that of the job handed over.

use super::{day, handed, read, sent, sent_with};
use crate::worked::{DEMO_JOBS, priced};
use crossfall::http::answer::{EstimateAnswer, View};
use serde_json::{Value, json};

/// The answer to a job, with the job where it is asked for.
fn answer_to(job: &str, with_job: bool) -> Value {
    let estimate = priced(job);
    let view = View {
        system: estimate.job.units,
        working: false,
    };
    let answer = EstimateAnswer::of(estimate, view, with_job);
    serde_json::to_value(answer).expect("an answer can be written")
}

fn faults(job: &Value, estimate: &Value) -> Vec<(String, String)> {
    let mut all = sent();
    all["job"] = job.clone();
    all["estimate"] = estimate.clone();
    let found = read(&all).check(day("2026-07-01")).0;
    let both = found
        .into_iter()
        .map(|fault| (fault.pointer, fault.accepted));
    both.collect()
}

fn pointers(job: &Value, estimate: &Value) -> Vec<String> {
    let both = faults(job, estimate).into_iter();
    both.map(|(pointer, _)| pointer).collect()
}

#[test]
fn the_answer_of_the_same_job_goes_along() {
    for (name, text) in DEMO_JOBS {
        let metric = text.replacen('{', "{\"units\": \"metric\",", 1);
        for text in [text, &metric] {
            let job: Value = serde_json::from_str(text).expect("a job");
            for with_job in [false, true] {
                let found = faults(&job, &answer_to(text, with_job));
                assert!(found.is_empty(), "{name}: {found:?}");
            }
        }
    }
}

#[test]
fn the_answer_of_another_job_does_not() {
    let job: Value = serde_json::from_str(DEMO_JOBS[0].1).expect("a job");
    for with_job in [false, true] {
        let found = faults(&job, &answer_to(DEMO_JOBS[1].1, with_job));
        assert_eq!(found.len(), 1, "{found:?}");
        let (pointer, accepted) = &found[0];
        let wanted = match with_job {
            true => ("/estimate/job/ramp", "of the ramp handed over"),
            false => ("/estimate/name", job["name"].as_str().expect("a name")),
        };
        assert_eq!(pointer, wanted.0);
        assert!(accepted.contains(wanted.1), "{accepted}");
    }
    // The same name over another ramp.
    let mut other = job.clone();
    other["ramp"]["width"] = json!("6 ft");
    let other = other.to_string();
    assert_eq!(
        pointers(&job, &answer_to(&other, true)),
        ["/estimate/job/ramp"]
    );
    assert!(pointers(&job, &answer_to(&other, false)).is_empty());
}

#[test]
fn the_same_ramp_under_another_name_goes_along_and_is_told() {
    let mut job: Value = serde_json::from_str(DEMO_JOBS[0].1).expect("a job");
    job["name"] = json!("As poured (invented)");
    let estimate = answer_to(DEMO_JOBS[0].1, true);
    assert!(pointers(&job, &estimate).is_empty());
    let nameless = answer_to(DEMO_JOBS[0].1, false);
    assert_eq!(pointers(&job, &nameless), ["/estimate/name"]);
    let told = handed(&sent_with(json!({"job": job, "estimate": estimate})));
    let cautions = told["cautions"].to_string();
    assert!(
        cautions.contains("the same ramp under another name"),
        "{cautions}"
    );
}
