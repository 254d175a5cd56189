//! Surveys, as whoever walked the level up sends them.

use crate::answered::{json_of, text_of};
use crate::launched::{Launched, problem};
use reqwest::header::CONTENT_TYPE;
use serde_json::{Value, json};

const EXAMPLE: &str = include_str!("../../examples/survey.json");

fn example() -> Value {
    serde_json::from_str(EXAMPLE).expect("JSON")
}

async fn survey(service: &Launched, section: Value) -> Value {
    let mut body = example();
    body["survey"] = section;
    json_of(service.post("/v1/ramps/survey").json(&body)).await
}

#[actix_web::test]
async fn a_poured_ramp_is_judged_reading_by_reading() {
    let service = Launched::start().await;
    let answer = json_of(service.post("/v1/ramps/survey").json(&example())).await;
    let survey = &answer["survey"];
    assert_eq!(survey["verdict"], "does_not_comply");
    let window = |index: usize| &survey["windows"][index];
    assert_eq!(window(0)["verdict"], "meets");
    // US DOJ, ADA Checklist for Polling Places: a gap of 2 in under a 24-in level means 1:12. Read.
    assert_eq!(window(3)["slope"]["ratio"], "1:12");
    assert_eq!(window(3)["verdict"], "undetermined");
    assert_eq!(window(4)["slope"], Value::Null);
    assert_eq!(window(6)["verdict"], "violates");
    assert_eq!(window(6)["in_field_tolerance"], false);
    assert_eq!(window(6)["limit"]["ratio"], "1:12");
    assert_eq!(
        survey["coverage"][1],
        json!({"piece": "/ramp/path/1", "measured": 9, "unmeasured": 1, "coarse": 0})
    );
    let defects = survey["defects"].as_array().expect("defects");
    assert_eq!(defects.len(), 1, "{defects:?}");
    assert_eq!(defects[0]["subject"], "/survey/walks/0/readings/6");
    assert_eq!(defects[0]["breaks_rule"], true);
    let assumed = answer["assumptions"].to_string();
    assert!(assumed.contains("/survey/uncertainty/level"), "{assumed}");
    let cautions = survey["cautions"].to_string();
    assert!(cautions.contains("official in charge"), "{cautions}");
    let fingers = survey["check"]["findings"].to_string();
    assert!(fingers.contains("lengths of the level were not measured"));
}

#[actix_web::test]
async fn readings_come_as_rows_in_the_units_of_the_job() {
    let service = Launched::start().await;
    for (units, heading) in [("us", "along_in"), ("metric", "along_mm")] {
        let mut body = example();
        body["units"] = json!(units);
        let request = service.post("/v1/ramps/survey?format=csv").json(&body);
        let text = request.send().await.expect("an answer").text().await;
        let text = text.expect("text");
        let mut rows = csv::Reader::from_reader(text.as_bytes());
        let headings = rows.headers().expect("a heading").clone();
        let column = |name: &str| headings.iter().position(|h| h == name).expect("a column");
        let (verdict, along) = (column("verdict"), column(heading));
        let rows: Vec<csv::StringRecord> = rows.records().map(|row| row.expect("a row")).collect();
        assert_eq!(rows.len(), 20);
        assert_eq!(&rows[4][verdict], "not_measured");
        assert_eq!(&rows[6][verdict], "violates");
        let level = if units == "us" { "24" } else { "600" };
        assert_eq!(&rows[1][along], level);
    }
}

#[actix_web::test]
async fn a_low_stake_is_told_with_the_order() {
    let service = Launched::start().await;
    let mut shots = Vec::new();
    for along in [0, 60, 120, 180, 240] {
        for (side, fall) in [("left", 0.45), ("right", -0.45)] {
            let low = if along == 120 && side == "left" {
                0.375
            } else {
                0.0
            };
            let elevation = format!("{} in", f64::from(along) / 12.0 + fall - low + 100.0);
            shots.push(json!({"piece": 1, "along": format!("{along} in"), "side": side, "elevation": elevation}));
        }
    }
    let answer = survey(&service, json!({"stage": "forms", "shots": shots})).await;
    let survey = &answer["survey"];
    let stakes = survey["stakes"].as_array().expect("stakes");
    let off: Vec<&Value> = stakes.iter().filter(|stake| stake["off"] == true).collect();
    assert_eq!(off.len(), 1);
    assert_eq!(
        (&off[0]["action"], &off[0]["by"]),
        (&json!("raise"), &json!("3/8 in"))
    );
    assert_eq!(survey["offset"], json!({"value": -8.333, "unit": "ft"}));
    // 3/8 in over half of 10 ft and half of 5 ft: 0.391 ft3.
    assert_eq!(
        survey["order"]["more"],
        json!({"value": -0.014, "unit": "yd3"})
    );
}

#[actix_web::test]
async fn every_fault_of_a_survey_is_named_at_its_place() {
    let service = Launched::start().await;
    let shot = json!({"piece": 1, "along": "4 ft", "elevation": "4 in"});
    let mut body = example();
    body["site"] = json!({"rule_sets": ["nowhere-1999"]});
    let refused = problem(service.post("/v1/ramps/survey").json(&body), 422).await;
    assert_eq!(refused["errors"][0]["pointer"], "/site/rule_sets/0");
    body["survey"] = json!({"stage": "poured", "shots": [shot, shot, shot,
        {"piece": 7, "along": "4 ft", "elevation": "4 in"},
        {"piece": 1, "along": "44 ft", "elevation": "4 in"},
        {"piece": 1, "along": "5 ft"},
        {"piece": 1, "along": "6 ft", "rod": "4 ft"}],
        "walks": [{"piece": 1, "readings": ["8 %", "120 %", "30 in"]},
            {"piece": 9, "readings": ["8 %"]}]});
    for path in ["/v1/ramps/survey", "/v1/takeoff"] {
        let refused = problem(service.post(path).json(&body), 422).await;
        let errors = refused["errors"].as_array().expect("errors");
        let pointers: Vec<&str> = errors
            .iter()
            .filter_map(|e| e["pointer"].as_str())
            .collect();
        let expected = [
            "/survey/shots/2",
            "/survey/shots/3/piece",
            "/survey/shots/4/along",
            "/survey/shots/5",
            "/survey/shots/6/rod",
            "/survey/walks/0/readings/1",
            "/survey/walks/0/readings/2",
            "/survey/walks/1/piece",
            "/site/rule_sets/0",
        ];
        assert_eq!(pointers, expected, "{path}");
    }
    body["survey"] = json!({"stage": "poured", "shots": [{"piece": 1, "elevation": "4 in"}],
        "walks": [{"piece": 1, "readings": [8.2]}]});
    let refused = problem(service.post("/v1/ramps/survey").json(&body), 422).await;
    let told = refused["errors"].to_string();
    assert!(told.contains("/survey/shots/0/along"), "{told}");
    assert!(
        told.contains("/survey/walks/0/readings/0") && told.contains("8.2 %"),
        "{told}"
    );
    body = example();
    body.as_object_mut().expect("an object").remove("survey");
    let refused = problem(service.post("/v1/ramps/survey").json(&body), 422).await;
    assert_eq!(refused["errors"][0]["pointer"], "/survey");
}

#[actix_web::test]
async fn a_survey_changes_no_other_answer() {
    let service = Launched::start().await;
    let with = example();
    let mut without = example();
    without.as_object_mut().expect("an object").remove("survey");
    for path in ["/v1/estimates", "/v1/ramps/check", "/v1/takeoff?job=true"] {
        let bytes = |body: &Value| {
            let request = service.post(path).header(CONTENT_TYPE, "application/json");
            let request = request.body(body.to_string());
            async { text_of(request).await }
        };
        assert_eq!(bytes(&with).await, bytes(&without).await, "{path}");
    }
}
