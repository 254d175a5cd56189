//! The computing calls: one answer each, formats, units, and that nothing is written.

use crate::answered::json_of;
use crate::launched::{Launched, problem};
use reqwest::header::{ACCEPT, CONTENT_TYPE, VARY};
use serde_json::{Value, json};

pub(crate) const STRAIGHT: &str = include_str!("../../examples/straight.json");

async fn post(service: &Launched, path: &str, body: &str) -> Value {
    let request = service
        .post(path)
        .header(CONTENT_TYPE, "application/json")
        .body(body.to_owned());
    json_of(request).await
}

fn ramp(run: &Value) -> String {
    json!({"ramp": {"path": [{"kind": "landing"}, run, {"kind": "landing"}]}}).to_string()
}

fn finding<'a>(answer: &'a Value, rule: &str) -> &'a Value {
    let findings = answer["check"]["findings"].as_array().expect("findings");
    findings
        .iter()
        .find(|finding| finding["rule"] == rule)
        .expect("the rule was looked at")
}

/// A trade fact, common practice, no source: 28 in over 28 ft is exactly 1:12 on plan, steeper when
/// the 28 ft lie along the surface (8.362 %), where 337.165 in would meet it.
#[actix_web::test]
async fn twenty_eight_inches_over_twenty_eight_feet_is_at_the_limit_on_plan_and_over_it_on_the_surface()
 {
    let service = Launched::start().await;
    let plan = json!({"kind": "run", "rise": "28 in", "length": "28 ft"});
    let answer = post(&service, "/v1/ramps/check", &ramp(&plan)).await;
    assert_eq!(finding(&answer, "ada-2010/405.2")["verdict"], "at_limit");
    let mut surface = plan;
    surface["measured"] = json!("surface");
    let answer = post(&service, "/v1/ramps/check", &ramp(&surface)).await;
    let found = finding(&answer, "ada-2010/405.2");
    assert_eq!(found["verdict"], "violates");
    assert_eq!(found["measured"]["value"], 8.362);
    let remedy = found["remedy"].as_str().expect("a remedy");
    assert!(
        remedy.contains("1 3/16 in") && remedy.contains("28 ft"),
        "{remedy}"
    );
    assert_eq!(answer["check"]["verdict"], "does_not_comply");
}

#[actix_web::test]
async fn an_estimate_begins_with_the_ten_things_to_read_in_their_order() {
    let service = Launched::start().await;
    let answer = post(&service, "/v1/estimates?working=true&job=true", STRAIGHT).await;
    let keys: Vec<&String> = answer["headline"]
        .as_object()
        .expect("a headline")
        .keys()
        .collect();
    let expected = [
        "verdict",
        "price",
        "price_range",
        "price_per_area",
        "concrete_order",
        "paid_hours",
        "visits",
        "direct_cost",
        "overhead_and_profit",
        "unknowns",
        "validity",
    ];
    assert_eq!(keys, expected);
    assert_eq!(
        answer
            .as_object()
            .and_then(|all| all.keys().next())
            .expect("keys"),
        "headline"
    );
    assert_eq!(answer["headline"]["price_range"], Value::Null);
    assert_eq!(answer["complete"], true);
    assert!(
        answer["takeoff"]["lines"][0]["working"]
            .as_str()
            .is_some_and(|text| text.contains("yd3"))
    );
    assert_eq!(answer["job"]["slab"]["thickness"], "5 in");
    let cautions = answer["cautions"].to_string();
    assert!(
        cautions.contains("invented demo book"),
        "the demo book says what it is"
    );
}

#[actix_web::test]
async fn the_parts_agree_with_the_whole() {
    let service = Launched::start().await;
    let whole = post(&service, "/v1/estimates", STRAIGHT).await;
    let takeoff = post(&service, "/v1/takeoff", STRAIGHT).await;
    let hours = post(&service, "/v1/crew-hours", STRAIGHT).await;
    let check = post(&service, "/v1/ramps/check", STRAIGHT).await;
    assert_eq!(whole["takeoff"], takeoff["takeoff"]);
    assert_eq!(whole["crew_hours"], hours["crew_hours"]);
    assert_eq!(whole["check"], check["check"]);
    assert_eq!(whole["geometry"], check["geometry"]);
}

#[actix_web::test]
async fn equal_requests_get_equal_bytes_and_one_fingerprint() {
    let service = Launched::start().await;
    let ask = || async {
        let request = service
            .post("/v1/estimates")
            .header(CONTENT_TYPE, "application/json");
        let answer = request
            .body(STRAIGHT)
            .send()
            .await
            .expect("an answer comes");
        answer.bytes().await.expect("a body")
    };
    let (first, second) = (ask().await, ask().await);
    assert_eq!(first, second);
}

#[actix_web::test]
async fn an_expanded_job_sent_again_costs_the_same() {
    let service = Launched::start().await;
    let once = post(&service, "/v1/estimates?job=true", STRAIGHT).await;
    let again = post(&service, "/v1/estimates", &once["job"].to_string()).await;
    assert_eq!(once["price"]["total"], again["price"]["total"]);
}

#[actix_web::test]
async fn metric_jobs_are_answered_in_metric_units() {
    let service = Launched::start().await;
    let body = json!({"units": "metric", "ramp": {"width": "1500 mm", "path": [
        {"kind": "landing"}, {"kind": "run", "rise": "600 mm", "length": "8 m"}, {"kind": "landing"}
    ]}});
    let answer = post(&service, "/v1/estimates", &body.to_string()).await;
    assert_eq!(answer["geometry"]["surface_area"]["unit"], "m2");
    assert_eq!(answer["headline"]["concrete_order"]["net"]["unit"], "m3");
    assert_eq!(
        answer["geometry"]["total_rise"],
        json!({"value": 600, "unit": "mm"})
    );
    assert_eq!(answer["complete"], true);
}

#[actix_web::test]
async fn lines_come_as_csv_when_asked_for_by_parameter_or_by_accept() {
    let service = Launched::start().await;
    for (path, columns) in [
        (
            "/v1/estimates",
            "code,description,class,order,quantity,unit",
        ),
        ("/v1/takeoff", "code,description,class,by,quantity,unit"),
        ("/v1/crew-hours", "visit,code,description,setup_h"),
    ] {
        for (query, accept) in [
            ("?format=csv", "application/json"),
            ("", "text/csv, */*;q=0.1"),
        ] {
            let request = service
                .post(&format!("{path}{query}"))
                .header(CONTENT_TYPE, "application/json")
                .header(ACCEPT, accept);
            let answer = request
                .body(STRAIGHT)
                .send()
                .await
                .expect("an answer comes");
            assert_eq!(answer.status(), 200, "{path}");
            assert!(
                answer.headers()[CONTENT_TYPE]
                    .to_str()
                    .expect("text")
                    .starts_with("text/csv")
            );
            assert!(
                answer
                    .headers()
                    .get_all(VARY)
                    .iter()
                    .any(|vary| vary == "Accept")
            );
            let text = answer.text().await.expect("a body");
            assert!(text.starts_with(columns), "{path}: {}", &text[..80]);
            assert!(text.lines().count() > 10 && text.contains("\r\n"));
        }
    }
    let request = service
        .post("/v1/estimates?format=docx")
        .header(CONTENT_TYPE, "application/json");
    problem(request.body(STRAIGHT), 406).await;
}

#[actix_web::test]
async fn an_item_without_a_price_leaves_the_estimate_open() {
    let service = Launched::start().await;
    let mut body: Value = serde_json::from_str(STRAIGHT).expect("JSON");
    body["scope"] = json!("prime");
    let answer = post(&service, "/v1/estimates", &body.to_string()).await;
    assert_eq!(answer["complete"], false);
    assert_eq!(answer["price"]["total"], Value::Null);
    assert!(answer["price"]["priced_so_far"].is_string());
    assert!(
        !answer["price"]["unpriced"]
            .as_array()
            .expect("a list")
            .is_empty()
    );
}

#[actix_web::test]
async fn computing_writes_nothing() {
    let service = Launched::start().await;
    let revisions = || async {
        let answer = service
            .get("/v1/price-books/demo/revisions")
            .send()
            .await
            .expect("an answer");
        answer.text().await.expect("a body")
    };
    let before = revisions().await;
    post(&service, "/v1/estimates", STRAIGHT).await;
    assert_eq!(before, revisions().await);
}
