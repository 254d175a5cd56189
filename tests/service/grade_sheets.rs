//! Grade sheets, as the person with the laser asks for them.

use crate::answered::{json_of, text_of};
use crate::launched::{Launched, problem};
use serde_json::{Value, json};

fn job(section: Value) -> Value {
    json!({"grade_sheet": section, "ramp": {"width": "60 in", "curb": "none", "path": [
        {"kind": "landing"}, {"kind": "run", "rise": "28 in", "length": "28 ft"}, {"kind": "landing"}
    ]}})
}

async fn sheet(service: &Launched, section: Value) -> Value {
    let request = service.post("/v1/ramps/grade-sheet").json(&job(section));
    json_of(request).await
}

#[actix_web::test]
async fn grades_and_rod_readings_come_in_feet_and_on_the_tape() {
    let service = Launched::start().await;
    let section = json!({"step": "6 ft", "benchmark": {"rod": "5 ft"}});
    let answer = sheet(&service, section).await;
    assert_eq!(answer["line_of_sight"], json!({"value": 5, "unit": "ft"}));
    let station = &answer["pieces"][1]["stations"][2];
    assert_eq!(station["along_tape"], "6 ft");
    let centre = &station["centre"]["finish"];
    assert_eq!(centre["elevation"], json!({"value": 0.5, "unit": "ft"}));
    assert_eq!(centre["elevation_tape"], "6 in");
    assert_eq!(centre["rod_tape"], "4 ft 6 in");
    assert_eq!(station["falls_to"], "right");
    let listed = answer["assumptions"].as_array().expect("assumptions");
    let of_section = listed.iter().filter(|a| {
        let pointer = a["pointer"].as_str().unwrap_or_default();
        pointer.starts_with("/grade_sheet/")
    });
    assert_eq!(of_section.count(), 3);
}

#[actix_web::test]
async fn a_metric_sheet_reads_in_metres_and_millimetres() {
    let service = Launched::start().await;
    let body = json!({"units": "metric", "grade_sheet": {"benchmark": {"rod": "1500 mm"}}, "ramp": {"path": [
        {"kind": "landing"}, {"kind": "run", "rise": "700 mm", "length": "8.4 m"}, {"kind": "landing"}
    ]}});
    let request = service.post("/v1/ramps/grade-sheet?format=csv").json(&body);
    let text = text_of(request).await;
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let heading = rows.headers().expect("a heading").clone();
    let column = |name: &str| heading.iter().position(|h| h == name).expect("a column");
    let (along, finish, rod) = (column("along"), column("finish_m"), column("finish_rod"));
    let rows: Vec<csv::StringRecord> = rows.records().map(|row| row.expect("a row")).collect();
    let row = rows
        .iter()
        .find(|row| &row[0] == "1" && &row[along] == "1500 mm" && &row[7] == "centre");
    let row = row.expect("the first step");
    assert_eq!((&row[finish], &row[rod]), ("0.125", "1375 mm"));
}

#[actix_web::test]
async fn a_step_too_short_for_a_long_path_is_refused() {
    let service = Launched::start().await;
    let pieces: Vec<Value> = (0..99)
        .flat_map(|_| {
            [
                json!({"kind": "landing"}),
                json!({"kind": "run", "rise": "20 in", "length": "29 ft"}),
            ]
        })
        .chain([json!({"kind": "landing"})])
        .collect();
    let body = json!({"grade_sheet": {"step": "6 in"}, "ramp": {"path": pieces}});
    let refused = problem(service.post("/v1/ramps/grade-sheet").json(&body), 422).await;
    assert_eq!(refused["errors"][0]["pointer"], "/grade_sheet/step");
    let misspelt = job(json!({"steps": "6 ft", "benchmark": {}}));
    let refused = problem(service.post("/v1/ramps/grade-sheet").json(&misspelt), 422).await;
    let places: Vec<&str> = refused["errors"]
        .as_array()
        .expect("errors")
        .iter()
        .filter_map(|error| error["pointer"].as_str())
        .collect();
    assert_eq!(places, ["/grade_sheet/steps", "/grade_sheet/benchmark/rod"]);
}

#[actix_web::test]
async fn asking_for_a_sheet_changes_no_other_answer() {
    let service = Launched::start().await;
    let fingerprint = async |body: Value| {
        let answer = json_of(service.post("/v1/estimates").json(&body)).await;
        answer["headline"]["validity"]["fingerprint"].clone()
    };
    let mut plain = job(json!({}));
    plain
        .as_object_mut()
        .expect("an object")
        .remove("grade_sheet");
    let with = fingerprint(job(json!({"step": "3 ft"}))).await;
    assert!(with.is_string());
    assert_eq!(with, fingerprint(plain).await);
}
