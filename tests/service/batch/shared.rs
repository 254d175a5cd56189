//! Loads shared between the pours of a batch.

use super::{CSV, JSON, LINES, answered, batch};
use crate::launched::{Launched, problem};
use serde_json::Value;

/// Two small ramps of one street on one day, one elsewhere that day, one on another day, one with no
/// day, and one that is no job. Invented.
const ROWS: &str = "\
job,rise_in,length_ft,day,zone
Library (invented),7,7,2026-06-02,Mill Street
Bakery (invented),7,7,2026-06-02,Mill Street
Clinic (invented),7,7,2026-06-02,Harbour
School (invented),7,7,2026-06-03,Hill
Kiosk (invented),7,7,,Hill
Gate (invented),tall,,2026-06-02,Hill
";

async fn summary(service: &Launched, query: &str, rows: &str) -> Value {
    let query = format!("?format=ndjson{query}");
    let text = answered(batch(service, &query, CSV).body(rows.to_owned())).await;
    let last: Value = serde_json::from_str(text.lines().last().expect("a line")).expect("JSON");
    last["summary"].clone()
}

#[actix_web::test]
async fn pours_of_one_day_share_loads_and_the_others_are_counted() {
    let service = Launched::start().await;
    let summary = summary(&service, "&share_loads=true", ROWS).await;
    let shared = &summary["load_plan"];
    assert_eq!(shared["days"].as_array().map(Vec::len), Some(1), "{shared}");
    assert_eq!(
        (&shared["undated"], &shared["alone"], &shared["left_out"]),
        (&1.into(), &1.into(), &0.into())
    );
    let day = &shared["days"][0];
    assert_eq!(
        (&day["day"], &day["proven"]),
        (&"2026-06-02".into(), &true.into()),
        "{day}"
    );
    let plan = &day["plan"];
    assert_eq!(plan["one_by_one"]["loads"], 3);
    assert!(
        plan["cost"]["loads"]
            .as_u64()
            .is_some_and(|loads| loads < 3),
        "{plan}"
    );
    let names = plan["loads"].to_string();
    for name in [
        "row 2 Library (invented)",
        "row 3 Bakery (invented)",
        "row 4 Clinic (invented)",
    ] {
        assert!(names.contains(name), "{name}: {names}");
    }
    assert_eq!(
        (&shared["from"], &shared["to"]),
        (&"07:00".into(), &"15:00".into())
    );
}

#[actix_web::test]
async fn the_hours_are_those_that_are_asked_for() {
    let service = Launched::start().await;
    let shared =
        &summary(&service, "&share_loads=true&arrive=08:30-08:40", ROWS).await["load_plan"];
    assert_eq!(
        (&shared["from"], &shared["to"]),
        (&"08:30".into(), &"08:40".into())
    );
    let first = &shared["days"][0]["plan"]["loads"][0]["stops"][0]["starts"];
    assert!(
        first
            .as_str()
            .is_some_and(|at| ("08:30"..="08:40").contains(&at)),
        "{first}"
    );
    for wrong in ["8-9", "09:00-08:00", "07:00"] {
        let refused = batch(&service, &format!("?share_loads=true&arrive={wrong}"), CSV).body(ROWS);
        let told = problem(refused, 422).await;
        assert_eq!(told["errors"][0]["pointer"], "/arrive", "{wrong}");
        assert_eq!(told["errors"][0]["example"], "07:00-12:00");
    }
}

#[actix_web::test]
async fn nothing_is_shared_unasked_and_every_form_of_rows_can_ask() {
    let service = Launched::start().await;
    assert_eq!(summary(&service, "", ROWS).await["load_plan"], Value::Null);
    let row = r#"{"job": "A (invented)", "rise_in": 7, "length_ft": 7, "day": "2026-06-02"}"#;
    let sent = format!("{row}\n{}\n", row.replace("A (", "B ("));
    let text = answered(batch(&service, "?share_loads=true", LINES).body(sent)).await;
    assert!(
        text.lines()
            .last()
            .is_some_and(|line| line.contains("row 2 B (invented)")),
        "{text}"
    );
    let sent = format!("[{row}, {}]", row.replace("A (", "B ("));
    let text = answered(batch(&service, "?share_loads=true", JSON).body(sent)).await;
    let answer: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(
        answer["summary"]["load_plan"]["days"][0]["plan"]["one_by_one"]["loads"],
        2
    );
}

#[actix_web::test]
async fn a_day_of_many_pours_is_split_by_area_and_not_called_proven() {
    let service = Launched::start().await;
    let mut rows = "job,rise_in,length_ft,day,zone\n".to_owned();
    for number in 0..36 {
        let area = ["North", "South", "East"][number % 3];
        rows.push_str(&format!("Ramp {number} (invented),7,7,2026-06-02,{area}\n"));
    }
    let shared =
        &summary(&service, "&share_loads=true&arrive=07:00-07:20", &rows).await["load_plan"];
    let days = shared["days"].as_array().expect("days");
    let areas: Vec<&str> = days.iter().filter_map(|day| day["area"].as_str()).collect();
    assert_eq!(areas, ["East", "North", "South"]);
    assert!(days.iter().all(|day| day["proven"] == false));
    let served = |day: &Value| -> usize {
        let loads = day["plan"]["loads"].as_array().expect("loads");
        loads
            .iter()
            .map(|load| load["stops"].as_array().map_or(0, Vec::len))
            .sum()
    };
    assert_eq!(days.iter().map(served).sum::<usize>(), 36);
}

/// The bars of all jobs come from one list, and the order list orders what it takes.
#[actix_web::test]
async fn bars_of_a_batch_are_cut_together_where_that_is_asked() {
    let service = Launched::start().await;
    let plain = summary(&service, "", ROWS).await;
    assert_eq!(plain["cut_together"], Value::Null);
    let cut = summary(&service, "&cut_together=true", ROWS).await;
    let list = &cut["cut_together"]["lists"][0];
    assert_eq!(list["jobs"], 5, "{list}");
    let ordered = |summary: &Value| {
        let items = summary["to_order"].as_array().expect("a list").clone();
        let mut bars = items
            .into_iter()
            .filter(|item| item["code"] == "bar-no4-20ft");
        bars.next().expect("bars")["order"]
            .as_f64()
            .expect("a number")
    };
    assert_eq!(Some(ordered(&plain)), list["pieces_one_by_one"].as_f64());
    assert_eq!(Some(ordered(&cut)), list["list"]["pieces"].as_f64());
    assert!(ordered(&cut) < ordered(&plain), "{list}");
}
