//! Paths that lead elsewhere, split a header, or mean another thing to whoever decodes them.

use super::wire::told;
use crate::launched::{Folder, KEY, Launched};
use serde_json::json;

/// What would show that a file, or another resource, was read.
const NEVER: [&str; 4] = ["[package]", "root:", "\"rows\":", "SQLite"];

/// The status and all that is said of a path, sent as it is written: a client would tidy it up.
async fn asked(service: &Launched, path: &str) -> (u16, String) {
    let head = format!("GET {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    let said = told(service, head).await;
    let status = said.get(9..12).and_then(|status| status.parse().ok());
    (status.unwrap_or_else(|| panic!("{path}: {said}")), said)
}

#[actix_web::test]
async fn no_path_leads_out_of_its_resource() {
    let service = Launched::start().await;
    for path in [
        "/docs/../v1/audit",
        "/docs/..%2f..%2f..%2fetc%2fpasswd",
        "/docs/%2e%2e/%2e%2e/Cargo.toml",
        "/docs//etc/passwd",
        "/docs/..%5c..%5cCargo.toml",
        "/docs/index.html%00.css",
        "/v1/rule-sets/..%2f..%2fCargo.toml",
        "/v1/rule-sets/%2e%2e",
        "/v1/rule-sets/ada-2010%00.toml",
        "/v1/cell/..%2f..%2faudit",
        "/v1/cell/%2e%2e",
        "/v1/price-books/..%2f..%2fv1%2faudit",
        "/v1/price-books/%2e%2e",
        "/v1/price-books/demo%2fitems",
        "/v1/price-books/demo%00",
        "/v1/price-books/'%20OR%20'1'='1",
        "/v1/price-books/demo/items/..%2f..%2f..%2faudit",
        "/v1/price-books/demo/items/%ff%fe",
        "/v1/price-books/demo/../../audit",
        "//v1/audit",
        "/v1//audit",
        "/v1/audit/",
        "/./v1/audit",
    ] {
        let (status, said) = asked(&service, path).await;
        assert_eq!(status, 404, "{path}");
        for never in NEVER {
            assert!(!said.contains(never), "{path}: {said}");
        }
    }
}

#[actix_web::test]
async fn no_spelling_of_a_path_opens_what_a_key_closes() {
    let service = Launched::start_with(|config, folder: &Folder| {
        config.first_key_file = Some(folder.file("key", KEY));
    })
    .await;
    for path in [
        "/docs/../v1/audit",
        "/livez/../v1/audit",
        "/%6civez",
        "/%64ocs/../v1/audit",
        "/%2e/v1/audit",
        "/docs%2f..%2fv1%2faudit",
        "/livez%2f..%2fv1%2faudit",
        "/v1/cell/..%2faudit",
        "/v1/audit;/docs/",
        "/v1/audit?/docs/",
        "/v1/audit%3f/livez",
        "/%76%31/%61udit",
        "/V1/AUDIT",
        "//docs/../v1/audit",
    ] {
        // Below `/docs/` there is nothing but the parts of the page, which are open.
        let (status, said) = asked(&service, path).await;
        let wanted = if path.starts_with("/docs/") { 404 } else { 401 };
        assert_eq!(status, wanted, "{path}: {said}");
        assert!(!said.contains("\"rows\""), "{path}: {said}");
    }
}

#[actix_web::test]
async fn a_code_is_plain_before_it_is_kept_or_led_back_to() {
    let service = Launched::start().await;
    for (path, body) in [
        (
            "/v1/price-books/{}",
            json!({"name": "A yard (invented)", "currency": "USD"}),
        ),
        (
            "/v1/price-books/demo/items/{}",
            json!({"description": "Pea gravel", "class": "material", "sale_unit": "ton",
                   "order_step": "0.5", "charge": "bought_for_job"}),
        ),
    ] {
        for code in [
            "a%0d%0aX-Evil:1",
            "..%2f..%2ftmp%2fx",
            "..%2f",
            "%3Dcmd%7C",
            "a%22b",
            "%3Cscript%3E",
            "a%00b",
            "A",
            "caf%C3%A9",
            "a%E2%80%AEb",
        ] {
            let url = format!("{}{}", service.base, path.replace("{}", code));
            let put = service.client.put(url).header("If-None-Match", "*");
            let answer = put.json(&body).send().await.expect("an answer");
            assert_eq!(answer.status(), 400, "{code}");
            let headers = answer.headers();
            assert!(!headers.contains_key("x-evil") && !headers.contains_key("location"));
        }
    }
}
