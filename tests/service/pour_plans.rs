//! The pour plan, as a foreman's office asks for it.

use crate::launched::{Launched, cents, problem};
use serde_json::{Value, json};

const MILD: &str = include_str!("../../examples/pour-mild.json");
const FREEZING: &str = include_str!("../../examples/pour-near-freezing.json");

fn read(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

async fn plan(service: &Launched, body: &Value) -> Value {
    let sent = service.post("/v1/pour-plan").json(body).send().await;
    let answer = sent.expect("an answer");
    assert_eq!(answer.status(), 200, "{body}");
    answer.json().await.expect("JSON")
}

/// Where the errors of a problem point.
fn pointers(told: &Value) -> Vec<&str> {
    let errors = told["errors"].as_array().expect("errors").iter();
    errors
        .filter_map(|error| error["pointer"].as_str())
        .collect()
}

#[actix_web::test]
async fn a_plan_says_first_which_day_and_its_dollars_add_up() {
    let service = Launched::start().await;
    let answer = plan(&service, &read(FREEZING)).await;
    let plan = &answer["pour_plan"];
    let summary = plan["summary"].as_str().expect("a sentence");
    assert!(
        summary.starts_with("Pour on Tuesday 2026-11-10, first truck at"),
        "{summary}"
    );
    let day = &plan["days"][0];
    assert_eq!(day["verdict"], "go_with");
    let measures = day["with"].as_array().expect("measures");
    let parts = measures
        .iter()
        .flat_map(|one| [&one["bought"], &one["labour"]]);
    let parts: i64 = parts.filter(|amount| !amount.is_null()).map(cents).sum();
    assert_eq!(
        parts + cents(&day["cost"]["stay"]),
        cents(&day["cost"]["total"])
    );
    assert_eq!(day["cost"]["unpriced"], json!([]));
    assert!(cents(&day["lost_trip"]["crew"]) > 0 && cents(&day["lost_trip"]["concrete"]) > 0);
    for reason in day["reasons"].as_array().expect("reasons") {
        assert!(
            reason["source"]["document"]
                .as_str()
                .is_some_and(|text| !text.is_empty())
        );
    }
    let steps: Vec<&str> = day["steps"]
        .as_array()
        .expect("steps")
        .iter()
        .filter_map(|step| step["what"].as_str())
        .collect();
    let wanted = [
        "arrive",
        "truck",
        "struck_off",
        "edge",
        "broom",
        "cure",
        "gone",
    ];
    assert_eq!(steps, wanted);
}

#[actix_web::test]
async fn the_same_weather_gives_the_same_bytes_and_other_weather_another_fingerprint() {
    let service = Launched::start().await;
    let body = read(MILD);
    let text = async |body: &Value| {
        let sent = service.post("/v1/pour-plan").json(body).send().await;
        sent.expect("an answer").text().await.expect("text")
    };
    let (one, again) = (text(&body).await, text(&body).await);
    assert_eq!(one, again);
    let mut other = body.clone();
    other["pour"]["weather"][30]["air"] = json!("61 degF");
    let named = |text: &str| read(text)["fingerprint"].clone();
    assert_ne!(named(&one), named(&text(&other).await));
}

#[actix_web::test]
async fn the_section_changes_no_other_answer() {
    let service = Launched::start().await;
    let with = read(MILD);
    let mut without = with.clone();
    without.as_object_mut().expect("a job").remove("pour");
    for path in ["/v1/estimates", "/v1/crew-hours", "/v1/takeoff"] {
        let text = async |body: &Value| {
            let sent = service.post(path).json(body).send().await;
            sent.expect("an answer").text().await.expect("text")
        };
        assert_eq!(text(&with).await, text(&without).await, "{path}");
    }
}

#[actix_web::test]
async fn metric_answers_are_metric_and_by_their_own_form() {
    let service = Launched::start().await;
    let mut body = read(MILD);
    body["units"] = json!("metric");
    let answer = plan(&service, &body).await;
    let plan = &answer["pour_plan"];
    assert_eq!(
        plan["evaporation_limit"],
        json!({"value": 1, "unit": "kg/m2/h"})
    );
    let label = plan["evaporation_form"]["label"].as_str().expect("a label");
    assert!(label.contains("degC"), "{label}");
    let hour = &plan["days"][0]["hours"][2];
    for (field, unit) in [
        ("air", "degC"),
        ("wind", "km/h"),
        ("slab", "degC"),
        ("evaporation", "kg/m2/h"),
    ] {
        assert_eq!(hour[field]["unit"], unit, "{hour}");
    }
}

#[actix_web::test]
async fn bad_weather_is_one_problem_that_names_every_fault() {
    let service = Launched::start().await;
    let mut body = read(MILD);
    body["pour"]["weather"][4]["humidity"] = json!("140 %");
    body["pour"]["weather"][9]["at"] = json!("2026-05-18T07:00");
    body["crew"] = json!({"day": "-3 h"});
    let told = problem(service.post("/v1/pour-plan").json(&body), 422).await;
    let errors = told["errors"].as_array().expect("errors");
    let of = |pointer: &str| errors.iter().find(|error| error["pointer"] == pointer);
    let humid = of("/pour/weather/4/humidity").expect("a fault");
    assert_eq!(humid["found"], "140 %");
    assert_eq!(humid["accepted"], "0 % to 100 %");
    assert_eq!(humid["example"], "55 %");
    let back = of("/pour/weather/9/at").expect("a fault");
    assert!(
        back["accepted"]
            .as_str()
            .is_some_and(|text| text.contains("time goes on")),
        "{back}"
    );
    assert_eq!(back["example"], "2026-05-18T09:00");
    assert!(of("/crew/day").is_some(), "{told}");
}

#[actix_web::test]
async fn a_job_without_weather_is_told_what_to_send() {
    let service = Launched::start().await;
    let mut body = read(MILD);
    body["pour"] = json!({});
    let told = problem(service.post("/v1/pour-plan").json(&body), 422).await;
    assert_eq!(told["errors"][0]["pointer"], "/pour/weather");
    body.as_object_mut().expect("a job").remove("pour");
    let told = problem(service.post("/v1/pour-plan").json(&body), 422).await;
    assert_eq!(told["errors"][0]["pointer"], "/pour");
    body["pour"] = json!({"weather": [{"at": "2026-05-18T07:00Z", "air": 61, "humidity": "50 %", "wind": "6 mph"}]});
    let told = problem(service.post("/v1/pour-plan").json(&body), 422).await;
    let pointers = pointers(&told);
    assert_eq!(pointers, ["/pour/weather/0/at", "/pour/weather/0/air"]);
}

#[actix_web::test]
async fn the_best_day_is_drawn() {
    let service = Launched::start().await;
    let sent = service
        .post("/v1/pour-plan?format=svg")
        .json(&read(FREEZING));
    let answer = sent.send().await.expect("an answer");
    assert_eq!(answer.headers()["content-type"], "image/svg+xml");
    let picture = answer.text().await.expect("text");
    for told in [
        "Evaporation, Tue 2026-11-10",
        "limit 0.20, applies",
        "edge, broom",
    ] {
        assert!(picture.contains(told), "{told}");
    }
}

#[actix_web::test]
async fn a_forecast_that_nobody_has_set_is_told_beside_the_other_faults() {
    let service = Launched::start().await;
    let mut body = read(MILD);
    body["pour"] = json!({"forecast": "home"});
    body["crew"] = json!({"day": "-3 h"});
    let told = problem(service.post("/v1/pour-plan").json(&body), 422).await;
    let pointers = pointers(&told);
    assert!(
        pointers.contains(&"/pour/forecast") && pointers.contains(&"/crew/day"),
        "{told}"
    );
}
