//! Price books over HTTP, with a book of its own for each test.

use crate::answered::json_of;
use crate::launched::{Launched, demo_items, problem};
use reqwest::Response;
use serde_json::{Value, json};

const STONE: &str = "/v1/price-books/demo/items/stone-dense-graded";
const GRAVEL: &str = "/v1/price-books/demo/items/pea-gravel";

fn gravel() -> Value {
    json!({
        "description": "Pea gravel, washed", "class": "material", "sale_unit": "ton",
        "order_step": "0.5", "minimum": "1", "charge": "bought_for_job",
        "prices": [{"supplier": "quarry-yard", "unit_price": "41.5", "effective_from": "2026-03-02"}],
    })
}

fn put(
    service: &Launched,
    path: &str,
    body: &Value,
    condition: (&str, &str),
) -> reqwest::RequestBuilder {
    let url = format!("{}{path}", service.base);
    service
        .client
        .put(url)
        .header(condition.0, condition.1)
        .json(body)
}

async fn written(request: reqwest::RequestBuilder, status: u16) -> Response {
    let answer = request.send().await.expect("an answer");
    assert_eq!(answer.status(), status);
    answer
}

fn etag(answer: &Response) -> &str {
    answer.headers()["etag"].to_str().expect("text")
}

/// The newest revision, to see whether anything was written.
async fn revision(service: &Launched) -> Value {
    json_of(service.get("/v1/price-books/demo")).await["revision"].clone()
}

fn pointers(problem: &Value) -> Vec<&str> {
    let errors = problem["errors"].as_array().expect("faults");
    errors
        .iter()
        .filter_map(|fault| fault["pointer"].as_str())
        .collect()
}

#[actix_web::test]
async fn the_first_start_shows_the_invented_book() {
    let service = Launched::start().await;
    let books = json_of(service.get("/v1/price-books")).await;
    let demo = &books["price_books"][0];
    assert_eq!(
        (
            &demo["code"],
            &demo["demo"],
            &demo["currency"],
            &demo["revision"],
            &demo["items"]
        ),
        (
            &json!("demo"),
            &json!(true),
            &json!("USD"),
            &json!(1),
            &json!(demo_items())
        )
    );
    assert_eq!(*demo, json_of(service.get("/v1/price-books/demo")).await);
    assert_eq!(
        demo["settings"],
        json!({
            "overhead": "12 %", "contingency": "3 %", "profit_basis": "margin", "profit": "15 %",
            "warranty": "0 %", "sales_tax": "6.25 %", "sales_tax_base": "materials", "travel_minutes": 30,
            "price_age_days": 365,
        })
    );
}

#[actix_web::test]
async fn an_item_stands_with_the_price_of_the_day() {
    let service = Launched::start().await;
    let answer = service
        .get(&format!("{STONE}?as_of=2026-05-04"))
        .send()
        .await
        .expect("an answer");
    assert_eq!(etag(&answer), "\"1\"");
    let item: Value = answer.json().await.expect("JSON");
    assert_eq!(
        item,
        json!({
            "code": "stone-dense-graded", "description": "Crushed stone, dense graded",
            "class": "material", "sale_unit": "ton", "order_step": "0.5", "minimum": "1",
            "holds": null, "charge": "bought_for_job", "uses": null, "pay_step": null,
            "preferred_supplier": null, "index": null, "book": "demo", "changed_in": 1,
            "price": {
                "supplier": "quarry-yard", "supplier_name": "Quarry yard (invented)",
                "from_quantity": "0", "unit_price": "34.50", "effective_from": "2026-02-16",
                "valid_until": null, "quoted_for": null, "revision": 1,
            },
            "unpriced": null,
        })
    );
    let older = json_of(service.get(&format!("{STONE}?as_of=2026-02-15"))).await;
    assert_eq!(older["price"]["unit_price"], "32.75");
    let none = json_of(service.get(&format!("{STONE}?as_of=2020-01-01"))).await;
    assert_eq!(none["price"], Value::Null);
    assert_eq!(
        none["unpriced"],
        "its first price takes effect on 2025-09-15"
    );
}

#[actix_web::test]
async fn an_item_is_made_then_changed_and_its_history_stays() {
    let service = Launched::start().await;
    let made = written(
        put(&service, GRAVEL, &gravel(), ("if-none-match", "*")),
        201,
    )
    .await;
    assert_eq!(
        (etag(&made), made.headers()["location"].to_str().ok()),
        ("\"2\"", Some(GRAVEL))
    );
    assert_eq!(
        made.json::<Value>().await.expect("JSON"),
        json_of(service.get(GRAVEL)).await
    );

    let mut dearer = gravel();
    dearer["prices"][0]["unit_price"] = json!("44.25");
    dearer["note"] = json!("spring list");
    let changed = written(put(&service, GRAVEL, &dearer, ("if-match", "\"2\"")), 200).await;
    assert_eq!(etag(&changed), "\"3\"");
    assert!(changed.headers().get("location").is_none());

    for (query, price) in [
        ("", "44.25"),
        ("&revision=3", "44.25"),
        ("&revision=2", "41.50"),
    ] {
        let path = format!("{GRAVEL}/prices?as_of=2026-05-04{query}");
        assert_eq!(
            json_of(service.get(&path)).await["price"]["unit_price"],
            price,
            "{query}"
        );
    }
    let prices = json_of(service.get(&format!("{GRAVEL}/prices"))).await;
    let learned: Vec<&Value> = prices["prices"]
        .as_array()
        .expect("prices")
        .iter()
        .map(|price| &price["revision"])
        .collect();
    assert_eq!(learned, [2, 3]);
    problem(service.get(&format!("{GRAVEL}?revision=1")), 404).await;

    let revisions = json_of(service.get("/v1/price-books/demo/revisions?after=1")).await;
    let notes: Vec<&Value> = revisions["revisions"]
        .as_array()
        .expect("revisions")
        .iter()
        .map(|one| &one["note"])
        .collect();
    assert_eq!(notes, ["Write pea-gravel", "spring list"]);
}

#[actix_web::test]
async fn a_write_needs_a_condition_that_holds() {
    let service = Launched::start().await;
    let url = format!("{}{GRAVEL}", service.base);
    problem(service.client.put(&url).json(&gravel()), 428).await;
    let cases = [
        (GRAVEL, "if-match", "\"1\"", 412),
        (STONE, "if-none-match", "*", 412),
        (STONE, "if-match", "\"2\"", 412),
        (STONE, "if-match", "\"0\"", 412),
        (STONE, "if-match", "\"01\"", 412),
        (STONE, "if-match", "\"one\"", 412),
        (STONE, "if-match", "W/\"1\"", 412),
        (STONE, "if-match", "1", 400),
        (STONE, "if-match", "*", 400),
        (STONE, "if-match", "\"1\", \"2\"", 400),
        (GRAVEL, "if-none-match", "\"1\"", 400),
        // RFC 9110, section 13.2.1: what would be refused without a condition is refused as such.
        ("/v1/price-books/none/items/x", "if-match", "\"one\"", 404),
    ];
    for (path, name, value, status) in cases {
        problem(put(&service, path, &gravel(), (name, value)), status).await;
    }
    let nowhere = put(
        &service,
        "/v1/price-books/%C3%BB",
        &json!({}),
        ("if-match", "\"one\""),
    );
    problem(nowhere, 400).await;
    let both = put(&service, STONE, &gravel(), ("if-match", "\"1\"")).header("if-none-match", "*");
    problem(both, 400).await;
    assert_eq!(revision(&service).await, 1, "nothing was written");
}

#[actix_web::test]
async fn every_fault_of_a_body_is_listed_and_nothing_is_written() {
    let service = Launched::start().await;
    let body = json!({
        "description": "", "class": "stuff", "sale_unit": "bucket", "order_step": 0.5,
        "charge": "from_stock", "colour": "grey",
        "prices": [{"supplier": "quarry-yard", "unit_price": "cheap", "effective_from": "2026-02-30"}],
    });
    let refused = problem(put(&service, GRAVEL, &body, ("if-none-match", "*")), 422).await;
    let mut found = pointers(&refused);
    found.sort_unstable();
    assert_eq!(
        found,
        [
            "/class",
            "/colour",
            "/order_step",
            "/prices/0/effective_from",
            "/prices/0/unit_price",
            "/sale_unit"
        ]
    );

    let mut body = gravel();
    body["description"] = json!("two\nlines");
    body["order_step"] = json!("0");
    body["minimum"] = json!("-1");
    body["holds"] = json!({"quantity": "0", "unit": "ft"});
    body["charge"] = json!("from_stock");
    body["note"] = json!(" ");
    body["prices"] = json!([
        {"supplier": "Quarry", "supplier_name": "", "unit_price": "-1", "effective_from": "1066-10-14"},
        {"supplier": "new", "supplier_name": "One", "unit_price": "1", "effective_from": "2026-03-02"},
        {"supplier": "new", "supplier_name": "Two", "unit_price": "2", "effective_from": "2026-03-02"},
    ]);
    let refused = problem(put(&service, GRAVEL, &body, ("if-none-match", "*")), 422).await;
    let mut found = pointers(&refused);
    found.sort_unstable();
    assert_eq!(
        found,
        [
            "/description",
            "/holds/quantity",
            "/minimum",
            "/note",
            "/order_step",
            "/pay_step",
            "/prices/0/effective_from",
            "/prices/0/supplier",
            "/prices/0/supplier_name",
            "/prices/0/unit_price",
            "/prices/2",
            "/prices/2/supplier_name",
            "/uses"
        ]
    );
    let mut body = gravel();
    body["uses"] = json!(4);
    let refused = problem(put(&service, GRAVEL, &body, ("if-none-match", "*")), 422).await;
    assert_eq!(pointers(&refused), ["/uses"]);
    problem(
        put(
            &service,
            "/v1/price-books/demo/items/Pea%20Gravel",
            &gravel(),
            ("if-none-match", "*"),
        ),
        400,
    )
    .await;
    assert_eq!(revision(&service).await, 1, "nothing was written");
}

#[actix_web::test]
async fn a_supplier_must_be_known_or_named() {
    let service = Launched::start().await;
    let mut body = gravel();
    body["prices"][0]["supplier"] = json!("river-pit");
    let refused = problem(put(&service, GRAVEL, &body, ("if-none-match", "*")), 422).await;
    assert_eq!(pointers(&refused), ["/prices/0/supplier"]);
    body["prices"][0]["supplier_name"] = json!("River pit (invented)");
    written(put(&service, GRAVEL, &body, ("if-none-match", "*")), 201).await;
    let item = json_of(service.get(&format!("{GRAVEL}?as_of=2026-05-04"))).await;
    assert_eq!(item["price"]["supplier_name"], "River pit (invented)");
}

#[actix_web::test]
async fn pages_follow_each_other_without_loss() {
    let service = Launched::start().await;
    let all = json_of(service.get("/v1/price-books/demo/items")).await;
    assert_eq!(all["next"], Value::Null);
    let (mut path, mut codes) = ("/v1/price-books/demo/items?limit=20".to_owned(), Vec::new());
    loop {
        let page = json_of(service.get(&path)).await;
        let items = page["items"].as_array().expect("items").clone();
        assert!(items.len() <= 20);
        codes.extend(items.into_iter().map(|item| item["code"].clone()));
        let Some(next) = page["next"].as_str() else {
            break;
        };
        path = format!("/v1/price-books/demo/items?limit=20&after={next}");
    }
    let expected: Vec<Value> = all["items"]
        .as_array()
        .expect("items")
        .iter()
        .map(|item| item["code"].clone())
        .collect();
    assert_eq!((codes.len() as i64, codes), (demo_items(), expected));
}

#[actix_web::test]
async fn what_is_not_there_or_not_readable_is_a_problem() {
    let service = Launched::start().await;
    for (path, status) in [
        ("/v1/price-books/none", 404),
        ("/v1/price-books/none/items", 404),
        ("/v1/price-books/none/revisions", 404),
        ("/v1/price-books/demo/items/none", 404),
        ("/v1/price-books/demo/items/none/prices", 404),
        ("/v1/price-books/demo/items?revision=2", 404),
        ("/v1/price-books/demo/items?revision=0", 404),
        ("/v1/price-books/demo/items?revision=x", 400),
        ("/v1/price-books/demo/items?as_of=2026-02-30", 400),
        ("/v1/price-books/demo/items?as_of=yesterday", 400),
        ("/v1/price-books/demo/items?limit=0", 400),
        ("/v1/price-books/demo/items?limit=1001", 400),
        ("/v1/price-books/demo/items?colour=grey", 400),
        ("/v1/price-books/demo/revisions?limit=0", 400),
        ("/v1/price-books/demo/revisions?after=-1", 400),
    ] {
        problem(service.get(path), status).await;
    }
    let write = put(
        &service,
        "/v1/price-books/none/items/x",
        &gravel(),
        ("if-none-match", "*"),
    );
    problem(write, 404).await;
}
