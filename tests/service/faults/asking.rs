//! The calls that the fault tests make, and what they read in the answers.
//!
//! Absent: what the answers should be.

use crate::launched::client;
use reqwest::{RequestBuilder, Response};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// The newest revision of the demo book, and how many items it has.
pub(super) async fn book(base: &str) -> (i64, i64) {
    let asked = client().get(format!("{base}/v1/price-books/demo")).send();
    let answer = asked.await.expect("an answer");
    assert_eq!(answer.status(), 200);
    let book: Value = answer.json().await.expect("JSON");
    let number = |name: &str| book[name].as_i64().expect("a number");
    (number("revision"), number("items"))
}

/// An import of prices into the demo book as it was at a revision.
pub(super) fn import(base: &str, table: &str, of: (i64, &str)) -> RequestBuilder {
    import_of("prices", base, (table, of))
}

/// The same of any table.
pub(super) fn import_of(
    kind: &str,
    base: &str,
    (table, (revision, key)): (&str, (i64, &str)),
) -> RequestBuilder {
    client()
        .post(format!("{base}/v1/price-books/demo/import?table={kind}"))
        .header("content-type", "text/csv")
        .header("if-match", format!("\"{revision}\""))
        .header("idempotency-key", key)
        .body(table.to_owned())
}

/// A table of so many new items, each with a price; `mark` keeps two tables apart.
pub(super) fn new_items(rows: usize, mark: &str) -> String {
    let mut table =
        String::from("item,description,class,sale_unit,supplier,unit_price,effective_from\n");
    for row in 0..rows {
        let (dollars, cents) = (1 + row % 90, row % 100);
        writeln!(
            table,
            "{mark}-{row},Invented thing {row},material,each,quarry-yard,{dollars}.{cents:02},2026-03-02"
        )
        .expect("writing to a text cannot fail");
    }
    table
}

/// A table of a later price for each of the first so many of [`new_items`] marked `calm`.
pub(super) fn new_prices(rows: usize, days: usize) -> String {
    let since = chrono::NaiveDate::default() + chrono::Days::new(20_600 + days as u64);
    let mut table = String::from("item,supplier,unit_price,effective_from\n");
    for row in 0..rows {
        writeln!(table, "calm-{row},quarry-yard,{}.25,{since}", 1 + row % 70)
            .expect("writing to a text cannot fail");
    }
    table
}

/// A price of a demo item from a day on; `seen` is the revision in which the item last changed.
pub(super) fn reprice(base: &str, dollars: &str, seen: i64) -> RequestBuilder {
    let stone = json!({
        "description": "Crushed stone, dense graded", "class": "material", "sale_unit": "ton",
        "order_step": "0.5", "minimum": "1", "charge": "bought_for_job",
        "prices": [{"supplier": "quarry-yard", "unit_price": dollars, "effective_from": "2026-02-16"}],
    });
    let path = "/v1/price-books/demo/items/stone-dense-graded";
    client()
        .put(format!("{base}{path}"))
        .header("if-match", format!("\"{seen}\""))
        .json(&stone)
}

/// A new item with a price.
pub(super) fn add(base: &str, code: &str, dollars: &str) -> RequestBuilder {
    let thing = json!({
        "description": "Invented thing", "class": "material", "sale_unit": "each",
        "order_step": "1", "minimum": "0", "charge": "bought_for_job",
        "prices": [{"supplier": "quarry-yard", "unit_price": dollars, "effective_from": "2026-02-16"}],
    });
    client()
        .put(format!("{base}/v1/price-books/demo/items/{code}"))
        .header("if-none-match", "*")
        .json(&thing)
}

/// A small job priced on a fixed day, at a revision or at the newest.
pub(super) fn estimate(base: &str, revision: Option<i64>) -> RequestBuilder {
    let mut book = json!({"code": "demo", "as_of": "2026-05-04"});
    if let Some(revision) = revision {
        book["revision"] = json!(revision);
    }
    let job = json!({
        "name": "Side entrance (invented)", "book": book,
        "ramp": {"path": [
            {"kind": "landing"},
            {"kind": "run", "rise": "24 in", "length": "27 ft"},
            {"kind": "landing"}
        ]}
    });
    client().post(format!("{base}/v1/estimates")).json(&job)
}

/// Sends, and gives status and body.
pub(super) async fn sent(request: RequestBuilder) -> (u16, String) {
    read(request.send().await.expect("an answer")).await
}

/// Status and body.
pub(super) async fn read(answer: Response) -> (u16, String) {
    let status = answer.status().as_u16();
    (status, answer.text().await.expect("a whole body"))
}

/// The fingerprint of an estimate.
pub(super) fn fingerprint(body: &str) -> String {
    let body: Value = serde_json::from_str(body).expect("JSON");
    let found = body["fingerprint"].as_str();
    found.expect("a fingerprint").to_owned()
}
