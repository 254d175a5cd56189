//! Rule sets as data, sets side by side, and an office's own.

use crate::answered::json_of;
use crate::launched::{Folder, Launched, problem, settings};
use crossfall::startup::Service;
use serde_json::{Value, json};

async fn judged(service: &Launched, sets: Value) -> Value {
    let job = json!({"site": {"rule_sets": sets}, "ramp": {"path": [
        {"kind": "landing"}, {"kind": "run", "rise": "30 in", "length": "30 ft"}, {"kind": "landing"}
    ]}});
    let request = service.post("/v1/ramps/check").json(&job);
    json_of(request).await
}

#[actix_web::test]
async fn every_set_is_listed_and_can_be_read_with_its_sources() {
    let service = Launched::start().await;
    let listed = json_of(service.get("/v1/rule-sets")).await;
    let sets = listed["rule_sets"].as_array().expect("sets");
    assert!(sets.len() >= 19);
    for set in sets {
        let id = set["id"].as_str().expect("an id");
        let whole = json_of(service.get(&format!("/v1/rule-sets/{id}"))).await;
        let rows = whole["rules"].as_array().expect("rows");
        assert_eq!(json!(rows.len()), set["rules"], "{id}");
        assert!(
            rows.iter()
                .all(|row| row["section"].is_string() && row["verified"].is_string())
        );
    }
    let california = sets
        .iter()
        .find(|set| set["id"] == "california-11b")
        .expect("a set");
    assert_eq!(california["extends"], "ada-2010");
    let missing = problem(service.get("/v1/rule-sets/ada-1910"), 404).await;
    assert!(
        missing["detail"]
            .as_str()
            .is_some_and(|text| text.contains("ada-2010"))
    );
}

#[actix_web::test]
async fn one_call_puts_every_set_side_by_side() {
    let service = Launched::start().await;
    let all = judged(&service, json!(["all"])).await;
    let compared = all["comparison"].as_array().expect("sets side by side");
    assert!(compared.len() >= 18);
    assert!(
        compared
            .iter()
            .all(|set| set["decided_by"]["rule"].is_string())
    );
    let one = |id: &str| {
        compared
            .iter()
            .find(|set| set["rule_set"] == id)
            .expect("a set")
    };
    assert_eq!(one("england-k-m")["verdict"], "does_not_comply");
    assert!(
        one("germany-18040-1")["unread"]
            .as_array()
            .is_some_and(|rows| rows.len() > 5)
    );
    // A rule that one set takes over from another is told apart from that set's own.
    let findings = all["check"]["findings"].as_array().expect("findings");
    let taken_over = findings
        .iter()
        .find(|finding| finding["rule_set"] == "california-11b");
    assert!(taken_over.is_some_and(|finding| {
        finding["rule"]
            .as_str()
            .is_some_and(|rule| rule.starts_with("ada-2010/"))
    }));
    let single = judged(&service, json!(["ada-2010"])).await;
    assert_eq!(single.get("comparison"), None);
}

#[actix_web::test]
async fn a_local_amendment_judges_and_is_shown() {
    let folder = Folder::new();
    folder.file("county.toml", COUNTY);
    folder.file("notes.txt", "not a rule file");
    let mut config = settings(&folder);
    config.rules = Some(folder.path().to_owned());
    let service = Launched::start_on(config, folder).await;
    let shown = json_of(service.get("/v1/rule-sets/mill-county")).await;
    assert_eq!(shown["extends"], "ada-2010");
    let county = judged(&service, json!(["ada-2010", "mill-county"])).await;
    let compared = county["comparison"].as_array().expect("two sets");
    assert_ne!(compared[0]["verdict"], "does_not_comply");
    assert_eq!(compared[1]["verdict"], "does_not_comply");
    assert_eq!(compared[1]["decided_by"]["rule"], "mill-county/9.4");
    assert_eq!(
        compared[1]["decided_by"]["source"]["document"],
        "Mill County amendments (invented)"
    );
}

#[actix_web::test]
async fn a_faulty_folder_is_refused_at_the_start_with_every_fault() {
    let folder = Folder::new();
    folder.file("county.toml", &COUNTY.replace("24 in", "610 mm"));
    folder.file("town.toml", "id = 7");
    let mut config = settings(&folder);
    config.rules = Some(folder.path().to_owned());
    let refused = Service::build(config).await.err().expect("nothing starts");
    let text = format!("{refused:#}");
    for part in [
        "2 faults",
        "mill-county/9.4: `value`",
        "the set's unit",
        "town.toml",
    ] {
        assert!(text.contains(part), "{text}");
    }
    let mut config = settings(&folder);
    config.rules = Some(folder.path().join("nowhere"));
    assert!(Service::build(config).await.is_err());
}

/// An invented county's amendment, as the README shows it.
const COUNTY: &str = include_str!("../../examples/rules/mill-county.toml");
