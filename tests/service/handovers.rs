//! Handovers as an office sends them: with the survey of the poured ramp, with faults, with a priced answer.
//!
//! Invariant: every party and ticket is invented.

use crate::launched::{Launched, problem};
use serde_json::{Value, json};

/// The job of the survey's example, poured and measured; it breaks a rule.
fn sent() -> Value {
    let job: Value =
        serde_json::from_str(include_str!("../../examples/survey.json")).expect("JSON");
    json!({
        "job": job, "poured_on": "2026-05-18", "handed_over_on": "2026-06-20",
        "seller": {"name": "Hill Concrete (invented)"},
        "buyer": {"name": "Mill Library (invented)"},
    })
}

async fn hand_over(service: &Launched, sent: &Value) -> Value {
    let answer = service.post("/v1/handovers").json(sent).send().await;
    let answer = answer.expect("an answer");
    assert_eq!(answer.status(), 200);
    answer.json().await.expect("JSON")
}

#[actix_web::test]
async fn a_ramp_that_breaks_a_rule_is_told_so_first_and_as_the_survey_tells_it() {
    let service = Launched::start().await;
    let told = hand_over(&service, &sent()).await;
    let survey = service
        .post("/v1/ramps/survey")
        .json(&sent()["job"])
        .send()
        .await;
    let survey: Value = survey.expect("an answer").json().await.expect("JSON");
    let survey = &survey["survey"];
    assert_eq!(told["survey"]["verdict"], "does_not_comply");
    assert_eq!(told["headline"], survey["headline"]);
    let headline = told["headline"].as_str().expect("text");
    assert!(
        headline.starts_with("The ramp as poured does not comply"),
        "{headline}"
    );
    let cautions = told["cautions"].as_array().expect("cautions");
    assert!(
        cautions[0]
            .as_str()
            .is_some_and(|text| text.contains("breaks a rule"))
    );
    // Each rule once, the broken ones first, and none that the survey does not have.
    let findings = told["survey"]["findings"].as_array().expect("findings");
    let rule = |one: &Value| one["rule"].as_str().expect("text").to_owned();
    let mut rules: Vec<String> = findings.iter().map(rule).collect();
    assert_eq!(findings[0]["verdict"], "violates");
    let theirs = survey["check"]["findings"].as_array().expect("findings");
    for one in findings {
        let same = theirs.iter().filter(|their| rule(their) == rule(one));
        let worst = same.filter(|their| their["verdict"] == one["verdict"]);
        assert!(worst.count() > 0, "{one}");
    }
    let count = rules.len();
    rules.sort();
    rules.dedup();
    assert_eq!(rules.len(), count);
    let broken = theirs
        .iter()
        .filter(|one| one["verdict"] == "violates" && one["force"] == "required");
    for one in broken {
        let found = findings
            .iter()
            .find(|ours| ours["rule"] == one["rule"])
            .expect("told");
        assert_eq!(found["verdict"], "violates", "{one}");
    }
    let mend = told["survey"]["to_mend"].as_array().expect("places");
    assert_eq!(
        mend.len(),
        survey["defects"].as_array().expect("places").len()
    );
    assert!(!mend.is_empty());
}

#[actix_web::test]
async fn faults_of_the_job_stand_beside_those_of_the_rest() {
    let service = Launched::start().await;
    let mut bad = sent();
    bad["job"]["ramp"]["width"] = json!("5000 ft");
    bad["job"]["survey"]["stage"] = json!("base");
    bad["sawn_on"] = json!("2026-05-01");
    bad["buyer"]["name"] = json!("");
    let refused = problem(service.post("/v1/handovers").json(&bad), 422).await;
    let errors = refused["errors"].as_array().expect("faults");
    let pointers: Vec<&str> = errors
        .iter()
        .filter_map(|one| one["pointer"].as_str())
        .collect();
    for wanted in [
        "/buyer/name",
        "/sawn_on",
        "/job/survey/stage",
        "/job/ramp/width",
    ] {
        assert!(pointers.contains(&wanted), "{wanted} in {pointers:?}");
    }
    let refused = problem(service.post("/v1/handovers").json(&json!({"job": {}})), 422).await;
    assert!(
        refused["errors"].to_string().contains("/poured_on"),
        "{refused}"
    );
}

#[actix_web::test]
async fn a_priced_answer_goes_along_where_it_adds_up() {
    let service = Launched::start().await;
    let mut job = sent()["job"].clone();
    job.as_object_mut().expect("fields").remove("survey");
    let estimate = service.post("/v1/estimates").json(&job).send().await;
    let estimate: Value = estimate.expect("an answer").json().await.expect("JSON");
    let mut with = sent();
    with["estimate"] = estimate.clone();
    let told = hand_over(&service, &with).await;
    assert_eq!(told["estimate"]["fingerprint"], estimate["fingerprint"]);
    assert_eq!(told["estimate"]["total"], estimate["price"]["total"]);
    assert!(
        !told["cautions"].to_string().contains("priced answer"),
        "{told}"
    );
    with["estimate"]["name"] = json!("Another (invented)");
    let refused = problem(service.post("/v1/handovers").json(&with), 422).await;
    let errors = refused["errors"].to_string();
    assert!(errors.contains("/estimate/name"), "{errors}");
    assert!(errors.contains("Another (invented)"), "{errors}");
    with["estimate"]["price"]["lines"][0]["extended"] = json!("1.00");
    let refused = problem(service.post("/v1/handovers").json(&with), 422).await;
    let errors = refused["errors"].to_string();
    assert!(
        errors.contains("/estimate/price/lines/0/extended"),
        "{errors}"
    );
}

#[actix_web::test]
async fn a_ramp_that_was_not_measured_is_handed_over_as_such() {
    let service = Launched::start().await;
    let mut bare = sent();
    bare["job"]
        .as_object_mut()
        .expect("fields")
        .remove("survey");
    let told = hand_over(&service, &bare).await;
    assert_eq!(told["survey"], Value::Null);
    assert!(
        told["headline"]
            .as_str()
            .is_some_and(|text| text.contains("not measured"))
    );
    assert_eq!(told["kind"], "handover");
}

#[actix_web::test]
async fn the_example_is_handed_over() {
    let service = Launched::start().await;
    let example = include_str!("../../examples/handover.json");
    let told = hand_over(&service, &serde_json::from_str(example).expect("JSON")).await;
    assert_eq!(told["number"], "H-2026-07");
    assert_eq!(told["survey"]["verdict"], "does_not_comply");
    assert_eq!(told["sealer"]["age_days"], 29);
    assert_eq!(told["concrete"]["tickets"][0]["minutes"], 55);
}

#[actix_web::test]
async fn a_handover_prints_and_says_on_each_page_that_a_rule_is_broken() {
    let service = Launched::start().await;
    let ask = |format: &str| {
        let path = format!("/v1/handovers?format={format}");
        service.post(&path).json(&sent()).send()
    };
    let html = ask("html").await.expect("an answer");
    assert_eq!(html.headers()["content-type"], "text/html; charset=utf-8");
    let html = html.text().await.expect("text");
    assert!(
        html.contains("DOES NOT COMPLY AS MEASURED") && html.contains("To mend"),
        "{html}"
    );
    assert!(html.contains(">Measured</th>"), "{html}");
    let pdf = ask("pdf").await.expect("an answer");
    assert_eq!(pdf.headers()["content-type"], "application/pdf");
    assert!(pdf.bytes().await.expect("bytes").starts_with(b"%PDF-"));
    problem(service.post("/v1/handovers?format=csv").json(&sent()), 406).await;
}
