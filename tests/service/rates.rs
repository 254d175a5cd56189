//! Rates as data: what each task takes, what bends it, and an office's own in place.

use crate::answered::json_of;
use crate::launched::{Launched, problem};
use serde_json::{Value, json};

fn find<'a>(rows: &'a Value, code: &str) -> &'a Value {
    let mut rows = rows.as_array().expect("rows").iter();
    rows.find(|row| row["code"] == code).expect("a row")
}

/// Puts a timed rate of the office into the demo book: 0.54 minutes, 0.009 h, for each square foot.
async fn time_strike_off(service: &Launched) {
    let request = service
        .post("/v1/price-books/demo/import?table=rates")
        .header("Content-Type", "text/csv")
        .header("If-Match", "\"1\"")
        .header("Idempotency-Key", "rates-1")
        .body("task,setup_min,low_min,likely_min,high_min\nstrike-off,6,0.4,0.54,0.9\n");
    let answer = request.send().await.expect("an answer");
    assert_eq!(answer.status(), 200, "{:?}", answer.text().await);
}

#[actix_web::test]
async fn every_row_is_told_with_its_source() {
    let service = Launched::start().await;
    let rates = json_of(service.get("/v1/rates")).await;
    let rows = |name: &str| rates[name].as_array().expect("rows").clone();
    assert!(rows("tasks").len() > 50 && rows("modifiers").len() > 10 && rows("figures").len() > 10);
    for name in ["tasks", "modifiers", "figures"] {
        for row in rows(name) {
            assert!(row["source"]["document"].is_string(), "{row}");
        }
    }
    let barrow = find(&rates["tasks"], "place-barrow");
    assert_eq!(
        barrow["rate"],
        json!({"low": 0.8, "likely": 1.1, "high": 1.6, "unit": "h/yd3"})
    );
    assert_eq!(barrow["phase"], "pour");
    let bends = barrow["modifiers"].as_array().expect("codes");
    assert!(bends.contains(&json!("far-barrow")) && !bends.contains(&json!("far-buggy")));
    let far = find(&rates["modifiers"], "far-barrow");
    assert!(
        far["when"]
            .as_str()
            .is_some_and(|when| when.contains("75 ft"))
    );
    assert_eq!(
        find(&rates["modifiers"], "sloped")["float_of"],
        json!(["finish"])
    );
    assert_eq!(
        find(&rates["figures"], "float_share")["likely"],
        json!({"value": 0.5, "unit": "1"})
    );
    assert_eq!(rates["week"]["not_worked"], json!(["Sat", "Sun"]));
    assert!(
        rates.get("book").is_none() && find(&rates["tasks"], "strike-off").get("own").is_none()
    );
}

/// 1.1 h/yd3 over 0.764555 m3 is 1.43875 h/m3; 50 degF are 10 degC; 350 ft2 are 32.52 m2.
#[actix_web::test]
async fn metric_units_are_told_where_they_are_asked_for() {
    let service = Launched::start().await;
    let rates = json_of(service.get("/v1/rates?units=metric")).await;
    let barrow = find(&rates["tasks"], "place-barrow");
    assert_eq!(barrow["rate"]["likely"], json!(1.43875));
    assert_eq!(barrow["rate"]["unit"], "h/m3");
    let cool = find(&rates["modifiers"], "cool")["when"].clone();
    assert!(
        cool.as_str().is_some_and(|when| when.contains("10 degC")),
        "{cool}"
    );
    let area = &find(&rates["figures"], "finisher_area")["likely"];
    assert_eq!(area, &json!({"value": 32.52, "unit": "m2"}));
}

#[actix_web::test]
async fn the_office_s_own_rates_stand_in_place_from_their_revision_on() {
    let service = Launched::start().await;
    time_strike_off(&service).await;
    let built_in = json_of(service.get("/v1/rates")).await;
    assert_eq!(
        find(&built_in["tasks"], "strike-off")["rate"]["likely"],
        json!(0.01)
    );
    let own = json_of(service.get("/v1/rates?book=demo")).await;
    assert_eq!(own["book"], json!({"code": "demo", "revision": 2}));
    let row = find(&own["tasks"], "strike-off");
    assert_eq!(
        (&row["rate"]["likely"], &row["own"]),
        (&json!(0.009), &json!(true))
    );
    assert_eq!(row["setup"], json!({"value": 0.1, "unit": "h"}));
    assert!(find(&own["tasks"], "finish").get("own").is_none());
    let before = json_of(service.get("/v1/rates?book=demo&revision=1")).await;
    assert!(find(&before["tasks"], "strike-off").get("own").is_none());
}

/// An own rate is bent as the built-in one is, and the task says whose it is and what bent it.
#[actix_web::test]
async fn a_task_says_whose_rate_it_is_and_what_bent_it() {
    let service = Launched::start().await;
    time_strike_off(&service).await;
    let job = json!({"site": {"air": "45 degF"}, "ramp": {"path": [
        {"kind": "landing"}, {"kind": "run", "rise": "10 in", "length": "15 ft"}, {"kind": "landing"}
    ]}});
    let answer = service.post("/v1/crew-hours").json(&job).send().await;
    let answer: Value = answer.expect("an answer").json().await.expect("JSON");
    let tasks = &answer["crew_hours"]["tasks"];
    let strike = find(tasks, "strike-off");
    assert_eq!(
        (&strike["own"], &strike["rate"]["likely"]),
        (&json!(true), &json!(0.009))
    );
    let cool = find(&strike["modifiers"], "cool");
    assert_eq!((&cool["factor"], cool.get("share")), (&json!(1.1), None));
    assert_eq!(cool["source"]["verified"], "practice");
    let sloped = find(&strike["modifiers"], "sloped");
    let share = sloped["share"].as_f64().expect("a share");
    let factor = strike["factor"].as_f64().expect("a factor");
    assert!(
        (factor - 1.1 * (1.0 + share * 0.2)).abs() < 1e-3,
        "{strike}"
    );
    let unbent = find(tasks, "material-pickup");
    assert!(unbent.get("modifiers").is_none() && unbent.get("own").is_none());
}

#[actix_web::test]
async fn what_cannot_be_read_is_refused() {
    let service = Launched::start().await;
    for (path, status) in [
        ("/v1/rates?units=furlongs", 400),
        ("/v1/rates?colour=red", 400),
        ("/v1/rates?revision=1", 400),
        ("/v1/rates?book=nowhere", 404),
        ("/v1/rates?book=demo&revision=99", 404),
        ("/v1/rates?format=pdf", 406),
    ] {
        problem(service.get(path), status).await;
    }
}

/// Every new fact of a job is held to its bounds, all of them at once.
#[actix_web::test]
async fn facts_that_no_site_has_are_one_problem() {
    let service = Launched::start().await;
    let job = json!({"site": {"air": "-60 degF", "truck_to_pour": "9000 ft"},
        "forms": {"curved": "-1 ft"}, "ramp": {"path": [{"kind": "landing"}]}});
    let problem = problem(service.post("/v1/crew-hours").json(&job), 422).await;
    for pointer in ["/site/air", "/forms/curved", "/site/truck_to_pour"] {
        let faults = problem["errors"].as_array().expect("errors");
        let fault = faults.iter().find(|fault| fault["pointer"] == pointer);
        let fault = fault.unwrap_or_else(|| panic!("{pointer} in {problem}"));
        assert!(fault["example"].is_string(), "{fault}");
    }
    for (section, field, value) in [
        ("site", "access", json!("narrow")),
        ("site", "occupied", json!("yes")),
        ("site", "air", json!(50)),
        ("crew", "first_of_its_kind", json!(1)),
    ] {
        let mut job = json!({"ramp": {"path": [{"kind": "landing"}]}});
        job[section][field] = value;
        let sent = service.post("/v1/crew-hours").json(&job);
        let problem = crate::launched::problem(sent, 422).await;
        assert_eq!(
            problem["errors"][0]["pointer"],
            format!("/{section}/{field}")
        );
    }
}
