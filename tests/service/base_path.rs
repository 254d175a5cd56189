//! Everything below a path of its own, as behind a proxy that passes the path on.

use crate::answered::{json_of, text_of};
use crate::launched::{Binary, Folder, Launched, command, output_of, problem};
use serde_json::{Value, json};

async fn below() -> Launched {
    Launched::start_with(|config, _| config.base_path = "/office/ramps".to_owned()).await
}

#[actix_web::test]
async fn everything_stands_below_it_and_nothing_beside_it() {
    let service = below().await;
    for path in [
        "/livez",
        "/readyz",
        "/openapi.json",
        "/docs/",
        "/",
        "",
        "/v1/rates",
        "/metrics",
    ] {
        let answer = service.get(&format!("/office/ramps{path}")).send().await;
        assert_eq!(answer.expect("an answer").status(), 200, "{path}");
        problem(service.get(path), 404).await;
        problem(service.get(&format!("/office/rampsx{path}")), 404).await;
    }
    let job = json!({"ramp": {"path": [{"kind": "landing"}, {"kind": "run", "rise": "28 in", "length": "28 ft"}, {"kind": "landing"}]}});
    let priced = service
        .post("/office/ramps/v1/estimates?working=true")
        .json(&job);
    assert_eq!(priced.send().await.expect("an answer").status(), 200);
    let cell = service.get("/office/ramps/v1/cell/slope?rise_in=x&errors=inline");
    let text = text_of(cell).await;
    assert!(text.starts_with("#ERR"), "{text}");
}

#[actix_web::test]
async fn what_leads_back_to_us_begins_with_it() {
    let service = below().await;
    let contract: Value = json_of(service.get("/office/ramps/openapi.json")).await;
    assert_eq!(contract["servers"], json!([{"url": "/office/ramps"}]));
    let front = service
        .get("/office/ramps")
        .send()
        .await
        .expect("an answer");
    let front = front.text().await.expect("text");
    for link in ["docs/", "openapi.json", "readyz"] {
        assert!(
            front.contains(&format!("\"/office/ramps/{link}\"")),
            "{link}: {front}"
        );
    }
    let made = service
        .client
        .put(format!("{}/office/ramps/v1/price-books/yard", service.base))
        .header("If-None-Match", "*")
        .json(&json!({"name": "Mill yard (invented)", "currency": "USD", "inherits": "demo"}));
    let answer = made.send().await.expect("an answer");
    assert_eq!(
        answer.headers()["location"],
        "/office/ramps/v1/price-books/yard"
    );
    let led = service
        .get("/office/ramps/v1/price-books/yard")
        .send()
        .await;
    assert_eq!(led.expect("an answer").status(), 200);
}

#[actix_web::test]
async fn keys_and_roles_hold_below_it() {
    let service = Launched::start_with(|config, folder| {
        config.base_path = "/ramps".to_owned();
        config.first_key_file = Some(folder.file("key", crate::launched::KEY));
    })
    .await;
    for path in ["/ramps/v1/audit", "/ramps/v1/price-books", "/ramps/metrics"] {
        problem(service.get(path), 401).await;
    }
    problem(service.get("/v1/audit"), 404).await;
    let open = service.get("/ramps/livez").send().await.expect("an answer");
    assert_eq!(open.status(), 200);
}

#[test]
fn the_health_check_asks_below_it() {
    let binary = Binary::serve(&["--base-path", "/ramps"]);
    let ready = |words: &[&str]| {
        let home = Folder::new();
        let mut asked = command(&home);
        asked
            .args(["healthcheck", "--listen", binary.address()])
            .args(words);
        output_of(asked).status.success()
    };
    assert!(ready(&["--base-path", "/ramps"]));
    assert!(!ready(&[]));
}
