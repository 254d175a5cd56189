//! Drawings and the foreman sheet, as they are asked for.

use crate::launched::{Launched, problem, typed};
use serde_json::{Value, json};

const SWITCHBACK: &str = include_str!("../../examples/switchback.json");

fn job() -> Value {
    serde_json::from_str(SWITCHBACK).expect("an example")
}

#[actix_web::test]
async fn every_view_comes_as_svg_and_all_of_them_as_one_pdf() {
    let service = Launched::start().await;
    for view in ["plan", "elevation", "section", "joints", "bars"] {
        let (kind, svg) = typed(&service, &format!("/v1/drawings?view={view}"), &job()).await;
        assert_eq!(kind, "image/svg+xml");
        let svg = String::from_utf8(svg).expect("UTF-8");
        assert!(
            svg.starts_with("<?xml") && svg.contains("Larkfield meeting hall"),
            "{view}"
        );
        assert!(svg.contains("width=\"279.4mm\""));
    }
    let (_, a4) = typed(&service, "/v1/drawings?paper=a4", &job()).await;
    assert!(String::from_utf8_lossy(&a4).contains("width=\"297mm\""));
    let request = service
        .post("/v1/drawings")
        .header("Accept", "application/pdf")
        .json(&job());
    let pdf = request
        .send()
        .await
        .expect("an answer")
        .bytes()
        .await
        .expect("a body");
    assert!(pdf.starts_with(b"%PDF-"));
    let (_, again) = typed(&service, "/v1/drawings?format=pdf", &job()).await;
    assert!(again == pdf, "the same job gives the same bytes");
}

#[actix_web::test]
async fn a_foreman_sheet_comes_as_a_page_for_the_browser_and_as_pdf() {
    let service = Launched::start().await;
    let (kind, html) = typed(&service, "/v1/foreman-sheet", &job()).await;
    assert_eq!(kind, "text/html; charset=utf-8");
    let html = String::from_utf8(html).expect("UTF-8");
    for part in [
        "Who does what",
        "Hold points",
        "Grades",
        "Cautions",
        "<svg",
        "24-in level",
    ] {
        assert!(html.contains(part), "{part}");
    }
    let (kind, pdf) = typed(&service, "/v1/foreman-sheet?format=pdf&paper=a4", &job()).await;
    assert_eq!(kind, "application/pdf");
    assert!(String::from_utf8_lossy(&pdf).contains("/Count 1"));
}

#[actix_web::test]
async fn a_path_that_turns_into_itself_is_refused_where_it_does() {
    let service = Launched::start().await;
    let piece = |turn: &str| json!({"kind": "landing", "length": "60 in", "turn": turn});
    let run = json!({"kind": "run", "rise": "6 in", "length": "8 ft"});
    let path = json!([
        piece("straight"),
        run,
        piece("left"),
        run,
        piece("left"),
        run,
        piece("left"),
        run,
        piece("straight")
    ]);
    let body = json!({"ramp": {"width": "60 in", "curb": "none", "path": path}});
    for call in ["/v1/drawings", "/v1/foreman-sheet", "/v1/ramps/grade-sheet"] {
        let refused = problem(service.post(call).json(&body), 422).await;
        assert_eq!(refused["errors"][0]["pointer"], "/ramp/path/8", "{call}");
        let found = refused["errors"][0]["found"].as_str().unwrap_or_default();
        assert!(found.contains("/ramp/path/0"), "{found}");
    }
}

#[actix_web::test]
async fn a_survey_is_drawn_with_its_limits_and_added_to_the_pdf() {
    let service = Launched::start().await;
    let example = include_str!("../../examples/survey.json");
    let surveyed: Value = serde_json::from_str(example).expect("an example");
    let (_, svg) = typed(&service, "/v1/drawings?view=survey", &surveyed).await;
    let svg = String::from_utf8(svg).expect("UTF-8");
    // The steep window, the one that its reading leaves open, the one not read, and both limits.
    for part in [
        ">9.1 %<",
        ">8.3 %<",
        ">?<",
        ">ada-2010 8.33 %<",
        ">ada-2010 2.08 %<",
    ] {
        assert!(svg.contains(part), "{part}");
    }
    assert_eq!(
        svg.matches("fill=\"#000000\" stroke").count(),
        1 + 2,
        "one bar, and the scale bar's two"
    );
    let (_, pdf) = typed(&service, "/v1/drawings?format=pdf", &surveyed).await;
    assert!(String::from_utf8_lossy(&pdf).contains("/Count 6"));
    problem(service.post("/v1/drawings?view=survey").json(&job()), 404).await;
}

#[actix_web::test]
async fn a_grade_sheet_comes_as_a_sheet_to_print() {
    let service = Launched::start().await;
    let mut body = job();
    body["grade_sheet"] = json!({"benchmark": {"rod": "5 ft"}});
    let (kind, svg) = typed(&service, "/v1/ramps/grade-sheet?format=svg", &body).await;
    assert_eq!(kind, "image/svg+xml");
    let svg = String::from_utf8(svg).expect("UTF-8");
    for part in [
        ">rod middle<",
        ">5 ft<",
        ">crease<",
        "twists to meet its landings",
    ] {
        assert!(svg.contains(part), "{part}");
    }
}

#[actix_web::test]
async fn what_is_not_offered_is_refused() {
    let service = Launched::start().await;
    problem(service.post("/v1/drawings?format=dxf").json(&job()), 406).await;
    problem(service.post("/v1/drawings?view=roof").json(&job()), 400).await;
    problem(
        service.post("/v1/foreman-sheet?format=json").json(&job()),
        406,
    )
    .await;
    let existing = json!({"ramp": {"path": [
        {"kind": "landing", "work": "existing"},
        {"kind": "run", "work": "existing", "rise": "6 in", "length": "8 ft"},
        {"kind": "landing", "work": "existing"}
    ]}});
    problem(
        service.post("/v1/drawings?view=section").json(&existing),
        404,
    )
    .await;
    let (_, plan) = typed(&service, "/v1/drawings", &existing).await;
    assert!(String::from_utf8_lossy(&plan).contains("run 1, existing"));
}

#[actix_web::test]
async fn the_days_of_a_job_come_as_a_picture() {
    let service = Launched::start().await;
    let (kind, svg) = typed(&service, "/v1/crew-hours?format=svg", &job()).await;
    assert_eq!(kind, "image/svg+xml");
    let svg = String::from_utf8(svg).expect("UTF-8");
    assert!(svg.starts_with("<?xml") && svg.contains("Larkfield meeting hall"));
    assert!(svg.contains(">Day plan, ") && svg.contains("entrance closed"));
    let asked = service.post("/v1/crew-hours").json(&job());
    let answer = asked.header("Accept", "image/svg+xml").send().await;
    assert_eq!(answer.expect("an answer").text().await.expect("text"), svg);
    let there = json!({"ramp": {"path": [
        {"kind": "landing", "work": "existing", "length": "5 ft", "width": "5 ft"},
        {"kind": "run", "work": "existing", "rise": "28 in", "length": "28 ft"},
        {"kind": "landing", "work": "existing", "length": "5 ft"},
    ]}});
    let asked = service.post("/v1/crew-hours?format=svg").json(&there);
    problem(asked, 404).await;
}
