//! Many figures for a row: JSON, CSV and XML, what stands in them, and refusals in their place.

use crate::answered::{json_of, text_of};
use crate::cells::{JOB, get, header};
use crate::launched::{Launched, problem};
use reqwest::header::{ACCEPT, CACHE_CONTROL, CONTENT_TYPE, ETAG};
use serde_json::Value;

/// The cells of one CSV line without quotes in it.
fn cells(line: &str) -> Vec<&str> {
    line.split(',').collect()
}

#[actix_web::test]
async fn a_row_as_json_holds_the_line_its_figures_and_what_was_assumed() {
    let service = Launched::start().await;
    let answer = get(&service, &format!("/v1/row?{JOB}&Job=East%20side")).await;
    assert_eq!(header(&answer, CONTENT_TYPE), "application/json");
    assert!(header(&answer, ETAG).ends_with("-json\""));
    let row: Value = answer.json().await.expect("JSON");
    let members: Vec<&String> = row.as_object().expect("an object").keys().collect();
    assert_eq!(
        members,
        ["input", "figures", "not_known", "assumptions", "job"]
    );
    assert_eq!(row["input"]["rise_in"], "28");
    assert_eq!(row["input"]["Job"], "East side");
    assert_eq!(row["figures"]["slope"], 8.333);
    assert!(row["figures"]["total"].is_string());
    assert!(row["figures"]["valid_until"].is_null());
    assert_eq!(row["not_known"][0]["figure"], "valid_until");
    assert_eq!(row["not_known"][0]["kind"], "undetermined");
    assert!(
        row["assumptions"]
            .as_array()
            .is_some_and(|list| list.len() > 5)
    );
    assert_eq!(row["job"]["name"], "East side");
}

#[actix_web::test]
async fn the_figures_of_a_row_are_those_of_cells_and_of_the_whole_answer() {
    let service = Launched::start().await;
    let names = "verdict,worst_margin,concrete_order,paid_hours,total,note";
    let row = text_of(service.get(&format!(
        "/v1/row?{JOB}&figures={names}&format=csv&header=no"
    )))
    .await;
    let row = row.trim_end();
    let mut expected = Vec::new();
    for name in names.split(',') {
        expected.push(text_of(service.get(&format!("/v1/cell/{name}?{JOB}"))).await);
    }
    assert_eq!(row, expected.join(","));
    let full = json_of(service.get(&format!("/v1/row?{JOB}"))).await;
    let whole = service
        .post("/v1/estimates")
        .json(&full["job"])
        .send()
        .await;
    let whole: Value = whole.expect("an answer").json().await.expect("JSON");
    assert_eq!(whole["price"]["total"], full["figures"]["total"]);
    assert_eq!(
        whole["headline"]["paid_hours"]["paid"]["value"],
        full["figures"]["paid_hours"]
    );
}

#[actix_web::test]
async fn a_row_as_csv_shows_the_line_as_sent_and_then_the_usual_figures() {
    let service = Launched::start().await;
    let answer = get(&service, &format!("/v1/row?{JOB}&format=csv")).await;
    let kind = "text/csv; charset=utf-8; header=present";
    assert_eq!(header(&answer, CONTENT_TYPE), kind);
    let csv = answer.text().await.expect("text");
    let lines: Vec<&str> = csv.split("\r\n").collect();
    assert_eq!((lines.len(), lines[2]), (3, ""));
    assert!(lines[0].starts_with("rise_in,length_ft,runs,turn,left,status,verdict,"));
    assert!(
        lines[1].starts_with("28,28,2,left,wall,ok,complies,none,0,8.333,"),
        "{}",
        lines[1]
    );
    assert_eq!(cells(lines[0]).len(), 5 + 38);
}

#[actix_web::test]
async fn an_input_that_is_named_like_a_figure_stands_under_a_name_of_its_own() {
    let service = Launched::start().await;
    let path = "/v1/row?rise_in=28&slope=1:12&revision=1";
    let csv = text_of(service.get(&format!("{path}&format=csv"))).await;
    assert!(
        csv.starts_with("rise_in,sent_slope,sent_revision,status,"),
        "{csv}"
    );
    let xml = text_of(service.get(&format!("{path}&format=xml"))).await;
    assert!(xml.contains("<sent_slope>1:12</sent_slope>"), "{xml}");
    assert_eq!(xml.matches("<slope>").count(), 1);
}

#[actix_web::test]
async fn what_is_not_known_is_an_empty_cell_and_never_a_zero() {
    let service = Launched::start().await;
    let asked = "figures=status,total,material,last_day,complete&format=csv&header=no";
    let csv = text_of(service.get(&format!("/v1/row?{JOB}&bar=10M&{asked}"))).await;
    assert_eq!(csv, "incomplete,,,,0\r\n");
    let row = json_of(service.get(&format!("/v1/row?{JOB}&bar=10M"))).await;
    assert!(row["figures"]["total"].is_null());
    let kinds = row["not_known"].as_array().expect("a list").iter();
    assert!(kinds.filter(|one| one["kind"] == "unpriced").count() > 5);
}

#[actix_web::test]
async fn what_a_spreadsheet_would_run_is_made_plain_text() {
    let service = Launched::start().await;
    let csv = text_of(service.get(&format!("/v1/row?{JOB}&job=%3D1%2B1&format=csv"))).await;
    assert!(csv.contains(",'=1+1,"), "{csv}");
}

#[actix_web::test]
async fn a_row_as_xml_is_flat_and_leaves_out_what_is_not_known() {
    let service = Launched::start().await;
    let path = format!("/v1/row?{JOB}&job=A%20%26%20%3CB%3E%20%22C%22&bar=10M");
    let answer = service
        .get(&path)
        .header(ACCEPT, "application/xml")
        .send()
        .await;
    let answer = answer.expect("an answer");
    assert_eq!(
        header(&answer, CONTENT_TYPE),
        "application/xml; charset=utf-8"
    );
    let xml = answer.text().await.expect("text");
    assert!(
        xml.starts_with("<?xml version=\"1.0\" encoding=\"UTF-8\"?><row><rise_in>28</rise_in>")
    );
    assert!(
        xml.contains("<job>A &amp; &lt;B&gt; &quot;C&quot;</job>"),
        "{xml}"
    );
    assert!(
        xml.contains("<status>incomplete</status>") && !xml.contains("<total>"),
        "{xml}"
    );
    assert!(xml.contains("<note>Not complete: no price for "), "{xml}");
    assert!(xml.contains("<slope>8.333</slope>") && xml.ends_with("</row>"));
}

/// A spreadsheet's function gives up beyond 32,767 characters, and beyond a URL of 2,048 (the
/// vendor's page of that function).
#[actix_web::test]
async fn the_largest_row_fits_a_spreadsheet() {
    let service = Launched::start().await;
    let list = json_of(service.get("/v1/figures")).await;
    let names = list["figures"].as_array().expect("figures").iter();
    let names: Vec<&str> = names.filter_map(|one| one["figure"].as_str()).collect();
    let job = "%26".repeat(80);
    let path = format!(
        "/v1/row?{JOB}&job={job}&format=xml&figures={}",
        names.join(",")
    );
    let xml = text_of(service.get(&path)).await;
    assert!(xml.len() < 32_767, "{}", xml.len());
    let usual = text_of(service.get(&format!("/v1/row?{JOB}&job={job}&format=xml"))).await;
    assert!(usual.len() < 32_767 && usual.contains("&amp;&amp;"));
}

#[actix_web::test]
async fn a_whole_job_fits_an_address_and_is_answered() {
    let service = Launched::start().await;
    let path = format!(
        "/v1/row?{}&errors=inline&key={}",
        FULL.join("&"),
        "x".repeat(80)
    );
    assert!(path.len() < 2_000, "{}", path.len());
    let row = json_of(service.get(&path.replace(&"x".repeat(80), ""))).await;
    assert!(row.get("figures").is_some(), "{row}");
    assert_eq!(
        row["input"].as_object().map(|all| all.len()),
        Some(FULL.len())
    );
}

/// Every column that can stand beside the others.
const FULL: &[&str] = &[
    "job=East%20entrance%2C%20district%20office",
    "units=us",
    "rule_set=ada-2010",
    "existing=no",
    "rise_in=28",
    "length_ft=29.5",
    "measured=plan",
    "runs=2",
    "turn=left",
    "width_in=60",
    "landing_in=60",
    "foot=new",
    "head=new",
    "cross_slope_pct=1.5",
    "door_leaf_in=36",
    "door_opens=onto",
    "beyond_latch_in=24",
    "left=wall",
    "right=formed",
    "curb_in=4",
    "handrail=by_others",
    "thickness_in=5",
    "strength_psi=4500",
    "exposure=F2",
    "finish=broom",
    "waste_pct=8",
    "base_in=4",
    "insulation_in=2",
    "bar=4",
    "spacing_in=18",
    "joint=sawn",
    "joint_spacing_ft=5",
    "sealer=silane",
    "steps=0",
    "steps_width_in=48",
    "tread_in=11",
    "walk_ft=10",
    "walk_width_in=60",
    "crew=3",
    "place=chute",
    "start=2026-06-01",
    "book=demo",
    "revision=1",
    "as_of=2026-05-04",
    "overhead_pct=12",
    "contingency_pct=5",
    "margin_pct=15",
    "tax_pct=6",
    "tax_base=materials",
];

#[actix_web::test]
async fn a_list_of_figures_is_answered_in_its_order_and_its_faults_are_told() {
    let service = Launched::start().await;
    let csv =
        text_of(service.get(&format!("/v1/row?{JOB}&figures=total,%20slope&format=csv"))).await;
    assert!(csv.starts_with("total,slope\r\n"), "{csv}");
    let path = format!("/v1/row?{JOB}&figures=totl,slope,slope");
    let refused = problem(service.get(&path), 422).await;
    let faults = refused["errors"].as_array().expect("faults");
    assert_eq!(faults.len(), 2, "{refused}");
    assert_eq!(faults[0]["column"], "figures");
    assert!(
        faults[0]["accepted"]
            .as_str()
            .is_some_and(|text| text.contains("total"))
    );
    problem(service.get(&format!("/v1/row?{JOB}&format=pdf")), 406).await;
    problem(
        service.get(&format!("/v1/row?{JOB}&format=csv&format=xml")),
        422,
    )
    .await;
}

#[actix_web::test]
async fn an_inline_refusal_keeps_the_shape_of_its_format() {
    let service = Launched::start().await;
    let bad = "/v1/row?rise_in=abc&length_ft=28&errors=inline";
    let answer = get(&service, &format!("{bad}&format=xml")).await;
    assert_eq!(header(&answer, CACHE_CONTROL), "no-store");
    let xml = answer.text().await.expect("text");
    assert!(
        xml.contains("<row><status>error</status><note>rise_in: "),
        "{xml}"
    );
    assert!(
        xml.contains("<error code=\"faults\">#ERR rise_in: "),
        "{xml}"
    );
    let told = json_of(service.get(bad)).await;
    assert_eq!(told["status"], "error");
    assert!(
        told["note"]
            .as_str()
            .is_some_and(|note| note.starts_with("#ERR rise_in: "))
    );
    let csv = text_of(service.get(&format!("{bad}&format=csv"))).await;
    let lines: Vec<&str> = csv.split("\r\n").collect();
    assert!(lines[0].starts_with("rise_in,length_ft,status,") && lines[0].ends_with(",note"));
    assert!(
        lines[1].starts_with(",,error,,") && lines[1].contains("#ERR rise_in: "),
        "{csv}"
    );
    let bare =
        text_of(service.get(&format!("{bad}&format=csv&header=no&figures=total,slope"))).await;
    assert!(
        bare.trim_start_matches('"').starts_with("#ERR rise_in: "),
        "{bare}"
    );
    assert_eq!(bare.matches("\r\n").count(), 1);
    assert!(bare.ends_with(",\r\n"), "{bare}");
}

#[actix_web::test]
async fn the_list_of_figures_says_units_places_and_meaning() {
    let service = Launched::start().await;
    let list = json_of(service.get("/v1/figures")).await;
    let figures = list["figures"].as_array().expect("figures");
    let of = |name: &str| {
        figures
            .iter()
            .find(|one| one["figure"] == name)
            .expect("a figure")
    };
    assert_eq!(of("rise_max")["unit_us"], "in");
    assert_eq!(of("rise_max")["unit_metric"], "mm");
    assert_eq!(of("rise_max")["places_metric"], 1);
    assert_eq!(of("total")["value_type"], "money");
    assert_eq!(of("total")["usual"], true);
    let csv = text_of(service.get("/v1/figures?format=csv")).await;
    assert_eq!(csv.lines().count(), figures.len() + 1);
    problem(service.get("/v1/figures?rise_in=28"), 400).await;
}

#[actix_web::test]
async fn the_short_form_describes_every_column_that_a_row_reads() {
    let service = Launched::start().await;
    let answer: Value = json_of(service.get("/v1/short-form")).await;
    let columns = answer["columns"].as_array().expect("columns");
    let rise = &columns[4];
    assert_eq!(rise["column"], "rise");
    assert_eq!(rise["required"], true);
    assert_eq!(rise["range_us"], serde_json::json!(["1/2 in", "20 ft"]));
    assert_eq!(rise["range_metric"], serde_json::json!(["13 mm", "6 m"]));
    let forms = rise["forms"].as_array().expect("forms");
    assert_eq!(forms.len(), 6);
    let required = columns.iter().filter(|column| column["required"] == true);
    assert_eq!(required.count(), 1);
    for column in columns {
        for form in column["forms"].as_array().expect("forms") {
            let form = form.as_str().expect("a name");
            // Nonsense is refused by its column, and never as an unknown name.
            let path = format!("/v1/cell/total?rise_in=28&{form}=%3F%3F&errors=inline");
            let told = service.get(&path).send().await.expect("an answer");
            let told = told.text().await.expect("text");
            assert!(!told.contains("/v1/short-form"), "{form}: {told}");
        }
    }
    let csv = service
        .get("/v1/short-form?format=csv")
        .send()
        .await
        .expect("an answer");
    let csv = csv.text().await.expect("text");
    assert_eq!(csv.lines().count(), columns.len() + 1);
}

#[actix_web::test]
async fn what_only_a_batch_uses_is_refused_in_an_address() {
    let service = Launched::start().await;
    let path = "/v1/row?rise_in=28&day=2026-05-04&zone=north";
    let found = problem(service.get(path), 422).await;
    let columns: Vec<&Value> = found["errors"]
        .as_array()
        .expect("errors")
        .iter()
        .map(|error| &error["column"])
        .collect();
    assert_eq!(columns, ["day", "zone"]);
}
