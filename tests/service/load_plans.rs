//! Shared loads, as whoever orders the concrete asks for them.

use crate::launched::{Launched, cents, problem};
use serde_json::{Value, json};

const EXAMPLE: &str = include_str!("../../examples/load-plan.json");

fn example() -> Value {
    serde_json::from_str(EXAMPLE).expect("JSON")
}

async fn plan(service: &Launched, body: &Value) -> Value {
    let sent = service.post("/v1/load-plan").json(body).send().await;
    let answer = sent.expect("an answer");
    assert_eq!(answer.status(), 200, "{body}");
    answer.json().await.expect("JSON")
}

#[actix_web::test]
async fn the_example_is_planned_and_its_amounts_add_up() {
    let service = Launched::start().await;
    let answer = plan(&service, &example()).await;
    assert_eq!(answer["proven"], true);
    assert_eq!(answer["bound"], answer["cost"]["total"]);
    assert_eq!(answer["gap"], json!({"value": 0, "unit": "%"}));
    let saved = cents(&answer["one_by_one"]["total"]) - cents(&answer["cost"]["total"]);
    assert_eq!(cents(&answer["saving"]), saved);
    assert!(saved > 0);
    let loads = answer["loads"].as_array().expect("loads");
    assert_eq!(answer["cost"]["loads"], loads.len());
    let sum: i64 = loads.iter().map(|load| cents(&load["total"])).sum();
    assert_eq!(sum, cents(&answer["cost"]["total"]));
    for load in loads.iter().chain([&answer["cost"], &answer["one_by_one"]]) {
        let charges = load["charges"].as_object().expect("charges").values();
        assert_eq!(
            charges.map(cents).sum::<i64>(),
            cents(&load["total"]),
            "{load}"
        );
    }
    assert_eq!(answer["books"][0]["demo"], true);
}

#[actix_web::test]
async fn a_stop_points_into_the_request_and_says_when_and_how_long_it_may_be_held() {
    let service = Launched::start().await;
    let sent = example();
    let answer = plan(&service, &sent).await;
    let mut served = 0.0;
    for load in answer["loads"].as_array().expect("loads") {
        for stop in load["stops"].as_array().expect("stops") {
            let pour = sent
                .pointer(stop["pour"].as_str().expect("a pointer"))
                .expect("a pour");
            assert_eq!(pour["name"], stop["name"]);
            assert!(
                load["says"]
                    .as_str()
                    .is_some_and(|says| says.contains(stop["name"].as_str().unwrap_or("?")))
            );
            assert_eq!(stop["slack"]["unit"], "min");
            assert!(
                stop["since_batching"]["value"]
                    .as_f64()
                    .is_some_and(|minutes| minutes <= 90.0)
            );
            served += stop["volume"]["value"].as_f64().expect("a volume");
        }
    }
    let asked = sent["pours"].as_array().expect("pours").iter();
    let asked: f64 = asked
        .map(|pour| {
            pour["volume"]
                .as_str()
                .expect("a volume")
                .trim_end_matches(" yd3")
                .parse::<f64>()
                .expect("a number")
        })
        .sum();
    assert!((served - asked).abs() < 0.01, "{served} of {asked}");
}

#[actix_web::test]
async fn a_default_is_listed_and_a_caution_given_and_nothing_is_said_to_be_accepted() {
    let service = Launched::start().await;
    let answer = plan(&service, &json!({"pours": example()["pours"]})).await;
    let assumed = answer["assumptions"].to_string();
    for pointer in [
        "/limit",
        "/loading",
        "/trucks",
        "/short_load",
        "/per_load",
        "/price",
        "/travel/to_area",
    ] {
        assert!(
            assumed.contains(&format!("\"{pointer}\"")),
            "{pointer}: {assumed}"
        );
    }
    assert!(
        assumed.contains("C94/C94M, Specification for Ready-Mixed Concrete (second hand)"),
        "{assumed}"
    );
    let cautions = answer["cautions"].to_string();
    for word in [
        "trucks, not people",
        "plant's decision",
        "hot weather",
        "refuse to add water",
    ] {
        assert!(cautions.contains(word), "{word}: {cautions}");
    }
    assert!(!answer.to_string().to_lowercase().contains("approv"));
}

#[actix_web::test]
async fn volumes_come_in_the_units_that_are_asked_for() {
    let service = Launched::start().await;
    let mut sent = example();
    sent["units"] = json!("metric");
    let answer = plan(&service, &sent).await;
    assert_eq!(answer["loads"][0]["order"]["unit"], "m3");
    assert!(
        answer["summary"]
            .as_str()
            .is_some_and(|says| says.contains("20 pours"))
    );
}

#[actix_web::test]
async fn every_fault_is_told_at_once_those_of_the_book_too() {
    let service = Launched::start().await;
    let mut sent = example();
    sent["trucks"] = json!(["0 yd3"]);
    sent["pours"][1]["name"] = sent["pours"][0]["name"].clone();
    sent["pours"][2]["arrive"]["to"] = json!("05:00");
    sent["travel"]["table"][0]["to"] = json!("Nowhere");
    sent["book"] = json!({"code": "no-such-book"});
    let told = problem(service.post("/v1/load-plan").json(&sent), 422).await;
    let errors = told["errors"].as_array().expect("errors");
    let mut places: Vec<&str> = errors
        .iter()
        .filter_map(|fault| fault["pointer"].as_str())
        .collect();
    places.sort_unstable();
    assert_eq!(
        places,
        [
            "/book/code",
            "/pours/1/name",
            "/pours/2/arrive/to",
            "/travel/table/0/to",
            "/trucks/0"
        ]
    );
}

#[actix_web::test]
async fn what_is_not_of_its_kind_is_refused_with_the_way_to_write_it() {
    let service = Launched::start().await;
    let mut sent = example();
    sent["pours"][0]["arrive"]["from"] = json!("7 o'clock");
    sent["pours"][1]["volume"] = json!(1.5);
    sent["pours"][2]["placing"] = json!("25");
    sent["pours"][3]["colour"] = json!("grey");
    let told = problem(service.post("/v1/load-plan").json(&sent), 422).await;
    let errors = told["errors"].as_array().expect("errors");
    let at = |pointer: &str| {
        let found = errors.iter().find(|fault| fault["pointer"] == pointer);
        found.unwrap_or_else(|| panic!("{pointer}: {errors:?}"))
    };
    assert_eq!(at("/pours/0/arrive/from")["example"], "07:30");
    at("/pours/1/volume");
    at("/pours/2/placing");
    at("/pours/3/colour");
}

#[actix_web::test]
async fn the_same_request_gets_the_same_bytes() {
    let service = Launched::start().await;
    let bytes = async || {
        let sent = service.post("/v1/load-plan").json(&example()).send().await;
        sent.expect("an answer").bytes().await.expect("bytes")
    };
    assert_eq!(bytes().await, bytes().await);
}
