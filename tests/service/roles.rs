//! Which role opens which call, against a table written out from the contract; rates, and the audit.

use crate::launched::{Folder, Launched, client, problem, problem_of, settings};
use crossfall::book::{AccessStore, NewKey, Role, open_store};
use reqwest::Method;
use secrecy::ExposeSecret as _;
use serde_json::{Value, json};
use std::collections::BTreeSet;

const OPEN: &[&str] = &[
    "", "cell", "estimate", "prices", "deliver", "admin", "revoked",
];
const ANY_KEY: &[&str] = &["cell", "estimate", "prices", "deliver", "admin"];
const FIGURES: &[&str] = &["cell", "estimate", "prices", "admin"];
const COMPUTING: &[&str] = &["estimate", "prices", "admin"];
const WRITING: &[&str] = &["prices", "admin"];
const DELIVERING: &[&str] = &["deliver", "admin"];
const ADMIN: &[&str] = &["admin"];

/// Every call of the contract and who may make it, whether it is built yet or not.
#[rustfmt::skip]
const CALLS: &[(&str, &str, &[&str])] = &[
    ("GET", "/", OPEN),
    ("GET", "/livez", OPEN),
    ("GET", "/readyz", OPEN),
    ("GET", "/openapi.json", OPEN),
    ("GET", "/docs", OPEN),
    ("GET", "/docs/", OPEN),
    ("GET", "/metrics", ANY_KEY),
    ("GET", "/v1/nothing", ANY_KEY),
    ("GET", "/nothing", ANY_KEY),
    ("POST", "/v1/ramps/check", COMPUTING),
    ("POST", "/v1/ramps/layouts", COMPUTING),
    ("POST", "/v1/ramps/survey", COMPUTING),
    ("POST", "/v1/ramps/grade-sheet", COMPUTING),
    ("POST", "/v1/takeoff", COMPUTING),
    ("POST", "/v1/crew-hours", COMPUTING),
    ("POST", "/v1/crew-hours/calibrate", COMPUTING),
    ("POST", "/v1/pour-plan", COMPUTING),
    ("POST", "/v1/estimates", COMPUTING),
    ("POST", "/v1/estimates/batch", COMPUTING),
    ("POST", "/v1/estimates/compare", COMPUTING),
    ("POST", "/v1/load-plan", COMPUTING),
    ("POST", "/v1/estimates/compare", COMPUTING),
    ("POST", "/v1/job-costs", COMPUTING),
    ("POST", "/v1/drawings", COMPUTING),
    ("POST", "/v1/foreman-sheet", COMPUTING),
    ("POST", "/v1/proposals", COMPUTING),
    ("POST", "/v1/quotations", COMPUTING),
    ("POST", "/v1/invoices", COMPUTING),
    ("POST", "/v1/credit-notes", COMPUTING),
    ("POST", "/v1/journals", COMPUTING),
    ("POST", "/v1/handovers", COMPUTING),
    ("GET", "/v1/rule-sets", COMPUTING),
    ("GET", "/v1/rule-sets/{id}", COMPUTING),
    ("GET", "/v1/rates", COMPUTING),
    ("GET", "/v1/cell/{figure}", FIGURES),
    ("HEAD", "/v1/cell/{figure}", OPEN),
    ("OPTIONS", "/v1/cell/{figure}", OPEN),
    ("GET", "/v1/row", FIGURES),
    ("HEAD", "/v1/row", OPEN),
    ("OPTIONS", "/v1/row", OPEN),
    ("GET", "/v1/figures", FIGURES),
    ("GET", "/v1/short-form", FIGURES),
    ("GET", "/v1/price-books", COMPUTING),
    ("POST", "/v1/price-books", WRITING),
    ("GET", "/v1/price-books/{book}", COMPUTING),
    ("PUT", "/v1/price-books/{book}", WRITING),
    ("GET", "/v1/price-books/{book}/items", COMPUTING),
    ("GET", "/v1/price-books/{book}/items/{item}", COMPUTING),
    ("PUT", "/v1/price-books/{book}/items/{item}", WRITING),
    ("DELETE", "/v1/price-books/{book}/items/{item}", WRITING),
    ("GET", "/v1/price-books/{book}/items/{item}/prices", COMPUTING),
    ("GET", "/v1/price-books/{book}/revisions", COMPUTING),
    ("POST", "/v1/price-books/{book}/import", WRITING),
    ("GET", "/v1/price-books/{book}/export", COMPUTING),
    ("POST", "/v1/deliveries", DELIVERING),
    ("GET", "/v1/audit", ADMIN),
    ("GET", "/%761/audit", ADMIN),
    ("PUT", "/v1/price%2Dbooks/{book}/items/{item}", WRITING),
    ("GET", "/%6civez", ANY_KEY),
];

/// A service whose database holds one key of each role and a revoked one of role `admin`.
struct Staffed {
    service: Launched,
    keys: Vec<(&'static str, String)>,
}

impl Staffed {
    async fn start() -> Self {
        let folder = Folder::new();
        let config = settings(&folder);
        let url = config.database_url.clone().expect("a database");
        let store = open_store(url.expose_secret()).await.expect("it opens");
        let mut keys = Vec::new();
        for role in Role::ALL {
            keys.push((role.word(), add_key(&*store, role, None).await.1));
        }
        let (id, revoked) = add_key(&*store, Role::Admin, None).await;
        let done = store.revoke_key(&id, chrono::Utc::now(), "a test").await;
        assert!(done.expect("it answers"));
        keys.push(("revoked", revoked));
        Self {
            service: Launched::start_on(config, folder).await,
            keys,
        }
    }

    fn key(&self, whose: &str) -> Option<&str> {
        let mut keys = self.keys.iter();
        keys.find(|(name, _)| *name == whose)
            .map(|(_, key)| key.as_str())
    }

    fn ask(&self, method: &str, path: &str, whose: &str) -> reqwest::RequestBuilder {
        let method: Method = method.parse().expect("a method");
        let request = client().request(method, format!("{}{path}", self.service.base));
        match self.key(whose) {
            Some(key) => request.bearer_auth(key),
            None => request,
        }
    }
}

/// Makes and keeps a key: its id and its text.
pub(crate) async fn add_key(
    store: &dyn AccessStore,
    role: Role,
    per_minute: Option<u32>,
) -> (String, String) {
    let new = NewKey {
        name: format!("the {role} crew"),
        role,
        per_minute,
    };
    let (record, text) = new.make().expect("random bytes");
    store.add_key(&record, "a test").await.expect("it is kept");
    (record.id, text.expose_secret().to_owned())
}

#[actix_web::test]
async fn each_call_is_open_to_its_roles_and_to_no_others() {
    let staffed = Staffed::start().await;
    for (method, template, may) in CALLS {
        let path = template.replace(['{', '}'], "");
        for whose in OPEN {
            let answer = staffed.ask(method, &path, whose).send().await;
            let answer = answer.expect("an answer");
            let refused = match *whose {
                _ if may.contains(whose) => None,
                "" | "revoked" => Some(401),
                _ => Some(403),
            };
            let status = answer.status().as_u16();
            let found = matches!(status, 401 | 403).then_some(status);
            assert_eq!(found, refused, "{method} {path} with `{whose}`: {status}");
            if refused.is_some() && *method != "HEAD" {
                problem_of(answer, status).await;
            }
        }
    }
}

#[actix_web::test]
async fn every_documented_call_stands_in_the_table_with_the_documented_roles() {
    let service = Launched::start().await;
    let document = service
        .get("/openapi.json")
        .send()
        .await
        .expect("an answer");
    let document: Value = document.json().await.expect("JSON");
    let mut looked_at = BTreeSet::new();
    for (path, item) in document["paths"].as_object().expect("paths") {
        for (method, operation) in item.as_object().expect("operations") {
            let at = (method.to_ascii_uppercase(), path.as_str());
            let row = CALLS
                .iter()
                .find(|(method, path, _)| (*method, *path) == (&at.0, at.1));
            let (_, _, may) = row.unwrap_or_else(|| panic!("{at:?} is not in the table"));
            let mut wanted = match *may {
                OPEN => json!([{}]),
                ANY_KEY => json!([{"bearer": []}, {"key": []}]),
                roles => json!([{"bearer": roles}, {"key": roles}]),
            };
            if *may != OPEN && may.contains(&"cell") {
                let ways = wanted.as_array_mut().expect("a list");
                ways.push(json!({"cell_key": ["cell"]}));
            }
            assert_eq!(operation["security"], wanted, "{at:?}");
            let told = |status: &str| operation["responses"].get(status).is_some();
            for status in ["401", "429"] {
                assert_eq!(told(status), *may != OPEN, "{at:?} {status}");
            }
            // Whatever role a key has, it is one.
            assert_eq!(told("403"), ![OPEN, ANY_KEY].contains(may), "{at:?}");
            looked_at.insert(at);
        }
    }
    assert!(looked_at.len() > 10, "nothing was looked at");
}

#[actix_web::test]
async fn a_refusal_names_the_role_that_is_needed_and_never_the_key() {
    let staffed = Staffed::start().await;
    let refused = problem(staffed.ask("GET", "/v1/audit", "prices"), 403).await;
    let detail = refused["detail"].as_str().expect("text");
    assert!(
        detail.contains("`admin`") && detail.contains("`prices`"),
        "{detail}"
    );
    assert!(!refused.to_string().contains("cf_"), "{refused}");
}

#[actix_web::test]
async fn only_a_cell_key_may_stand_in_the_query() {
    let staffed = Staffed::start().await;
    let with = |path: &str, whose: &str| {
        let key = staffed.key(whose).expect("a key");
        staffed.service.get(&format!("{path}?a=1&key={key}"))
    };
    problem(with("/v1/figures-of-none", "cell"), 404).await;
    for whose in ["estimate", "prices", "deliver", "admin", "revoked"] {
        problem(with("/v1/figures-of-none", whose), 401).await;
    }
    problem(with("/v1/price-books", "cell"), 403).await;
    // The handler does not get to see it: it would refuse a name that it does not know.
    let key = staffed.key("cell").expect("a key");
    let admin = staffed.ask("GET", &format!("/v1/audit?limit=1&key={key}"), "admin");
    assert_eq!(admin.send().await.expect("an answer").status(), 200);
}

#[actix_web::test]
async fn who_calls_too_often_is_told_when_to_come_back() {
    let folder = Folder::new();
    let config = settings(&folder);
    let url = config.database_url.clone().expect("a database");
    let store = open_store(url.expose_secret()).await.expect("it opens");
    let (_, slow) = add_key(&*store, Role::Estimate, Some(3)).await;
    let (_, other) = add_key(&*store, Role::Estimate, None).await;
    let service = Launched::start_on(config, folder).await;
    let ask = |key: &str| service.get("/v1/price-books").bearer_auth(key);
    for _ in 0..3 {
        assert_eq!(ask(&slow).send().await.expect("an answer").status(), 200);
    }
    let refused = ask(&slow).send().await.expect("an answer");
    let wait = refused.headers()["retry-after"].to_str().expect("text");
    // Three a minute is one in twenty seconds.
    let wait: u64 = wait.parse().expect("whole seconds");
    assert!((1..=20).contains(&wait), "{wait}");
    let refused = problem_of(refused, 429).await;
    assert_eq!(refused["type"], "/problems/too-many-requests");
    assert_eq!(ask(&other).send().await.expect("an answer").status(), 200);
    let open = service.get("/readyz").bearer_auth(&slow).send().await;
    assert_eq!(open.expect("an answer").status(), 200);
    problem(service.get("/v1/price-books"), 401).await;
}

#[actix_web::test]
async fn the_audit_tells_who_wrote_what_in_which_request() {
    let staffed = Staffed::start().await;
    let write = staffed
        .ask("PUT", "/v1/price-books/demo/items/pea-gravel", "prices")
        .header("If-None-Match", "*")
        .json(&json!({
            "description": "Pea gravel, washed", "class": "material", "sale_unit": "ton",
            "order_step": "0.5", "minimum": "1", "charge": "bought_for_job",
        }));
    let written = write.send().await.expect("an answer");
    assert_eq!(written.status(), 201);
    let read = |query: &str| {
        let ask = staffed.ask("GET", &format!("/v1/audit{query}"), "admin");
        async {
            let answer = ask.send().await.expect("an answer");
            assert_eq!(answer.status(), 200);
            answer.json::<Value>().await.expect("JSON")
        }
    };
    let page = read("?limit=2").await;
    let newest = &page["rows"][0];
    assert_eq!(
        (&newest["book"], &newest["revision"]),
        (&json!("demo"), &json!(2))
    );
    assert_eq!(
        newest["request"],
        written.headers()["x-request-id"].to_str().expect("text")
    );
    let id = staffed.key("prices").expect("a key")[3..15].to_owned();
    assert_eq!(newest["caller"], id);
    let next = page["next"].as_str().expect("there is more");
    let rest = read(&format!("?after={next}")).await;
    assert!(rest["next"].is_null());
    let rows = rest["rows"].as_array().expect("rows");
    let adds = rows.iter().filter(|row| row["action"] == "key.add").count();
    assert_eq!(adds, 6, "{rest}");
    problem(staffed.ask("GET", "/v1/audit?limit=0", "admin"), 400).await;
    problem(staffed.ask("GET", "/v1/audit?limit=1001", "admin"), 400).await;
    problem(staffed.ask("GET", "/v1/audit?order=up", "admin"), 400).await;
}
